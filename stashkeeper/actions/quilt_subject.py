"""What a preview or a fit is of: a project, or a layout with sizes typed beside it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.layout_source import checked_layout, read_source
from stashkeeper.actions.layouts import checked_grid
from stashkeeper.actions.making import Making, quilt_of, wishes_of
from stashkeeper.actions.preview_words import Cast, PreviewWords
from stashkeeper.actions.project_words import ProjectWords, read_making, read_wishes
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.projects import project_named
from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.lengths.length import Measure
from stashkeeper.quilts.layout import roles
from stashkeeper.quilts.layout_library import layout_text
from stashkeeper.quilts.quilt import Quilt

USUAL_UNIT: Final = {Measure.INCHES: "4 in", Measure.CENTIMETRES: "10 cm"}
"""How large a unit is where nobody says (ours)."""

WISHED: Final = {Value.LIGHT: 82.0, Value.MEDIUM: 52.0, Value.DARK: 24.0}
"""The lightness that stands for a value where a role has no fabric yet (ours)."""


@dataclass(frozen=True, slots=True)
class Subject:
    """A quilt that is looked at or fitted.

    Attributes:
        title: what it is called.
        project: whether it is a project.
        text: of its layout file.
        making: what becomes of the layout.
        quilt: the quilt that results.
        wished: the lightness that stands for each role without a fabric, by its name.
        cast: the codes of the pieces chosen for each role.
    """

    title: str
    project: bool
    text: str
    making: Making
    quilt: Quilt
    wished: Mapping[str, float]
    cast: Cast

    @property
    def roles(self) -> list[str]:
        """The names of its roles, sets and borders included."""
        names = [role_name(role) for role in roles(self.quilt.layout)]
        return list(dict.fromkeys([*names, *(one.role for one in self.quilt.borders)]))


def subject_of(stash: Stash, session: Session, words: PreviewWords) -> Subject:
    """Return the project of a name, or else the layout; the layout whose text was handed in.

    Raises:
        NotFoundError: there is no such project, layout or file.
        BadFileError: the layout holds mistakes; all are told with line and column.
        BadRequestError, BadSizeError: a size, turn or role it cannot have; sizes for a project.
    """
    if words.text.strip():
        return _layout(stash, words, checked_layout(words.text, "Layout"))
    try:
        project = load_project(stash, session, words.name)
    except NotFoundError as unknown:
        return _layout(stash, words, _text_of(words, unknown))
    if words.making != ProjectWords():
        raise BadRequestError(
            f"“{project.name}” is a project, and has its own layout and sizes.",
            "Change the project, or name a layout.",
        )
    wished = {name: wish.value for name, wish in project.wishes.items()}
    cast = {role: tuple(row.code for row in rows) for role, rows in project.cast().items()}
    return Subject(
        words.title.strip() or project.name,
        True,
        project_named(session, project.name).layout,
        project.making,
        project.quilt,
        _lightness(wished, project.quilt),
        cast,
    )


def _text_of(words: PreviewWords, unknown: NotFoundError) -> str:
    """Return the text of the layout that a name means, which is no project."""
    try:
        return read_source(words.name.strip()) if words.files else layout_text(words.name)
    except NotFoundError as error:
        near = error.remedy if error.remedy.startswith("Did you mean") else ""
        raise NotFoundError(
            f"No project or layout is called {quoted(words.name)}.",
            near or "`stashkeeper projects` and `stashkeeper layouts` list them.",
            on_page=near or "Choose one of the list.",
        ) from unknown


def _layout(stash: Stash, words: PreviewWords, text: str) -> Subject:
    typed = checked_grid(words.making)
    if not (typed.unit or "").strip():
        typed = replace(typed, unit=USUAL_UNIT[stash.measure])
    making = read_making(typed, None, stash.measure)
    quilt = quilt_of(text, making, stash.settings.allowances.usable_width)
    known = wishes_of(quilt, Making(making.unit))
    wished = {**known, **read_wishes(typed.roles, known)}
    values = {name: wish.value for name, wish in wished.items()}
    title = words.title.strip() or quilt.layout.name
    return Subject(title, False, text, making, quilt, _lightness(values, quilt), {})


def _lightness(wished: Mapping[str, Value | None], quilt: Quilt) -> dict[str, float]:
    """Return the lightness that stands for each role without a fabric, set included."""
    found = {name: WISHED[value] for name, value in wished.items() if value is not None}
    for role in roles(quilt.layout):
        value = wished.get(role.name)
        if value is not None:
            found[role_name(role)] = WISHED[value]
    return found
