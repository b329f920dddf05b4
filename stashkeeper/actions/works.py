"""Work that a page begins, leaves and comes back to: known by a number, on record in the stash."""

import json
import re
import shutil
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, ClassVar, Final

from stashkeeper.actions.background import Background, Report, Work
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import NotFoundError, StashkeeperError
from stashkeeper.whole_file import write_whole

_NUMBER: Final = re.compile(r"[0-9a-f]{32}")

type Sentences = tuple[str, str]
"""What is wrong, and what to do next."""


@dataclass(frozen=True, slots=True)
class Records:
    """Folders with a record each, known by numbers that nobody guesses.

    Attributes:
        room: where they lie.
        file: the name of the record in each.
        gone: what to say where there is none of a number.
    """

    room: Path
    file: str
    gone: Sentences

    def home(self, number: str) -> Path:
        """Return the folder of a number.

        Raises:
            NotFoundError: it is no number.
        """
        if not _NUMBER.fullmatch(number):
            raise NotFoundError(*self.gone)
        return self.room / number

    def content(self, number: str, name: str) -> bytes:
        """Return what a file in a folder holds.

        Raises:
            NotFoundError: there is none.
        """
        try:
            return (self.home(number) / name).read_bytes()
        except OSError:
            raise NotFoundError(*self.gone) from None

    def read(self, number: str) -> dict[str, Any]:
        """Return a record, its lists as tuples.

        Raises:
            NotFoundError: there is none, or it is torn.
        """
        try:
            record: dict[str, Any] = _frozen(json.loads(self.content(number, self.file)))
        except ValueError:
            raise NotFoundError(*self.gone) from None
        return record

    def write(self, number: str, record: Mapping[str, object]) -> None:
        """Write a record whole.

        Raises:
            CannotWriteError: the stash folder cannot be written.
        """
        write_whole(self.home(number) / self.file, [json.dumps(record).encode()])

    def begin(self, record: Mapping[str, object]) -> str:
        """Write the first record of a new number, and return that number."""
        number = uuid.uuid4().hex
        self.write(number, record)
        return number

    def keep(self, most: int) -> None:
        """Throw away all but so many of the newest."""
        if not self.room.is_dir():
            return
        for old in sorted(self.room.iterdir(), key=_begun, reverse=True)[most:]:
            shutil.rmtree(old, ignore_errors=True)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of work.

    Attributes:
        room: the folder in the stash folder where its records lie.
        most: so many are remembered; the oldest is forgotten first.
        gone: what to say where there is none of a number.
        ended: what to say of one that ended without an answer.
    """

    room: str
    most: int
    gone: Sentences
    ended: Sentences


@dataclass(frozen=True, slots=True)
class Looked:
    """Work as far as it is.

    Attributes:
        words: what was wanted, by the names of its fields.
        work: how far it is; None where it is done, or ended.
        answer: what came of it; empty until it is done.
        trouble: what was wrong and what to do, where nothing came of it.
    """

    words: dict[str, Any]
    work: Work | None
    answer: Mapping[str, Any]
    trouble: Sentences | None


@dataclass(frozen=True, slots=True)
class Works:
    """The work of one kind that the pages of a stash began; shared by all threads."""

    kind: ClassVar[Kind]
    stash: Stash
    background: Background = field(default_factory=Background)

    @property
    def records(self) -> Records:
        """Where it is on record."""
        return Records(self.stash.home / self.kind.room, "work.json", self.kind.gone)

    def start(
        self,
        words: Mapping[str, object],
        task: Callable[[str, Report], Mapping[str, object]],
    ) -> str:
        """Begin work, and return the number by which it is known.

        Args:
            words: what is wanted, as JSON knows it.
            task: called with the number and the report; returns the answer, as JSON knows it.
                A `StashkeeperError` becomes the trouble that is told.
        """
        self.records.keep(self.kind.most - 1)
        number = self.records.begin({"words": words})
        self.background.start(number, lambda report: self._do(number, words, task, report))
        return number

    def stop(self, number: str) -> None:
        """Ask work to end with the best so far, where it has any."""
        self.background.stop(number)

    def seen(self, number: str, patience: float = 0.0) -> Looked:
        """Return work as far as it is, after waiting a little for it to be done.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        work = self.background.of(number)
        under_way = work is not None and not work.wait(patience)
        kept = self.records.read(number)
        if under_way:
            return Looked(kept["words"], work, {}, None)
        if "answer" in kept:
            return Looked(kept["words"], None, kept["answer"], None)
        return Looked(kept["words"], None, {}, kept.get("trouble", self.kind.ended))

    def _do(
        self,
        number: str,
        words: Mapping[str, object],
        task: Callable[[str, Report], Mapping[str, object]],
        report: Report,
    ) -> None:
        try:
            came: dict[str, object] = {"answer": task(number, report)}
        except StashkeeperError as error:
            came = {"trouble": [error.problem, error.on_page]}
        self.records.write(number, {"words": words} | came)


def _begun(home: Path) -> float:
    try:
        return home.stat().st_mtime
    except FileNotFoundError:  # thrown away meanwhile, for another page's work
        return 0.0


def _frozen(said: Any) -> Any:
    """Return what JSON says with tuples for its lists, as the dataclasses of the house want it."""
    if isinstance(said, dict):
        return {name: _frozen(one) for name, one in said.items()}
    return tuple(map(_frozen, said)) if isinstance(said, list) else said
