"""Work that goes on while its person looks elsewhere, and can be asked how far it is."""

import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from threading import Lock
from typing import Any

Report = Callable[[int, int, str], None]
"""Called with how many are done, how many there are, and the name of the last one."""

Task = Callable[[Report], Any]
"""Work that tells how far it is by a `Report`, and returns what came of it."""


class _Stopped(BaseException):
    """The program is being stopped: work ends at the next report, and is no fault."""


@dataclass(slots=True)
class Work:
    """One piece of work, as far as it is.

    Attributes:
        done, of: how many are done, and how many there are; 0 until that is known.
        at: the name of the last one.
    """

    done: int = 0
    of: int = 0
    at: str = ""
    _stop: bool = False
    _future: "Future[Any] | None" = field(default=None, repr=False)

    @property
    def finished(self) -> bool:
        """Whether it is done, failed or was stopped."""
        return self._future is not None and self._future.done()

    def wait(self, seconds: float) -> bool:
        """Wait until it is finished, but no longer than that; return whether it is."""
        if self._future is not None:
            wait([self._future], seconds)
        return self.finished


@dataclass(slots=True)
class Background:
    """Work of one kind, one after the other, each known by a key; shared by all threads."""

    _works: dict[str, Work] = field(default_factory=dict)
    _pool: ThreadPoolExecutor = field(
        default_factory=lambda: ThreadPoolExecutor(1, thread_name_prefix="background")
    )
    _lock: Lock = field(default_factory=Lock)
    _stopping: bool = False

    def start(self, key: str, task: Task) -> Work:
        """Begin work, or return that under way under this key."""
        with self._lock:
            known = self._works.get(key)
            if known is not None and not known.finished:
                return known
            self._works = {one: each for one, each in self._works.items() if not each.finished}
            work = self._works[key] = Work()
            work._future = self._pool.submit(self._run, work, task)
            return work

    def of(self, key: str) -> Work | None:
        """Return the work under a key; None where there is none, or it was finished a while ago."""
        return self._works.get(key)

    def stop(self, key: str) -> None:
        """Ask the work under a key to end with the best so far, as it does if it asks for this."""
        work = self._works.get(key)
        if work is not None:
            work._stop = True

    def stopping(self, key: str) -> bool:
        """Tell whether the work under a key is asked to end, or all of it is being stopped."""
        work = self._works.get(key)
        return self._stopping or (work is not None and work._stop)

    def close(self) -> None:
        """Stop what is under way, at its next report, and wait for it."""
        self._stopping = True
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _run(self, work: Work, task: Task) -> Any:
        def report(done: int, of: int, at: str) -> None:
            if self._stopping:
                raise _Stopped
            work.done, work.of, work.at = done, of, at

        try:
            return task(report)
        except _Stopped:
            return None
        except Exception:
            # Nobody waits for what it returns: the window where the program runs tells of it.
            logging.getLogger("stashkeeper").exception("work in the background failed")
            raise
