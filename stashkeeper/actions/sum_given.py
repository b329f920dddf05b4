"""What was typed into the fields of a sum, read; and a sum itself."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.actions.sum_words import Field, Kind, Row, mixed
from stashkeeper.errors import BadRequestError, BadSizeError, NotFoundError, quoted
from stashkeeper.lengths.format import RULER_MARK, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length, parse_size
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.sewing import Finish, Sewing
from stashkeeper.quilts.yardage import metres, yards
from stashkeeper.settings.settings import Settings

_BETWEEN: Final = re.compile(r"\s*;\s*|\s*,\s+|\s+and\s+")

_ONE_OR_TWO: Final = re.compile(r"[0-9]+,[0-9]+")


class Given:
    """What was typed into the fields of a sum, read as it is asked for."""

    def __init__(
        self, fields: Sequence[Field], typed: Mapping[str, str], settings: Settings
    ) -> None:
        """Take the words of each field by its name; `settings` give measure and width of fabric.

        Raises:
            BadRequestError: a word for a field that the sum does not have.
        """
        self._fields = {field.name: field for field in fields}
        self._typed = {name: words.strip() for name, words in typed.items()}
        for name in typed:
            if name not in self._fields:
                raise BadRequestError(
                    f"This sum does not ask for {quoted(name)}.",
                    f"It asks for {', '.join(self._fields)}.",
                )
        self.settings = settings
        self.measure = settings.measure

    def has(self, name: str) -> bool:
        """Tell whether a field was filled in."""
        return bool(self._typed.get(name))

    def words(self, name: str) -> str:
        """Return what was typed, or else what usually holds.

        Raises:
            BadRequestError: it is needed, and nothing was typed.
        """
        field = self._fields[name]
        typed = self._typed.get(name) or field.usual_in(self.measure)
        if not typed and field.needed:
            raise BadRequestError(
                f"{field.label} is missing.", f"Give it: {field.about[0].lower()}{field.about[1:]}"
            )
        return typed

    def length(self, name: str, or_none: bool = False) -> Length:
        """Return a length, rounded up to a tick; `or_none` lets `0` and `none` be none at all.

        Raises:
            BadSizeError: it is none.
        """
        words = self.words(name)
        if or_none and words.casefold() in {"0", "none", "no"}:
            return Length(0)
        return self._told(name, lambda: parse_length(words, self.measure, Rounding.UP))

    def lengths(self, name: str) -> tuple[Length, ...]:
        """Return several lengths.

        Raises:
            BadSizeError: one of them is none, or may be one or two.
        """
        parts = [part for part in _BETWEEN.split(self.words(name)) if part]
        return tuple(self._told(name, lambda part=part: self._one_of(part)) for part in parts)  # type: ignore[misc]

    def _one_of(self, part: str) -> Length:
        """Return one of several lengths; inches have no decimal comma, so `2,4` may be two."""
        if self.measure is Measure.INCHES and _ONE_OR_TWO.fullmatch(part):
            one, two = part.split(",")
            raise BadSizeError(
                f"{quoted(part)} may be one length or two.",
                f"Type {quoted(f'{one}; {two}')} for two, or {quoted(f'{one}.{two}')} for one.",
            )
        try:
            return parse_length(part, self.measure, Rounding.UP)
        except BadSizeError as error:
            remedy = f"{error.remedy} Several go with semicolons: “2; 4”."
            raise BadSizeError(error.problem, remedy) from None

    def size(self, name: str, rounding: Rounding = Rounding.UP) -> Size:
        """Return a size; a single length is a square.

        Raises:
            BadSizeError: it is none.
        """
        words = self.words(name)
        if (square := self._square(words)) is not None:
            return square
        return self._told(name, lambda: parse_size(words, self.measure, rounding).size)

    def number(self, name: str) -> int:
        """Return a whole number.

        Raises:
            BadRequestError: it is none.
        """
        words = self.words(name).replace(",", "").replace(" ", "")
        if not re.fullmatch(r"[+-]?[0-9]{1,9}", words, re.ASCII):
            raise BadRequestError(
                f"{self._fields[name].label}: {quoted(self.words(name))} is no whole number.",
                "Give a whole number, such as 40.",
            )
        return int(words)

    def choice(self, name: str) -> str:
        """Return one of the words of a choice; the beginning of a word is enough.

        Raises:
            BadRequestError: it is none of them.
        """
        field, words = self._fields[name], self.words(name).casefold()
        found = [one for one in field.choices if one == words] or [
            one for one in field.choices if words and one.startswith(words)
        ]
        if len(found) != 1:
            raise BadRequestError(
                f"{field.label}: {quoted(words)} is none of the choices.",
                f"Give one of: {', '.join(field.choices)}.",
            )
        return found[0]

    def read(self, field: Field) -> None:
        """Read a field for its mistakes only.

        Raises:
            StashkeeperError: it is needed and empty, or cannot be read.
        """
        if not self.words(field.name) or field.kind is Kind.BED:
            return
        match field.kind:
            case Kind.LENGTH:
                self.length(field.name, or_none=True)
            case Kind.LENGTHS:
                self.lengths(field.name)
            case Kind.SIZE:
                self.size(field.name)
            case Kind.NUMBER:
                self.number(field.name)
            case Kind.CHOICE:
                self.choice(field.name)

    def sewing(self) -> Sewing:
        """Return how this person sews: the seam, and whether units are trimmed where that is asked.

        Raises:
            BadSizeError, BadRequestError: a seam that is none, or no such way to finish.
        """
        finish = Finish(self.choice("finish")) if "finish" in self._fields else Finish.EXACT
        usual = Sewing.in_measure(self.measure, finish)
        trim = self.length("trim", or_none=True) if self.has("trim") else usual.trim
        return Sewing(self.length("seam", or_none=True), usual.mark, trim, finish)

    def cloth_width(self) -> Length:
        """Return how wide the fabric is that strips are cut across: typed, or as the settings say.

        Raises:
            BadSizeError: it is no length.
        """
        if self.has("fabric-width"):
            return self.length("fabric-width")
        return self.settings.allowances.usable_width

    def shown(self, amount: Length | Size, rounding: Rounding = Rounding.UP) -> str:
        """Return a length or size in words, at a ruler mark."""
        if isinstance(amount, Size):
            return format_size(amount, self.measure, rounding)
        return format_length(amount, self.measure, rounding)

    def as_typed(self, amount: Length | Size) -> str:
        """Return a length or size that was typed: at its ruler mark, or else exactly."""
        sides = (amount.width, amount.length) if isinstance(amount, Size) else (amount,)
        mark = RULER_MARK[self.measure]
        if all(side == side.rounded_to(mark, Rounding.DOWN) for side in sides):
            return self.shown(amount)
        *first, last = [self.exactly(side) for side in sides]
        return "".join(f"{side.rpartition(' ')[0]} × " for side in first) + last

    def exactly(self, amount: Length) -> str:
        """Return a length to a thousandth of an inch or a hundredth of a millimetre."""
        if self.measure is Measure.CENTIMETRES:
            return f"{float(amount.millimetres) / 10:.3f}".rstrip("0").rstrip(".") + " cm"
        return f"{float(amount.inches):.3f}".rstrip("0").rstrip(".") + " in"

    def row(self, what: str, amount: Length | Size | int, note: str = "") -> Row:
        """Return a line of an answer: what is needed, so rounded up to a ruler mark."""
        shown = f"{amount:,}" if isinstance(amount, int) else self.shown(amount)
        return Row(what, shown, amount, note)

    def off_the_bolt(self, what: str, length: Length) -> Row:
        """Return how much to ask for in the shop: by the eighth of a yard, or by ten centimetres.

        Raises:
            BadSizeError: a length below zero.
        """
        if self.measure is Measure.CENTIMETRES:
            amount = metres(length)
            return Row(
                what, f"{float(amount):g} m", float(amount), f"{self.shown(length)} are used"
            )
        amount = yards(length)
        return Row(what, f"{mixed(amount)} yd", float(amount), f"{self.shown(length)} are used")

    def _square(self, words: str) -> Size | None:
        try:
            side = parse_length(words, self.measure, Rounding.UP)
        except BadSizeError:
            return None
        return Size(side, side)

    def _told[Answer](self, name: str, read: Callable[[], Answer]) -> Answer:
        """Return what is read; an error names the field, for a sum has many."""
        try:
            return read()
        except (BadSizeError, NotFoundError) as error:
            problem = f"{self._fields[name].label}: {error.problem[0].lower()}{error.problem[1:]}"
            raise type(error)(problem, error.remedy) from None


type Told = tuple[str, Sequence[Row], Sequence[str]]
"""What was asked, in words; the answer line by line; remarks."""


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum of quilt arithmetic: everything a face needs to ask for it.

    Attributes:
        name: by which it is asked for.
        title: at the head of its page.
        about: what it answers, in a line.
        fields: what it wants to know, what is needed first.
        source: where its formula comes from.
        work: works it out; raises StashkeeperError.
    """

    name: str
    title: str
    about: str
    fields: tuple[Field, ...]
    source: str
    work: Callable[[Given], Told]
