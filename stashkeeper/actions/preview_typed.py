"""The form of a preview: what was typed into it, and what it asks of this quilt."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.layout_page import typed_words
from stashkeeper.actions.preview_words import MOST_INSTEAD, PreviewWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.quilt_subject import Subject, subject_of
from stashkeeper.actions.stash import Stash
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError, StashkeeperError
from stashkeeper.pictures.preview_scene import without_set

FIELDS: Final = (
    "project", "layout", "text", "unit", "columns", "rows", "turn", "mirror", "exchange",
    "border", "title", "paper",
)  # fmt: skip
"""The fields of the form, but for the fabrics of each role."""

CHOICES: Final = ("fabric", *(f"instead{number}" for number in range(1, MOST_INSTEAD + 1)))
"""How the fields begin that ask for the fabrics of a role: the first choice, and others."""

MOST_PAINTED: Final = 40_000
"""A quilt of more units is not painted for a page (ours): a patch would be smaller than a dot."""

_QUILTS: Final = ("project", "layout", "text")
"""The fields that say which quilt is meant."""

_NAMES: Final = frozenset({*_QUILTS, "title"})
"""Fields that say which quilt it is: what is wrong with those is told of the whole."""

LONGEST_TYPED: Final = 200
LONGEST_TEXT: Final = 200_000

type Typed = Mapping[str, str]
"""What was typed, by the names of the fields; what was not typed is not there."""


@dataclass(frozen=True, slots=True)
class AskedRole:
    """A role that a preview asks for.

    Attributes:
        name: without its set.
        value: that is wished for it; None for any.
        chosen: the codes that are chosen for it already, with commas between.
    """

    name: str
    value: Value | None
    chosen: str


@dataclass(frozen=True, slots=True)
class AskedQuilt:
    """A quilt that a preview is asked for: its title, and the roles fabrics are chosen for."""

    title: str
    project: bool
    roles: tuple[AskedRole, ...]


def read_typed(sent: Mapping[str, str]) -> dict[str, str]:
    """Return the fields of the form among what was sent; others are not read."""
    known = dict[str, str]()
    for name, typed in sent.items():
        if not typed.strip() or len(name) > LONGEST_TYPED:
            continue
        if name in FIELDS or name.partition(".")[0] in CHOICES:
            known[name] = typed[: LONGEST_TEXT if name == "text" else LONGEST_TYPED]
    return known


def names_a_quilt(typed: Typed) -> bool:
    """Tell whether it is said which quilt is meant."""
    return any(typed.get(name, "").strip() for name in _QUILTS)


def asked_quilt(stash: Stash, typed: Typed) -> AskedQuilt:
    """Return what a preview asks of a quilt.

    Raises:
        StashkeeperError: no such project or layout, mistakes in its text, sizes it cannot have.
    """
    words = preview_words(typed)
    with stash.reading() as session:
        subject = subject_of(stash, session, words)
    found: dict[str, list[str]] = {}
    for role in subject.roles:
        found.setdefault(without_set(role), []).extend(subject.cast.get(role, ()))
    wished = dict(subject.quilt.layout.values)
    asked = tuple(
        AskedRole(name, wished.get(name), ", ".join(dict.fromkeys(codes)))
        for name, codes in found.items()
    )
    check_size(subject)
    return AskedQuilt(subject.title, subject.project, asked)


def asked_anyway(stash: Stash, typed: Typed) -> AskedQuilt | None:
    """Return what a quilt asks for as it is drawn, where its typed sizes cannot be.

    Roles that were typed are asked for again, whether it has them or not: nothing typed is lost.
    None where there is no such quilt.
    """
    try:
        asked = asked_quilt(stash, {name: typed[name] for name in _QUILTS if name in typed})
    except StashkeeperError:
        return None
    known = {one.name for one in asked.roles}
    said = (name.partition(".") for name in typed)
    more = dict.fromkeys(role for _, dot, role in said if dot and role not in known)
    return replace(asked, roles=(*asked.roles, *(AskedRole(role, None, "") for role in more)))


def preview_words(typed: Typed, *, outline: bool = False) -> PreviewWords:
    """Return what is wanted, from the fields of the form.

    Raises:
        BadRequestError, BadSizeError: a field cannot be read.
    """
    project = typed.get("project", "").strip()
    return PreviewWords(
        name=project or typed.get("layout", "").strip(),
        fabrics=_of_choice(typed, CHOICES[0]),
        instead=["; ".join(said) for choice in CHOICES[1:] if (said := _of_choice(typed, choice))],
        making=ProjectWords() if project else _making(typed),
        title=typed.get("title", ""),
        paper=typed.get("paper", "").strip() or None,
        outline=outline,
        text="" if project else typed.get("text", ""),
        files=False,
    )


def check_size(subject: Subject) -> None:
    """Refuse a quilt of more units than a page paints.

    Raises:
        BadRequestError: it has more.
    """
    units = len(subject.quilt.layout.placed)
    if units > MOST_PAINTED:
        raise BadRequestError(
            f"{units:,} units are too many to be painted for a page.",
            "Give fewer columns and rows, or draw it on the command line.",
        )


def field_of_preview(error: StashkeeperError, typed: Typed) -> str:
    """Return the field that an error is about; empty where it quotes none of them."""
    words = {name: said for name, said in typed.items() if name not in _NAMES}
    return field_about(error, words, ("columns", "rows"))


def _of_choice(typed: Typed, choice: str) -> list[str]:
    return [
        f"{name.partition('.')[2]}={codes}"
        for name, codes in typed.items()
        if name.partition(".")[0] == choice and codes.strip()
    ]


def _making(typed: Typed) -> ProjectWords:
    grid = typed_words(typed)
    borders = [part for part in typed.get("border", "").split(";") if part.strip()]
    return ProjectWords(
        unit=typed.get("unit") or None,
        columns=grid.columns,
        rows=grid.rows,
        turn=grid.turn,
        mirror=grid.mirror,
        exchange=grid.exchange,
        borders=borders,
    )
