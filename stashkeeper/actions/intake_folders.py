"""Folders of photos sent by a page, taken in while their sender looks elsewhere.

Each lies in the stash folder with a record of what is wanted and how far it is, so that it can be
left and come back to, and goes on after the program was stopped.
"""

import shutil
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from threading import Lock
from typing import Any, Self

from stashkeeper.actions.background import Background, Report, Work
from stashkeeper.actions.decoding import AT_ONCE
from stashkeeper.actions.incoming import Upload
from stashkeeper.actions.intake import intake, usual_of
from stashkeeper.actions.intake_outcome import FAULT, Outcome, failed, outcome_of
from stashkeeper.actions.intake_photos import LIST, SentPhotos, keep_photos, photo_names
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.works import Records
from stashkeeper.errors import NotFoundError, StashkeeperError


@dataclass(frozen=True, slots=True)
class UsualWords:
    """What holds for every piece that says nothing of its own, as typed."""

    size: str = ""
    at: str = ""
    tags: tuple[str, ...] = ()

    @classmethod
    def from_record(cls, record: Mapping[str, Any]) -> Self:
        """Return the words as they stand on a record."""
        return cls(record["size"], record["at"], tuple(record["tags"]))


@dataclass(frozen=True, slots=True)
class FolderView:
    """A folder of photos, as far as it is.

    Attributes:
        number: by which it is known.
        words: what holds for all.
        begun_at: when the first photo was sent.
        photos: how many there are.
        listed: whether there is a list of sizes.
        measuring: whether it is being taken in, or was when the program was stopped.
        work: how far that is; None where it is not under way.
        outcome: what came of it; None before that is known.
    """

    number: str
    words: UsualWords
    begun_at: datetime
    photos: int
    listed: bool
    measuring: bool
    work: Work | None
    outcome: Outcome | None

    @property
    def status(self) -> str:
        """How far it is, in a few words."""
        if self.measuring:
            done = f"{self.work.done} of {self.work.of}" if self.work and self.work.of else "soon"
            return f"being measured: {done}"
        if self.outcome is None:
            return "not measured yet"
        return "finished" if self.outcome.whole else "some of it waits for you"


@dataclass(slots=True)
class IntakeFolders:
    """The folders of photos that pages sent to a stash; shared by all threads."""

    stash: Stash
    background: Background = field(default_factory=Background)
    _lock: Lock = field(default_factory=Lock)

    def begin(self, words: UsualWords) -> str:
        """Make an empty folder, and return the number by which it is known.

        Raises:
            BadSizeError, BadNameError: what is usual cannot be read.
            CannotWriteError: the stash folder cannot be written.
        """
        usual_of(self.stash, words.size or None, words.at or None, words.tags)
        now = datetime.now().astimezone().isoformat(timespec="seconds")
        return self._records.begin({"words": asdict(words), "begun_at": now})

    def send(self, number: str, uploads: Sequence[Upload], listed: Upload | None) -> SentPhotos:
        """Keep photos, and the list of sizes where one is sent; what is no photo is passed over.

        Raises:
            NotFoundError: there is no such folder.
            TooLargeError, CannotWriteError: of a photo; those before it are kept.
        """
        self._records.read(number)
        with self._lock:
            return keep_photos(self._records.home(number), uploads, listed)

    def start(self, number: str) -> None:
        """Begin to take in what was sent, or go on with it.

        Raises:
            NotFoundError: there is no such folder.
        """
        kept = self._records.read(number)
        self._records.write(number, {**kept, "measuring": True, "outcome": None})
        self._go_on(number)

    def go_on_with_all(self) -> None:
        """Go on with every folder that was being taken in when the program was stopped."""
        for view in self.all():
            if view.measuring:
                self._go_on(view.number)

    def look(self, number: str, patience: float = 0.0) -> FolderView:
        """Return a folder as far as it is, after waiting a little for it to be finished.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        if self._records.read(number).get("measuring"):
            self._go_on(number).wait(patience)
        kept = self._records.read(number)
        work = self.background.of(number) if kept.get("measuring") else None
        home = self._records.home(number)
        outcome = kept.get("outcome")
        return FolderView(
            number,
            UsualWords.from_record(kept["words"]),
            datetime.fromisoformat(kept["begun_at"]),
            len(photo_names(home)),
            (home / LIST).is_file(),
            bool(kept.get("measuring")),
            work,
            Outcome.from_record(outcome) if outcome else None,
        )

    def photos(self, number: str) -> dict[str, int]:
        """Return the photos that are here already: their names, and their sizes in bytes.

        Raises:
            NotFoundError: there is no such folder.
        """
        self._records.read(number)
        return photo_names(self._records.home(number))

    def all(self) -> tuple[FolderView, ...]:
        """Return all folders, the newest first."""
        return tuple(sorted(self._views(), key=lambda view: view.begun_at, reverse=True))

    def put_away(self, number: str) -> None:
        """Throw a folder away: what was taken in stays in the stash, its photos too.

        Raises:
            NotFoundError: there is none of this number.
        """
        self._records.read(number)
        shutil.rmtree(self._records.home(number), ignore_errors=True)

    def _views(self) -> Iterator[FolderView]:
        room = self._records.room
        for home in room.iterdir() if room.is_dir() else ():
            try:
                yield self.look(home.name)
            except NotFoundError:
                continue

    def _go_on(self, number: str) -> Work:
        return self.background.start(number, lambda report: self._take_in(number, report))

    def _take_in(self, number: str, report: Report) -> None:
        """Take a folder in, and put on its record what came of it."""
        kept = self._records.read(number)
        home, words = self._records.home(number), UsualWords.from_record(kept["words"])
        listed = home / LIST
        try:
            taken = intake(
                self.stash,
                home / "photos",
                sizes=listed if listed.is_file() else None,
                size=words.size or None,
                at=words.at or None,
                tags=words.tags,
                report=report,
                workers=AT_ONCE,
            )
            outcome = outcome_of(taken)
        except StashkeeperError as error:
            outcome = failed(error)
        except Exception:
            self._put_on_record(number, FAULT)
            raise
        self._put_on_record(number, outcome)
        if outcome.whole:
            shutil.rmtree(home / "photos", ignore_errors=True)

    def _put_on_record(self, number: str, outcome: Outcome) -> None:
        record = {**self._records.read(number), "measuring": False, "outcome": asdict(outcome)}
        self._records.write(number, record)

    @property
    def _records(self) -> Records:
        gone = ("This intake is not here, or no longer.", "Begin another.")
        return Records(self.stash.home / "intakes", "intake.json", gone)
