"""A unit in words, as a layout file has it: `half-square triangle: sky top left, star …`."""

import re
from collections.abc import Collection, Iterator
from difflib import get_close_matches
from typing import Final

from stashkeeper.errors import quoted
from stashkeeper.quilts.layout import OWN_SET, Role, Unit
from stashkeeper.quilts.shapes import ACROSS, BARS, DOWN, Shape, UnitKind, shape_of, shapes_of

LARGEST_UNIT: Final = 100
"""No unit covers more columns or rows (ours)."""

LONGEST_LINE: Final = 1000
"""The words of one unit need no more signs than this (ours)."""

KIND_WORDS: Final[dict[str, tuple[UnitKind, str]]] = {
    "square": (UnitKind.SQUARE, ""),
    "rectangle": (UnitKind.RECTANGLE, ""),
    "half square triangle": (UnitKind.HALF_SQUARE, ""),
    "quarter square triangle": (UnitKind.QUARTER_SQUARE, ""),
    "flying geese": (UnitKind.FLYING_GEESE, ""),
    "four patch": (UnitKind.FOUR_PATCH, ""),
    "bars across": (UnitKind.BARS, ACROSS),
    "bars down": (UnitKind.BARS, DOWN),
}
"""What a file may call a unit, hyphens and capitals aside."""

_KIND: Final = re.compile(r"\s*(?P<words>[^:0-9×]*?)\s*(?:(?P<x>\d+)\s*[x×]\s*(?P<y>\d+)\s*)?:")
_SET: Final = r"(?:\s*\((?P<set>own set|set [0-9]{1,3})\))?"


class WordsError(Exception):
    """A mistake in the words of a unit: where it begins (from 0), and a sentence."""

    def __init__(self, column: int, sentence: str) -> None:
        super().__init__(sentence)
        self.column = column
        self.sentence = sentence


def read_unit(text: str, role_names: Collection[str]) -> Unit:
    """Return the unit described by `text`.

    Raises:
        WordsError: the text describes none.
    """
    if len(text) > LONGEST_LINE:
        raise WordsError(0, f"A unit is told in at most {LONGEST_LINE} signs.")
    head = _KIND.match(text)
    if head is None:
        raise WordsError(0, "A unit is a kind, a colon and its roles, such as “square: star”.")
    kind, direction = _kind(head["words"], head.start("words"))
    given = list(_given(text, head.end(), kind, role_names))
    shape, roles = _shape(kind, direction, given, head.end())
    columns, rows = _size(head, kind, shape)
    return Unit(shape, roles, columns, rows)


def write_unit(unit: Unit) -> str:
    """Return the words that describe a unit; reading them gives the same unit."""
    kind, places = unit.kind, unit.shape.places
    if kind is UnitKind.BARS:
        words, patches = f"bars {places[0].split()[0]}", [str(role) for role in unit.roles]
    elif unit.shape.kind is UnitKind.SQUARE:
        words, patches = str(kind), [str(unit.roles[0])]
    else:
        by_role: dict[Role, list[str]] = {}
        for role, place in zip(unit.roles, places, strict=True):
            by_role.setdefault(role, []).append(place)
        words, patches = str(kind), [f"{r} {' and '.join(p)}" for r, p in by_role.items()]
    usual = (unit.columns, unit.rows) == _usual_size(kind, unit.shape)
    size = "" if usual else f" {unit.columns} x {unit.rows}"
    return f"{words}{size}: {', '.join(patches)}"


def nearest(word: str, known: Collection[str]) -> str:
    """Return a hint at the known word nearest to the one typed, or at all of them."""
    if not known:
        return "None is named before this line."
    near = get_close_matches(word, known, n=1)
    return f"Did you mean {quoted(near[0])}?" if near else f"Known are: {', '.join(known)}."


def _kind(words: str, column: int) -> tuple[UnitKind, str]:
    plain = " ".join(words.casefold().replace("-", " ").split())
    for spelling in (plain, plain.removesuffix("s")):
        if spelling in KIND_WORDS:
            return KIND_WORDS[spelling]
    names = [str(kind) for kind in UnitKind if str(kind) != UnitKind.BARS][:6]
    hint = nearest(plain, [*names, "bars across", "bars down"])
    raise WordsError(column, f"There is no unit called {quoted(words)}. {hint}")


