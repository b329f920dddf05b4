"""A line-up as faces show it: its strips, their order, and what keeping it did."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from stashkeeper.actions.measuring import MeasuredPhoto
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import quoted
from stashkeeper.luminance.lineup import Split, typed_lines


@dataclass(frozen=True, slots=True)
class Strip:
    """One strip of a line-up, as its photo alone shows it.

    Attributes:
        number: from 1, from left to right (of lying strips from top to bottom).
        code, name: of the piece it shows; empty where nobody said.
        lightness, uncertainty: L*, of the photo taken at its word.
        doubts: what makes its part of the photo less sure, in clauses.
    """

    number: int
    code: str
    name: str
    lightness: float
    uncertainty: float
    doubts: tuple[str, ...]
    _measured: MeasuredPhoto = field(repr=False)

    @property
    def title(self) -> str:
        """Its number, and whose strip it is."""
        return f"{self.number} {titled(self.code, self.name)}" if self.code else f"{self.number}"

    @property
    def measured(self) -> MeasuredPhoto:
        """What was measured in it."""
        return self._measured


@dataclass(frozen=True, slots=True)
class ClosePair:
    """Two neighbours in the ranking that the photo cannot put in order, by their numbers."""

    lighter: int
    darker: int
    gap: float
    uncertainty: float


@dataclass(frozen=True, slots=True)
class LineUp:
    """How a photo of a line-up is split; nothing of it is on record until it is kept.

    Attributes:
        file_name: of the photo.
        split: its lines, and whether they are sure.
        strips: in the order they lie.
        ranked: their numbers, from light to dark.
        close: neighbours in that order which are closer than one photo can tell.
    """

    file_name: str
    split: Split
    strips: tuple[Strip, ...]
    ranked: tuple[int, ...]
    close: tuple[ClosePair, ...]
    _file: Path = field(repr=False)

    @property
    def file(self) -> Path:
        """The photo."""
        return self._file

    @property
    def sure(self) -> bool:
        """Whether the split can be taken without a look."""
        return self.split.sure

    @property
    def lines(self) -> str:
        """The lines as they can be typed again."""
        return typed_lines(self.split.lines)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The split and the ranking in words."""
        return tuple(self._words())

    def _words(self) -> Iterator[str]:
        way = "lying" if self.split.lying else "upright"
        unsure = max(strip.uncertainty for strip in self.strips)
        yield (
            f"{len(self.strips)} strips, {way}, in {quoted(self.file_name)}; light to dark, "
            f"each by itself ±{unsure:.0f}:"
        )
        strips = {strip.number: strip for strip in self.strips}
        for number in self.ranked:
            shown = shown_lightness(strips[number].lightness, provisional=True)
            yield f"  {shown:>5}  {strips[number].title}"
        for pair in self.close:
            yield (
                f"{strips[pair.lighter].title} and {strips[pair.darker].title} are "
                f"{pair.gap:.0f} ±{pair.uncertainty:.0f} apart: one photo cannot tell which is "
                "lighter."
            )
        for strip in self.strips:
            for doubt in strip.doubts:
                yield f"Strip {strip.title}: {doubt}."
        if not self.sure:
            yield f"It cannot find the split surely: {'; '.join(self.split.doubts)}."
        lying = " --lying" if self.split.lying else ""
        yield f'The lines: --lines "{self.lines}"{lying}'


@dataclass(frozen=True, slots=True)
class LineUpKept:
    """What keeping a line-up did.

    Attributes:
        readings: of each fabric that has a new one, by the code of a piece of it.
        photos: how many photos are tied together by fabrics they share, this one included.
        known: how many of their fabrics are of known lightness.
    """

    readings: dict[str, Reading]
    photos: int
    known: int
    sentences: tuple[str, ...]
