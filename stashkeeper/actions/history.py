"""Looking back, and taking back."""

import uuid
from dataclasses import dataclass, replace
from datetime import datetime

from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue import undo as taking_back
from stashkeeper.catalogue.history import PastDeed, history_of
from stashkeeper.catalogue.pieces import piece_by_code


@dataclass(frozen=True, slots=True)
class DeedView:
    """A deed on record: what, when, and whether it has been taken back."""

    id: uuid.UUID
    at: datetime
    who: str
    deed: str
    summary: str
    undone: bool

    @property
    def sentence(self) -> str:
        """When and what, in a line."""
        back = "  (taken back)" if self.undone else ""
        return f"{self.at.astimezone():%d %b %Y, %H:%M}  {self.summary}{back}"


@dataclass(frozen=True, slots=True)
class History:
    """What happened to one piece and its fabric, oldest first."""

    code: str
    deeds: tuple[DeedView, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """A line for each deed."""
        return tuple(deed.sentence for deed in self.deeds)


@dataclass(frozen=True, slots=True)
class Undone:
    """The deed that was taken back."""

    deed: DeedView

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was taken back."""
        return (f"Took back: {self.deed.summary}",)


def history(stash: Stash, code: str) -> History:
    """Return all that happened to a piece and its fabric.

    Raises:
        NotFoundError: no piece has the code.
    """
    with stash.reading() as session:
        piece = piece_by_code(session, code)
        return History(piece.code, tuple(map(_view, history_of(session, piece))))


def undo(stash: Stash, event: uuid.UUID | None = None) -> Undone:
    """Take back the last deed, or the one named.

    Raises:
        CannotUndoError: there is nothing to take back, or something later builds on it.
    """
    with stash.deed("undo") as deed:
        taken_back = _view(taking_back.undo(deed, event))
    return Undone(replace(taken_back, undone=True))


def _view(deed: PastDeed) -> DeedView:
    return DeedView(deed.id, deed.at, deed.who, deed.deed, deed.summary, deed.undone)