def _given(
    text: str, start: int, kind: UnitKind, role_names: Collection[str]
) -> Iterator[tuple[Role, tuple[str, ...], int]]:
    """Yield each role of a unit, the places it takes, and the column it stands in."""
    known = "|".join(sorted({place for shape in shapes_of(kind) for place in shape.places}))
    places = rf"(?:\s+(?P<places>(?:{known})(?:\s+and\s+(?:{known}))*))?"
    form = re.compile(rf"(?P<role>.+?){_SET}{places}", re.IGNORECASE)
    column = start
    for part in text[start:].split(","):
        words = part.strip()
        here = column + len(part) - len(part.lstrip())
        column += len(part) + 1
        found = form.fullmatch(words)
        if found is None:
            raise WordsError(here, "A role is missing here.")
        name = " ".join(found["role"].casefold().split())
        if name not in role_names:
            raise WordsError(
                here, f"There is no role {quoted(found['role'])}. {nearest(name, role_names)}"
            )
        taken = re.split(r"\s+and\s+", found["places"].casefold()) if found["places"] else []
        yield Role(name, _set(found["set"])), tuple(" ".join(p.split()) for p in taken), here


def _set(words: str | None) -> int | None:
    if words is None:
        return None
    return OWN_SET if words.casefold() == "own set" else max(1, int(words.split()[1]))


def _shape(
    kind: UnitKind, direction: str, given: list[tuple[Role, tuple[str, ...], int]], end: int
) -> tuple[Shape, tuple[Role, ...]]:
    if kind in {UnitKind.SQUARE, UnitKind.RECTANGLE, UnitKind.BARS}:
        return _in_order(kind, direction, given, end)
    by_place: dict[str, Role] = {}
    for role, places, column in given:
        if not places:
            raise WordsError(column, f"{quoted(str(role))} has no place. {_places_of(kind)}")
        for place in places:
            if place in by_place:
                raise WordsError(column, f"Two roles are {place}.")
            by_place[place] = role
    for shape in shapes_of(kind):
        if set(shape.places) == by_place.keys():
            return shape, tuple(by_place[place] for place in shape.places)
    raise WordsError(end, f"These places do not make up the unit. {_places_of(kind)}")


def _in_order(
    kind: UnitKind, direction: str, given: list[tuple[Role, tuple[str, ...], int]], end: int
) -> tuple[Shape, tuple[Role, ...]]:
    """Return a shape whose roles are told one after the other, without places."""
    roles = tuple(role for role, _, _ in given)
    if kind is UnitKind.BARS:
        if len(roles) not in BARS:
            raise WordsError(end, "Bars are 2, 3, 4 or 6 roles, one after the other.")
        places = (f"{direction} {bar + 1}" for bar in range(len(roles)))
        return shape_of(kind, *places), roles
    if len(roles) != 1:
        raise WordsError(end, f"A {kind} has one role.")
    return shape_of(UnitKind.SQUARE, "whole"), roles


def _places_of(kind: UnitKind) -> str:
    ways = (", ".join(shape.places) for shape in shapes_of(kind))
    return f"The places of {kind} are {'; or '.join(ways)}."


def _size(head: re.Match[str], kind: UnitKind, shape: Shape) -> tuple[int, int]:
    usual = _usual_size(kind, shape)
    if head["x"] is None:
        if kind is UnitKind.RECTANGLE:
            raise WordsError(head.end() - 1, "A rectangle needs a size, such as “rectangle 2 x 1”.")
        return usual
    columns, rows = int(head["x"][:9]), int(head["y"][:9])
    column = head.start("x")
    if not (1 <= columns <= LARGEST_UNIT and 1 <= rows <= LARGEST_UNIT):
        raise WordsError(column, f"A unit covers from 1 to {LARGEST_UNIT} columns and rows.")
    if kind not in {UnitKind.RECTANGLE, UnitKind.BARS} and columns * usual[1] != rows * usual[0]:
        form = "as long as wide" if usual == (1, 1) else f"in the form of {usual[0]} x {usual[1]}"
        raise WordsError(column, f"This {kind} is {form}, not {columns} x {rows}.")
    return columns, rows


def _usual_size(kind: UnitKind, shape: Shape) -> tuple[int, int]:
    if kind is not UnitKind.FLYING_GEESE:
        return 1, 1
    return (2, 1) if {"pointing up", "pointing down"} & set(shape.places) else (1, 2)
