"""What a deed told, kept for the one page that shows it next.

A form is answered by a redirection, and the sentences of its deed wait here meanwhile; the browser
holds only a random number. Nothing a person typed travels in an address or a cookie.
"""

import secrets
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Final

MOST: Final = 500
"""Answers that wait at the same time; the oldest is forgotten first."""

KEPT: Final = 300.0
"""Seconds an answer waits for its page."""


@dataclass(slots=True)
class Told:
    """Sentences on their way from a deed to the next page; shared by all threads."""

    now: Callable[[], float] = time.monotonic
    _waiting: OrderedDict[str, tuple[float, tuple[str, ...]]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def keep(self, sentences: Sequence[str]) -> str:
        """Keep sentences and return the number that fetches them, once."""
        number = secrets.token_urlsafe(12)
        with self._lock:
            self._waiting[number] = (self.now(), tuple(one for one in sentences if one.strip()))
            while len(self._waiting) > MOST:
                self._waiting.popitem(last=False)
        return number

    def fetch(self, number: str | None) -> tuple[str, ...]:
        """Return the sentences kept under a number and forget them; none where there are none."""
        with self._lock:
            kept_at, sentences = self._waiting.pop(number or "", (0.0, ()))
        return sentences if sentences and self.now() - kept_at <= KEPT else ()
