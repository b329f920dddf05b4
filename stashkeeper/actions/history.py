"""Looking back, and taking back."""

import uuid
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue import undo as taking_back
from stashkeeper.catalogue.history import PastDeed, event_numbered, history_of, recent
from stashkeeper.catalogue.pieces import piece_by_code
from stashkeeper.catalogue.projects import history_of_project, project_named

NEWEST: Final = 50
"""Deeds of the whole stash that are told at once."""


@dataclass(frozen=True, slots=True)
class DeedView:
    """A deed on record.

    Attributes:
        id, number: it is named by either.
        at, who, deed, summary: when, who, one word, and a sentence.
        undone: whether it has been taken back.
        undoes: whether it took back another.
    """

    id: uuid.UUID
    number: int
    at: datetime
    who: str
    deed: str
    summary: str
    undone: bool
    undoes: bool

    @property
    def sentence(self) -> str:
        """Its number, when and what, in a line."""
        back = "  (taken back)" if self.undone else ""
        return f"{self.number:>4}  {self.when}  {self.summary}{back}"

    @property
    def when(self) -> str:
        """The day and minute, by this computer's clock."""
        return f"{self.at.astimezone():%d %b %Y, %H:%M}"


@dataclass(frozen=True, slots=True)
class History:
    """What happened to one piece and its fabric, or of late to the whole stash; oldest first."""

    code: str | None
    deeds: tuple[DeedView, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """A line for each deed."""
        if not self.deeds:
            return ("Nothing happened yet.",)
        return tuple(deed.sentence for deed in self.deeds)


@dataclass(frozen=True, slots=True)
class Undone:
    """The deed that was taken back, and what to tell."""

    deed: DeedView
    sentences: tuple[str, ...]


def history(stash: Stash, code: str | None = None) -> History:
    """Return all that happened to a piece and its fabric, or the newest deeds of the whole stash.

    Raises:
        NotFoundError: no piece has the code.
    """
    with stash.reading() as session:
        if code is None:
            newest = recent(session, NEWEST)
            return History(None, tuple(_view(deed) for deed in reversed(newest)))
        piece = piece_by_code(session, code)
        return History(piece.code, tuple(map(_view, history_of(session, piece))))


def deeds_of_project(session: Session, name: str) -> tuple[DeedView, ...]:
    """Return all that happened to a project and the pieces chosen for it, newest first.

    Raises:
        NotFoundError: there is none with this name.
    """
    told = history_of_project(session, project_named(session, name))
    return tuple(_view(deed) for deed in reversed(told))


def undo(stash: Stash, number: int | None = None) -> Undone:
    """Take back the last deed, or the one with a number; one that took another back, too.

    Raises:
        NotFoundError: no deed has the number.
        CannotUndoError: there is nothing to take back, or something later builds on it.
    """
    with stash.deed("undo") as deed:
        named = None if number is None else event_numbered(deed.session, number)
        taken_back = _view(taking_back.undo(deed, named))
        told = deed.summary
    return Undone(replace(taken_back, undone=True), (told,))


def _view(deed: PastDeed) -> DeedView:
    return DeedView(
        deed.id,
        deed.number,
        deed.at,
        deed.who,
        deed.deed,
        deed.summary,
        deed.undone,
        deed.undoes is not None,
    )
