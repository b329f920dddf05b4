"""What a person types about a project, read: its layout, sizes, borders, wishes for its roles."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from stashkeeper.actions.making import Making, Sash, Wish, methods_of
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadNameError, BadRequestError, quoted
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_length
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.sewing import Finish, Sewing

LONGEST_ROLE: Final = 40
"""The most signs the name of a role may have (ours)."""

MOST_BORDERS: Final = 12
"""The most borders around one quilt (ours)."""

_COUNT: Final = re.compile(r"(\d{1,6})(?:\s*fabrics?)?", re.ASCII)
_ANY_NUMBER: Final = frozenset({"any number", "any number of fabrics", "as many as it takes"})
_BETWEEN: Final = re.compile(r"\s*(?:,|\band\b)\s*")


@dataclass(frozen=True, slots=True)
class ProjectWords:
    """What was typed about a project; None (or nothing) where nothing was.

    Attributes:
        layout: the name of a traditional layout, or of a file.
        unit: the finished side of a unit, `4 in`.
        columns, rows: units across and down.
        turn: quarter turns, clockwise.
        mirror: whether left and right are exchanged.
        exchange: roles that change places, `star,background` each.
        sash: sashing, `sashing: 1 1/2 in`; `none` for no more.
        cornerstones: the role of the squares where sashing crosses.
        frame: whether sashing goes all around as well.
        on_point: the role of the triangles around blocks on point; `none` for no more.
        between: the role of the squares between blocks on point; that of the triangles if None.
        borders: from the innermost out, `frame: 2 in mitred` each; `none` for no more.
        roles: wishes, `background: light, 2 fabrics` each.
        half_squares, geese: how many are made at a time.
        exact: whether units are cut to come out exactly, or large and trimmed.
        seam: the seam allowance.
    """

    layout: str | None = None
    unit: str | None = None
    columns: int | None = None
    rows: int | None = None
    turn: int | None = None
    mirror: bool | None = None
    exchange: Sequence[str] = ()
    sash: str | None = None
    cornerstones: str | None = None
    frame: bool | None = None
    on_point: str | None = None
    between: str | None = None
    borders: Sequence[str] = ()
    roles: Sequence[str] = ()
    half_squares: int | None = None
    geese: int | None = None
    exact: bool | None = None
    seam: str | None = None


def read_making(words: ProjectWords, before: Making | None, measure: Measure) -> Making:
    """Return what becomes of a layout: as before, where nothing else was typed.

    Wishes for roles are read by `read_wishes`, once it is known what roles there are.

    Raises:
        StashkeeperError: a word cannot be read.
    """
    if before is None and not (words.unit or "").strip():
        raise BadRequestError(
            "How large a unit is was not said.",
            'Give its finished side, as in --unit "4 in".',
            on_page="Type the finished side of a unit, such as 4 in.",
        )
    making = before or Making(Length(0), sewing=Sewing.in_measure(measure))
    if words.unit and words.unit.strip():
        making = replace(making, unit=parse_length(words.unit, measure, Rounding.UP))
    making = _resized(making, words)
    making = _sashed(making, words, measure)
    if words.borders:
        making = replace(making, borders=read_borders(words.borders, measure))
    return _sewn(making, words, measure)


def read_wishes(texts: Sequence[str], known: Mapping[str, Wish]) -> dict[str, Wish]:
    """Return the wishes typed, by the role each is for.

    Args:
        texts: `background: light, 2 fabrics` each.
        known: what is wished for each role so far; what is not said stays as it is.

    Raises:
        BadNameError, BadRequestError: one cannot be read.
    """
    found = dict(known)
    typed = dict[str, Wish]()
    for text in texts:
        if text.strip():
            role, wish = read_wish(text, found)
            found[role] = typed[role] = wish
    return typed


def read_borders(texts: Sequence[str], measure: Measure) -> tuple[Border, ...]:
    """Return borders as typed, from the innermost out: `frame: 2 in`, `edge: 4 in x 6 in`.

    Raises:
        StashkeeperError: one cannot be read, or there are too many.
    """
    typed = [text for text in texts if text.strip().casefold() not in {"", "none"}]
    if len(typed) > MOST_BORDERS:
        raise BadRequestError(
            f"{len(typed)} borders were given.", f"A quilt has at most {MOST_BORDERS}."
        )
    return tuple(_border(text, measure) for text in typed)


def read_wish(text: str, known: Mapping[str, Wish]) -> tuple[str, Wish]:
    """Return a role and what is wished for it: `background: light, 2 fabrics`, `star: any`.

    What is not said stays as it is `known` to be.

    Raises:
        BadRequestError: it cannot be read.
    """
    name, colon, rest = text.partition(":")
    role = role_name(name)
    wish = known.get(role)
    value, fabrics = (wish.value, wish.fabrics) if wish else (None, 1)
    parts = [part for part in _BETWEEN.split(rest.strip().casefold()) if part]
    if not colon or not parts:
        raise _bad_wish(text)
    for part in parts:
        if part in {str(one) for one in Value}:
            value = Value(part)
        elif part in {"any", "any value"}:
            value = None
        elif part in _ANY_NUMBER:
            fabrics = None
        elif (count := _COUNT.fullmatch(part)) and int(count[1]):
            fabrics = int(count[1])
        else:
            raise _bad_wish(text)
    return role, Wish(value, fabrics)


def role_name(text: str) -> str:
    """Return the name of a role as layouts keep it.

    Raises:
        BadNameError: it is empty, too long, or holds a sign that layout files use.
    """
    name = " ".join(text.casefold().split())
    if not name or len(name) > LONGEST_ROLE or any(sign in name for sign in "(),=:"):
        raise BadNameError(
            f"{quoted(text.strip())} is no name for a role.",
            "Type a word or two without brackets, commas, colons or =.",
        )
    return name


def _resized(making: Making, words: ProjectWords) -> Making:
    pairs = tuple(_pair(text) for text in words.exchange if text.strip())
    return replace(
        making,
        columns=making.columns if words.columns is None else words.columns,
        rows=making.rows if words.rows is None else words.rows,
        turned=making.turned if words.turn is None else words.turn % 4,
        mirrored=making.mirrored if words.mirror is None else words.mirror,
        exchanged=(*making.exchanged, *pairs),
    )


def _sashed(making: Making, words: ProjectWords, measure: Measure) -> Making:
    sash, point = making.sash, making.on_point
    if words.sash is not None:
        sash = None
        if words.sash.strip().casefold() not in {"", "none"}:
            role, width = _role_and_width(words.sash, "sashing: 1 1/2 in")
            sash = Sash(role, parse_length(width, measure, Rounding.UP))
    if sash is not None and words.cornerstones is not None:
        none = words.cornerstones.strip().casefold() in {"", "none"}
        sash = replace(sash, cornerstone="" if none else role_name(words.cornerstones))
    if sash is not None and words.frame is not None:
        sash = replace(sash, frame=words.frame)
    if sash is None and (words.cornerstones or words.frame):
        raise BadRequestError(
            "Cornerstones and frames belong to sashing, and there is none.",
            'Say how wide it is, as in --sash "sashing: 1 1/2 in".',
            on_page="Type how wide the sashing is, such as sashing: 1 1/2 in.",
        )
    if words.on_point is not None:
        none = words.on_point.strip().casefold() in {"", "none"}
        point = None if none else (role_name(words.on_point),) * 2
    if point is not None and words.between:
        point = point[0], role_name(words.between)
    return replace(making, sash=sash, on_point=point)


def _sewn(making: Making, words: ProjectWords, measure: Measure) -> Making:
    sewing, methods = making.sewing, making.methods
    if words.exact is not None:
        sewing = replace(sewing, finish=Finish.EXACT if words.exact else Finish.TRIMMED)
    if words.seam and words.seam.strip():
        sewing = replace(sewing, seam=parse_length(words.seam, measure, Rounding.UP))
    half_squares = words.half_squares or methods.half_squares
    return replace(
        making, sewing=sewing, methods=methods_of(half_squares, words.geese or methods.geese)
    )


def _border(text: str, measure: Measure) -> Border:
    role, rest = _role_and_width(text, "frame: 2 in")
    corner, width = Corner.BUTTED, rest
    for one in Corner:
        if rest.casefold().endswith(str(one)):
            corner, width = one, rest[: -len(str(one))].strip(" ,")
    sides, _, ends = width.replace("×", " x ").partition(" x ")
    return Border(
        role,
        parse_length(sides, measure, Rounding.UP),
        parse_length(ends, measure, Rounding.UP) if ends.strip() else None,
        corner,
    )


def _role_and_width(text: str, example: str) -> tuple[str, str]:
    name, colon, width = text.partition(":")
    if not colon or not width.strip():
        raise BadRequestError(
            f"{quoted(text)} does not say what it is made of and how wide it is.",
            f"Write it as “{example}”.",
        )
    return role_name(name), width.strip()


def _pair(text: str) -> tuple[str, str]:
    names = [part for part in _BETWEEN.split(text.strip()) if part]
    if len(names) != 2:
        raise BadRequestError(
            f"{quoted(text)} does not name two roles.", "Name two, as in star,background."
        )
    return role_name(names[0]), role_name(names[1])


def _bad_wish(text: str) -> BadRequestError:
    return BadRequestError(
        f"{quoted(text)} is no wish for a role.",
        "Write it as “background: light, 2 fabrics”; any for any value, any number for as many "
        "fabrics as it takes.",
    )
