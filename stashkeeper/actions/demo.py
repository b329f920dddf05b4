"""The demo: an invented shelf, taken in, ranked, judged and drawn, all inside one folder."""

import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.actions.intake import Report, intake
from stashkeeper.actions.intake_answer import Intake
from stashkeeper.actions.pictures import Drawn, draw_ranking
from stashkeeper.actions.ranking import Ranking
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.actions.values import contrast, sort
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.paper import Paper
from stashkeeper.settings.load import load_settings
from stashkeeper.transfer.sample_shelf import SIZES, SampleFabric, copy_samples, sample_fabrics


@dataclass(frozen=True, slots=True)
class Truth:
    """How far the photos mislead, which only the maker of invented fabrics can know, in L*.

    Attributes:
        mean_error, worst_error: of the shelf's provisional lightness.
        pairs: of fabrics in the project's photo that are 10 L* or more apart.
        wrong_pairs: those the photo puts the wrong way round.
    """

    mean_error: float
    worst_error: float
    pairs: int
    wrong_pairs: int


@dataclass(frozen=True, slots=True)
class Demo:
    """What the demo did and found."""

    folder: Path
    intake: Intake
    shelf: Ranking
    project: Ranking
    truth: Truth
    sheets: tuple[Path, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """The whole demo in words."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[str]:
        yield "THE SHELF: the quilters' guild of Ottersound, an invented place with invented cloth."
        yield self.intake.counts
        yield " "
        yield from self.shelf.sentences
        yield " "
        yield "A QUILT: nine of them, chosen for three values and photographed side by side."
        yield " "
        yield from self.project.sentences
        yield " "
        yield "THE TRUTH, known because the cloth is invented:"
        yield (
            f"  Alone, these photos are off by {self.truth.mean_error:.0f} L* on average and by "
            f"{self.truth.worst_error:.0f} at most: hence ±25."
        )
        yield (
            f"  Side by side, {self.truth.wrong_pairs} of {self.truth.pairs} pairs that are 10 or "
            "more apart come out in the wrong order."
        )
        yield " "
        yield "SHEETS to look at and to pin up:"
        yield from (f"  {sheet}" for sheet in self.sheets)
        yield " "
        yield from self._next()

    def _next(self) -> Iterator[str]:
        stash = f"--stash {shlex.quote(str(self.folder / 'stash'))}"
        first = self.shelf.pieces[0].code
        yield "TRY NEXT, on this shelf:"
        yield f"  stashkeeper list blue {stash}"
        yield f"  stashkeeper show {first} {stash}"
        yield f"  stashkeeper sort --by split tag:floral {stash}"
        yield "Or begin your own shelf (it lives elsewhere; this demo never touches it):"
        yield '  stashkeeper add "navy dots" --size "fat quarter" --photo my-photo.jpg'


def demo(folder: Path, report: Report = lambda _done, _of, _name: None) -> Demo:
    """Run the main job on the sample photos. Everything is written inside `folder`.

    Run again, it finds its shelf as it left it.

    Raises:
        CannotWriteError: the folder cannot be written.
        NotFoundError: the program was installed without its sample photos.
    """
    photos = copy_samples(folder.expanduser() / "photos")
    fabrics = sample_fabrics()
    with open_stash(load_settings(photos.parent / "stash", {})) as stash:
        taken = intake(stash, photos, sizes=photos / SIZES, report=report)
        shelf = sort(stash, [])
        project = _project(stash, shelf, fabrics)
        sheets = _sheets(stash, photos.parent, shelf, project)
        return Demo(photos.parent, taken, shelf, project, _truth(shelf, project, fabrics), sheets)


def _project(stash: Stash, shelf: Ranking, fabrics: Mapping[str, SampleFabric]) -> Ranking:
    """Judge the sample project: the pieces whose fabric has a group in it."""
    codes: dict[Value, list[str]] = {value: [] for value in Value}
    for piece in shelf.pieces:
        group = fabrics[piece.name].group if piece.name in fabrics else None
        if group is not None:
            codes[group].append(piece.code)
    return contrast(stash, [",".join(codes[value]) for value in Value])


def _sheets(stash: Stash, folder: Path, shelf: Ranking, project: Ranking) -> tuple[Path, ...]:
    drawn: list[Drawn] = []
    for name, title, ranking in (
        ("shelf", "The guild shelf of Ottersound", shelf),
        ("harbour-quilt", "Harbour quilt: nine fabrics", project),
    ):
        for kind in ("pdf", "png"):
            out = folder / f"{name}.{kind}"
            drawn.append(draw_ranking(stash, ranking, out, title, Paper.A4, kind))
    return tuple(file for one in drawn for file in one.files)


def _truth(shelf: Ranking, project: Ranking, fabrics: Mapping[str, SampleFabric]) -> Truth:
    errors = [
        abs(piece.lightness - fabrics[piece.name].lightness)
        for piece in shelf.pieces
        if piece.name in fabrics
    ]
    chosen = [piece for piece in project.pieces if piece.name in fabrics]
    apart = [
        (fabrics[one.name].lightness - fabrics[other.name].lightness)
        * (one.lightness - other.lightness)
        for index, one in enumerate(chosen)
        for other in chosen[index + 1 :]
        if abs(fabrics[one.name].lightness - fabrics[other.name].lightness) >= 10
    ]
    return Truth(
        sum(errors) / len(errors) if errors else 0.0,
        max(errors, default=0.0),
        len(apart),
        sum(product < 0 for product in apart),
    )
