"""How many photos are held in memory at the same time when many people look and add at once."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import BoundedSemaphore
from typing import Final

AT_ONCE: Final = 2
"""Photos of any size that are decoded at the same time for pages; others wait their turn."""

_turns = BoundedSemaphore(AT_ONCE)


@contextmanager
def decoding() -> Iterator[None]:
    """Wait for a turn to decode a photo, and hold it."""
    with _turns:
        yield
