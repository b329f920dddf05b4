"""A search on the command line: a line that tells how far it is, and Ctrl-C that ends it.

The first Ctrl-C asks it to end with what it has, the second one ends it.
"""

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


@contextmanager
def told_meanwhile(first: str, hidden: bool) -> Iterator[Callable[[str], None]]:
    """Show a line on the error stream while a search goes on; give the function that changes it.

    Args:
        first: what stands there until the search tells more.
        hidden: whether nothing is to be shown; nothing is where nobody looks at a terminal either.
    """
    from rich.console import Console

    console = Console(stderr=True)
    if hidden or not console.is_terminal:
        yield lambda _: None
        return
    with console.status(f"{first} … Ctrl-C takes the best so far.") as line:
        yield lambda told: line.update(f"{told} … Ctrl-C takes it.")
