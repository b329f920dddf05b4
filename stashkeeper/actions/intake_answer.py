"""What an intake tells: the pieces taken in, and everything that was not, with the reason."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.actions.listing import shortened
from stashkeeper.cloth.reading import Doubt
from stashkeeper.errors import Mistake
from stashkeeper.luminance.colour_family import ColourFamily
from stashkeeper.transfer.photo_folder import PassedOver


@dataclass(frozen=True, slots=True)
class TakenPiece:
    """A piece taken in from a photo; `sized` tells whether its size is known."""

    code: str
    name: str
    photo: str
    count: int
    sized: bool
    lightness: float
    colour_family: ColourFamily | None
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """A photo that could not be taken in: what is wrong, and what to do."""

    photo: Path
    problem: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Intake:
    """The outcome of an intake.

    Attributes:
        pieces: taken in now.
        known: how many were on record already.
        problems: photos that could not be taken in.
        mistakes: of the list of sizes.
        left_out: photos that no good row of a list with mistakes names.
        passed_over: files that are no photos.
    """

    pieces: tuple[TakenPiece, ...]
    known: int
    problems: tuple[Problem, ...]
    mistakes: tuple[Mistake, ...]
    left_out: tuple[Path, ...]
    passed_over: tuple[PassedOver, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was taken in, then what was not and why."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[str]:
        for piece in self.pieces:
            doubts = f"  ({', '.join(piece.doubts)})" if piece.doubts else ""
            yield f"  {piece.code:<5} {shortened(piece.name):<32} {piece.photo}{doubts}"
        yield self.counts
        yield from self._what_to_mend()

    @property
    def counts(self) -> str:
        """How many were taken in."""
        were = "was" if self.known == 1 else "were"
        before = f"; {self.known} {were} on record already" if self.known else ""
        fabrics = len({piece.code for piece in self.pieces})
        photos = len({piece.photo for piece in self.pieces})
        return f"Took in {_count(fabrics, 'fabric')} from {_count(photos, 'photo')}{before}."

    def _what_to_mend(self) -> Iterator[str]:
        sizeless = list({piece.code: None for piece in self.pieces if not piece.sized})
        if sizeless:
            yield (
                f"{_count(len(sizeless), 'piece')} without a size yet ({', '.join(sizeless[:8])}"
                f"{' …' if len(sizeless) > 8 else ''}): `stashkeeper change {sizeless[0]} "
                '--size "18 x 21"` gives one.'
            )
        for problem in self.problems:
            yield f"Not taken in: {problem.problem} {problem.remedy}"
        if self.mistakes:
            yield f"The list has {_count(len(self.mistakes), 'mistake')}:"
        for mistake in self.mistakes:
            yield f"  line {mistake.line}: {mistake.text}"
        if self.left_out:
            names = ", ".join(photo.name for photo in self.left_out[:6])
            more = " …" if len(self.left_out) > 6 else ""
            yield (
                f"Waiting until the list is mended: {names}{more}. "
                "Mend it and run the same again; what is in stays in."
            )
        if self.passed_over:
            names = ", ".join(each.path.name for each in self.passed_over[:6])
            more = " …" if len(self.passed_over) > 6 else ""
            yield f"Passed over, being no photos: {names}{more}."


def _count(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
