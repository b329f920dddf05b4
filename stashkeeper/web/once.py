"""Deeds that a script may send again because it never heard the answer: done once all the same."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Any, Final

MOST: Final = 500
"""Answers that are remembered; the oldest is forgotten first."""


@dataclass(slots=True)
class _Answer:
    """The answer to one sending, once there is one."""

    lock: Lock = field(default_factory=Lock)
    given: Any = None


@dataclass(slots=True)
class Once:
    """Answers by the number that a script gave its sending; shared by all threads."""

    _answers: OrderedDict[str, _Answer] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def run[Answer](self, number: str, deed: Callable[[], Answer]) -> Answer:
        """Do a deed, or return the answer given before to a sending of the same number.

        What fails is not remembered. Of two sendings at the same time the second one waits.

        Args:
            number: of the sending; empty for one that nobody repeats.
            deed: what is to be done.
        """
        if not number:
            return deed()
        answer = self._of(number)
        with answer.lock:
            if answer.given is None:
                answer.given = deed()
            given: Answer = answer.given
            return given

    def _of(self, number: str) -> _Answer:
        with self._lock:
            answer = self._answers.setdefault(number[:80], _Answer())
            self._answers.move_to_end(number[:80])
            while len(self._answers) > MOST:
                self._answers.popitem(last=False)
        return answer
