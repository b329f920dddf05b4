"""Ctrl-C during a search: the first one asks it to end with what it has, the second one ends it."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def asked_to_stop() -> Iterator[Callable[[], bool]]:
    """Give a function that tells whether Ctrl-C was pressed; a second press stops at once."""
    asked = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield asked.is_set
        return

    def pressed(_number: int, _frame: Any) -> None:
        if asked.is_set():
            raise KeyboardInterrupt
        asked.set()

    before = signal.signal(signal.SIGINT, pressed)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
