"""Size to fit as its pages show it: to a bed, to the cloth, a border from off-cuts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from stashkeeper.actions.fitting_bed import BedFitted, fit_bed
from stashkeeper.actions.fitting_border import BorderFitted, fit_border
from stashkeeper.actions.fitting_cloth import ClothFitted
from stashkeeper.actions.layout_page import typed_count
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.project_list import list_all
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.quilts.beds import BEDS
from stashkeeper.quilts.layout_library import layout_called, layout_names

WAYS: Final[Mapping[str, str]] = {
    "bed": "Fit a quilt to a bed",
    "cloth": "Fit a quilt to its cloth",
    "border": "A border from off-cuts",
}
"""What can be fitted, and the title of its page."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One way to fit a quilt.

    Attributes:
        heading: what is fitted.
        lines: what, how much, and a note, each.
        project: the project that can be changed to it; empty where one can be begun.
        fields: of that project, by their names; nothing where there is none.
    """

    heading: str
    lines: tuple[tuple[str, str, str], ...]
    project: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Fitted:
    """What came of a fit.

    Attributes:
        title: what was fitted, and to what.
        answers: each way there is, the plainest first.
        table: rows of words below headings; empty where there is none.
        headings: of the table.
        remarks: what stops a larger one, and what to measure first.
    """

    title: str
    answers: tuple[Answer, ...]
    remarks: tuple[str, ...]
    headings: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()


def known_quilts(stash: Stash) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of the projects under way, and of the traditional layouts."""
    projects = list_all(stash).projects
    return tuple(one.name for one in projects if not one.ended), layout_names()


def known_beds() -> tuple[str, ...]:
    """Return the beds that go by a name."""
    return tuple(BEDS)


def fit(stash: Stash, way: str, typed: Mapping[str, str]) -> Fitted:
    """Fit a quilt to a bed, or a border of off-cuts around it, as its command does.

    Args:
        stash: the open stash.
        way: bed or border.
        typed: the fields of the page, by their names.

    Raises:
        StashkeeperError: as `fit_bed` and `fit_border`.
    """
    said = _said(typed)
    name = said["name"]
    if way == "border":
        search = [said["q"]] if "q" in said else []
        return _border(stash, fit_border(stash, name, search, said.get("widest"), files=False))
    words = PreviewWords(name, making=ProjectWords(unit=said.get("unit")), files=False)
    if "bed" not in said:
        raise BadRequestError(
            "Which bed it is for was not said.", "Name a bed, or type the finished size wished."
        )
    foot = said.get("foot") != "no"
    fitted = fit_bed(stash, words, said["bed"], said.get("drop"), said.get("border"), foot)
    return _bed(fitted, stash.measure)


def cloth_words(typed: Mapping[str, str]) -> PreviewWords:
    """Return what is to be fitted to its cloth, from the fields of the page.

    Raises:
        BadRequestError: nothing is named, or a field is no number.
    """
    said = _said(typed)
    columns = typed_count(said.get("columns", ""), "columns")
    rows = typed_count(said.get("rows", ""), "rows")
    borders = tuple(part for part in said.get("border", "").split(";") if part.strip())
    making = ProjectWords(columns=columns, rows=rows, borders=borders)
    fabrics = tuple(part for part in said.get("fabrics", "").split(";") if part.strip())
    return PreviewWords(said["name"], fabrics, making=making, files=False)


def _said(typed: Mapping[str, str]) -> dict[str, str]:
    said = {name: words.strip() for name, words in typed.items() if words.strip()}
    if "name" not in said:
        raise BadRequestError("What is to be fitted was not said.", "Name a project or a layout.")
    return said


def _bed(fitted: BedFitted, measure: Measure) -> Fitted:
    wished = format_size(fitted.wished, measure, Rounding.UP)
    answers = []
    for way in fitted.ways:
        made = way.fit
        finished = format_size(made.finished, measure, Rounding.UP)
        lines = [
            ("finished", finished, ""),
            ("units", f"{made.columns} × {made.rows}", ""),
            ("each unit", _length(made.unit, measure), "finished side"),
        ]
        if made.side_border or made.end_border:
            side, end = _length(made.side_border, measure), _length(made.end_border, measure)
            alike = side == end
            lines.append(("borders", side, "all around" if alike else "left and right"))
            if not alike:
                lines.append(("", end, "top and bottom"))
        fields = dict(way.fields)
        if fields and not fitted.project:
            fields["layout"] = layout_called(fitted.name)
        project = fitted.name if fitted.project else ""
        answers.append(Answer(way.words, tuple(lines), project, fields))
    return Fitted(f"{fitted.title}, to cover {wished}", tuple(answers), fitted.remarks)


def _length(length: Length, measure: Measure) -> str:
    return format_length(length, measure, Rounding.UP) if length else "none"


def cloth_shown(fitted: ClothFitted, measure: Measure) -> Fitted:
    """Return what came of a fit to cloth, as its page shows it."""
    surely = "proven by a cutting plan" if fitted.proven else "each part counted alone"
    lines = (
        ("each unit", format_length(fitted.unit, measure), "finished side"),
        ("finished", format_size(fitted.finished, measure, Rounding.UP), surely),
    )
    return Fitted(fitted.title, (Answer("As large as its cloth allows", lines),), fitted.remarks)


def _border(stash: Stash, fitted: BorderFitted) -> Fitted:
    made, measure = fitted.border, stash.measure
    cuts = made.cuts
    lines = (
        ("border", format_length(made.width, measure), "finished width, the widest possible"),
        ("finished", format_size(cuts.finished, measure, Rounding.UP), "the new size"),
        ("two sides", format_size(cuts.sides, measure, Rounding.UP), "cut from the joined strip"),
        ("top and bottom", format_size(cuts.ends.turned(), measure, Rounding.UP), "then these"),
        ("joined strip", format_length(made.made, measure), f"{made.joins} straight joins"),
        ("needed", format_length(made.needed, measure, Rounding.UP), "of it"),
    )
    doubts = f"Sizes not measured yet: {', '.join(fitted.doubts)}." if fitted.doubts else ""
    return Fitted(
        f"A border pieced from off-cuts around {fitted.title}",
        (Answer("Butted", lines),),
        (doubts,) if doubts else (),
        fitted.headings,
        tuple(fitted.rows()),
    )
