"""What a sum of quilt arithmetic asks for and what it answers, for any face to show."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size

type Amount = Length | Size | float | str
"""What an answer is, unrounded: a length, a size, yards or metres, a count, or a word."""

_EIGHTHS: Final = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


class Kind(StrEnum):
    """What is typed into a field."""

    LENGTH = "length"
    LENGTHS = "lengths"
    """Several lengths, with a comma and a blank, a semicolon or the word `and` between them."""
    SIZE = "size"
    NUMBER = "number"
    CHOICE = "choice"
    BED = "bed"
    """A bed by its name, or the size of a mattress."""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that a sum wants to know.

    Attributes:
        name: as an option of the command line and in a form: `strip-width`.
        label: what stands beside it on a page.
        kind: what is typed.
        needed: whether nothing goes without it; on the command line it needs no option then.
        usual: what holds where it is left out, in the words that could be typed; a pair where
            inches and centimetres differ; empty where it is reckoned from the rest.
        choices: the words of a choice.
        about: what it means.
    """

    name: str
    label: str
    kind: Kind
    about: str
    needed: bool = False
    usual: str | tuple[str, str] = ""
    choices: tuple[str, ...] = ()

    def usual_in(self, measure: Measure) -> str:
        """Return what holds where it is left out, in this measure."""
        if isinstance(self.usual, str):
            return self.usual
        return self.usual[0 if measure is Measure.INCHES else 1]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of an answer.

    Attributes:
        what: what it is.
        shown: in words, at a ruler mark.
        amount: the same, unrounded.
        note: what belongs to it, such as how many of it; may be empty.
    """

    what: str
    shown: str
    amount: Amount
    note: str = ""


@dataclass(frozen=True, slots=True)
class Worked:
    """A sum that was worked out.

    Attributes:
        name: of the sum.
        title: what was asked, in words.
        rows: the answer, line by line.
        remarks: where a printed rule and geometry differ, and other things worth knowing.
        source: where the formula comes from.
    """

    name: str
    title: str
    rows: tuple[Row, ...]
    remarks: tuple[str, ...]
    source: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """Title, table, remarks and source, a line each."""
        what = max(len(row.what) for row in self.rows)
        shown = max(len(row.shown) for row in self.rows)
        lines = [f"  {row.what:<{what}}  {row.shown:<{shown}}  {row.note}" for row in self.rows]
        return (self.title, *lines, *self.remarks, f"Where it comes from: {self.source}")


def mixed(amount: Fraction) -> str:
    """Return a number of eighths as it is written: 1⅛; other fractions as 1 1/3."""
    whole, part = divmod(amount, 1)
    if (part * 8).denominator == 1:
        return f"{whole or ''}{_EIGHTHS[int(part * 8)]}" or "0"
    return f"{whole or ''} {part.numerator}/{part.denominator}".strip()
