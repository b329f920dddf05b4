"""How pieces look where they are only named: a swatch, or the grey of their lightness."""

from collections.abc import Iterable
from dataclasses import dataclass

from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import look_of
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import Thresholds
from stashkeeper.pictures.web_rule import css_grey


@dataclass(frozen=True, slots=True)
class Look:
    """How a piece looks.

    Attributes:
        look: the mark of its swatch; None where it has no photo.
        grey: the grey of its lightness, for a piece without a photo; empty where nobody knows it.
    """

    look: str | None = None
    grey: str = ""


NO_LOOK = Look()
"""Nothing is known of it."""


def looks_of(stash: Stash, codes: Iterable[str]) -> dict[str, Look]:
    """Return how pieces look, by code; pieces that ended too."""
    wanted = tuple(dict.fromkeys(codes))
    if not wanted:
        return {}
    ended = Term("ended", ("any", End.MISTAKE.value))
    search = Search((Term("code", wanted), ended))
    with stash.reading() as session:
        rows = select_pieces(session, search, Thresholds())
    found = {
        row.code: Look(
            look_of(row) if row.checksum else None,
            "" if row.lightness is None else css_grey(row.lightness),
        )
        for row in rows
    }
    return {code: found.get(code, NO_LOOK) for code in wanted}
