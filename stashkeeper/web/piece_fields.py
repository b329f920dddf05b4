"""The fields of a form that say something about a piece, read into words for the actions."""

from collections.abc import Mapping
from typing import Final

from stashkeeper.actions.piece_words import DIRECTIONS, PieceWords
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.length import Measure
from stashkeeper.web.forms import Form

PICKS: Final = {
    Measure.INCHES: ("fat quarter", "fat eighth", "quarter yard", "half yard", "1 yard", "10 × 10"),
    Measure.CENTIMETRES: ("fat quarter", "fat eighth", "half metre", "1 metre", "25 × 25"),
}
"""The sizes that are offered to choose from, most wanted first (common practice)."""

ABOUT: Final[Mapping[str, str]] = {
    "bad-size": "size",
    "bad-photo": "photo",
    "bad-crop": "crop",
    "bad-lightness": "lightness",
    "too-large": "photo",
    "already-there": "photo",
}
"""The field that an error is about, by the error's code."""

KNOWN: Final = (("", "as it is"), ("nominal", "as bought"), ("about", "a guess"))
SELVEDGES: Final = (("", "not noted"), ("0", "none"), ("1", "one edge"), ("2", "two edges"))
WAYS: Final = (("", "not noted"), *((way, way) for way in DIRECTIONS if way != "none"))


def tags_of(text: str) -> tuple[str, ...]:
    """Return tags typed with commas between."""
    return tuple(tag.strip() for tag in text.split(",") if tag.strip())


def size_of(form: Form) -> str | None:
    """Return the size a form gives: typed, or chosen.

    What is typed goes before a choice that was there already; `kept` is the one that was.

    Raises:
        BadRequestError: one was typed and another chosen.
    """
    typed, chosen = form.given("size"), form.given("pick")
    if typed and chosen and chosen != form.text("kept") and chosen != typed:
        raise BadRequestError(
            f"Two sizes were given: {quoted(chosen)} and {quoted(typed)}.",
            "Empty the field, or choose nothing beside it.",
        )
    return typed or chosen


def new_words(form: Form) -> PieceWords:
    """Return what a form says of a new piece; an empty field says nothing.

    Raises:
        BadRequestError: as `size_of`, or a number of selvedges cannot be read.
    """
    known = form.text("known")
    return PieceWords(
        name=form.given("name"),
        size=size_of(form),
        at=form.given("at"),
        tags=tags_of(form.text("tags")),
        about=known == "about",
        nominal=known == "nominal",
        squared=form.flag("squared") or None,
        washed=form.flag("washed") or None,
        selvedges=whole_number(form.given("selvedges"), "number of selvedges"),
        fibre=form.given("fibre"),
        source=form.given("source"),
        cost=form.given("cost"),
        direction=form.given("direction"),
        repeat=form.given("repeat"),
        note=form.given("note"),
    )


def changed_words(form: Form) -> PieceWords:
    """Return what a form says in another way than it was shown.

    Beside each field the form brings what stood in it at first, named `was-` and the field's name.

    Raises:
        BadRequestError: a number of selvedges cannot be read.
    """
    tags, known = changed_text(form, "tags"), changed_text(form, "known")
    return PieceWords(
        name=changed_text(form, "name"),
        size=changed_text(form, "size"),
        at=changed_text(form, "at"),
        tags=None if tags is None else tags_of(tags),
        untag=None if tags is None else tags_of(form.text("was-tags")),
        about=known == "about",
        nominal=known == "nominal",
        measured=known == "measured",
        squared=_flag_changed(form, "squared"),
        washed=_flag_changed(form, "washed"),
        selvedges=whole_number(changed_text(form, "selvedges"), "number of selvedges"),
        fibre=changed_text(form, "fibre"),
        source=changed_text(form, "source"),
        cost=changed_text(form, "cost"),
        direction=changed_text(form, "direction"),
        repeat=changed_text(form, "repeat"),
        note=changed_text(form, "note"),
    )


def whole_number(text: str | None, what: str, digits: int = 6) -> int | None:
    """Return a whole number as typed; None where nothing was.

    Raises:
        BadRequestError: it is none, or has more digits than that.
    """
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= digits):
        raise BadRequestError(f"{quoted(text)} is no {what}.", "Give a whole number, such as 2.")
    return int(text)


def changed_text(form: Form, name: str) -> str | None:
    """Return a field if it is other than it was shown; None if not."""
    now, before = form.text(name), form.text(f"was-{name}")
    return None if " ".join(now.split()) == " ".join(before.split()) else now


def _flag_changed(form: Form, name: str) -> bool | None:
    now, before = form.flag(name), form.flag(f"was-{name}")
    return None if now is before else now
