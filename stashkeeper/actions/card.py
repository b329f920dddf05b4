"""The reference card: drawn, and told what its greys are."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from sqlmodel import Session

from stashkeeper.actions.pictures import paper_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.calibrations import add_calibration, calibrations_of
from stashkeeper.errors import BadLightnessError, BadRequestError, quoted
from stashkeeper.luminance.card_layout import ID_SIGNS, NOMINAL
from stashkeeper.pictures.card import draw_card
from stashkeeper.pictures.web_pictures import web_page_picture
from stashkeeper.whole_file import write_whole

KNOWN_CARD = "known card"
LEVELS = 1 + len(NOMINAL)
"""Paper and greys."""
EXAMPLE = "stashkeeper card known 7F3K 94 83 72 60 49 37 27"


@dataclass(frozen=True, slots=True)
class DrawnCard:
    """A reference card drawn: its name, and where it is."""

    card_id: str
    paper: str
    file: Path | None
    _pdf: bytes = field(repr=False)

    @property
    def pdf(self) -> bytes:
        """The page as a PDF."""
        return self._pdf

    def picture(self) -> bytes:
        """Return the page as a WebP picture, to be looked at before it is printed."""
        return web_page_picture(self._pdf)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was drawn, and what to do with it."""
        where = f": {self.file}" if self.file else ""
        known = f"stashkeeper card known {self.card_id} PAPER G1 G2 G3 G4 G5 G6"
        return (
            f"Drew reference card {self.card_id} for {self.paper}{where}",
            "Print it at full size; a ruler must show its line 100 mm (3 15/16 in) long.",
            f"If you can have its greys measured, type them once: {known}",
        )


@dataclass(frozen=True, slots=True)
class KnownCard:
    """What is known of a card: L* of its paper and greys, from light to dark."""

    card_id: str
    lightness: tuple[float, ...]

    @property
    def levels(self) -> str:
        """Paper to darkest grey, as it is typed."""
        return " ".join(f"{one:g}" for one in self.lightness)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What counts from now on."""
        return (f"Card {self.card_id} is known now, paper to darkest grey: {self.levels}.",)


def card(stash: Stash, *, paper: str | None = None, card_id: str | None = None) -> DrawnCard:
    """Draw the reference card.

    Args:
        stash: the open stash.
        paper: a4 or letter; the settings' paper where None.
        card_id: the name of a card to print once more; a new name where None.

    Raises:
        BadRequestError: no such paper, or no card's name.
    """
    name = read_card_id(card_id) if card_id else new_card_id()
    sheet = paper_of(stash, paper)
    return DrawnCard(name, str(sheet), None, draw_card(name, sheet))


def write_card(drawn: DrawnCard, out: Path) -> DrawnCard:
    """Write a drawn card to a .pdf file.

    Raises:
        BadRequestError: the file's name does not end in .pdf.
        CannotWriteError: it cannot be written.
    """
    if out.suffix.lower() != ".pdf":
        raise BadRequestError(
            f"{quoted(out.name)} does not end in .pdf.", "Name a PDF, as in card.pdf."
        )
    write_whole(out, [drawn.pdf])
    return DrawnCard(drawn.card_id, drawn.paper, out, drawn.pdf)


def card_known(stash: Stash, card_id: str, typed: Sequence[str]) -> KnownCard:
    """Put on record what paper and greys of a printed card are.

    Args:
        stash: the open stash.
        card_id: the four signs printed on it.
        typed: L* of the paper and the six greys, from light to dark.

    Raises:
        BadRequestError: no card's name, or not as many numbers as there are levels.
        BadLightnessError: a number is none, or they do not get darker.
    """
    if not card_id:
        raise BadRequestError(
            "The card's name is missing.",
            f"Type the four signs printed on it, then its paper and greys: {EXAMPLE}",
            on_page="Type the four signs printed on it.",
        )
    name = read_card_id(card_id)
    levels = _read_levels(typed)
    with stash.deed("card") as deed:
        add_calibration(deed, KNOWN_CARD, {"card": name}, {"lightness": list(levels)})
        known = KnownCard(name, levels)
        deed.summary = known.sentences[0]
    return known


def known_cards(stash: Stash) -> tuple[KnownCard, ...]:
    """Return the cards whose greys are known, those typed last first; each once, as it counts."""
    with stash.reading() as session:
        rows = [
            KnownCard(str(row.inputs["card"]), tuple(row.curve["lightness"]))
            for row in calibrations_of(session, KNOWN_CARD)
        ]
    newest = {one.card_id: one for one in reversed(rows)}
    return tuple(reversed(newest.values()))


def known_levels(session: Session, card_id: str) -> tuple[float, ...] | None:
    """Return L* of paper and greys of a card, as typed last; None where nobody measured it."""
    for row in calibrations_of(session, KNOWN_CARD):
        if row.inputs.get("card") == card_id:
            return tuple(row.curve["lightness"])
    return None


def new_card_id() -> str:
    """Return a name for a card that no other card is likely to have."""
    return "".join(secrets.choice(ID_SIGNS) for _ in range(4))


def read_card_id(typed: str) -> str:
    """Return the name of a card as it was typed.

    Raises:
        BadRequestError: it is none.
    """
    name = typed.strip().upper()
    if len(name) != 4 or not (name.isascii() and name.isalnum()):
        raise BadRequestError(
            f"{quoted(typed)} is no card's name.",
            "Type the four signs printed on the card, as in 7F3K.",
        )
    return name


def _read_levels(typed: Sequence[str]) -> tuple[float, ...]:
    if len(typed) != LEVELS:
        given = f"{len(typed)} number{' was' if len(typed) == 1 else 's were'} given"
        raise BadRequestError(
            f"{given}; the card has paper and {LEVELS - 1} greys.",
            f"Give {LEVELS}, from light to dark: {EXAMPLE}",
            on_page=f"Give {LEVELS}: the paper and each grey, from light to dark.",
        )
    try:
        levels = tuple(float(number.replace(",", ".")) for number in typed)
    except ValueError:
        levels = ()
    in_order = all(light > dark + 1 for light, dark in pairwise(levels))
    if not levels or not in_order or levels[-1] <= 0 or levels[0] > 100:
        raise BadLightnessError(
            "These are not seven lightnesses that get darker one by one.",
            f"Give L* from 0 (black) to 100 (white), paper first: {EXAMPLE}",
            on_page="Give L* from 0 (black) to 100 (white), paper first, then each darker grey.",
        )
    return levels
