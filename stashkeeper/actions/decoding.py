"""How many photos are held in memory at the same time when many people look and add at once."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Final

AT_ONCE: Final = 2
"""Photos of any size that are decoded at the same time for pages; others wait their turn."""

# Threads of their own, not just turns: memory that a thread let go of stays with it for its next
# photo, so that two threads hold on to two photos' worth, and forty to forty.
_threads = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="decoding")


def in_turn[Outcome](decode: Callable[[], Outcome]) -> Outcome:
    """Wait for a turn to decode a photo, do it, and return what came of it or raise its error."""
    return _threads.submit(decode).result()
