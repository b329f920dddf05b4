"""Making: what becomes of a layout in a project, and the quilt that results."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Self

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.length import Length
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Layout, Role, roles
from stashkeeper.quilts.layout_file import read_layout
from stashkeeper.quilts.quilt import Quilt
from stashkeeper.quilts.rearrange import exchanged, mirrored, turned
from stashkeeper.quilts.recipes import Methods
from stashkeeper.quilts.set_blocks import sashed, set_on_point
from stashkeeper.quilts.sewing import Finish, Sewing, checked
from stashkeeper.quilts.units import GeeseAtOnce, HalfSquaresAtOnce

type Plain = dict[str, Any]

_HALF_SQUARES: Mapping[int, HalfSquaresAtOnce] = {2: 2, 4: 4, 8: 8}
_GEESE: Mapping[int, GeeseAtOnce] = {1: 1, 4: 4}


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wished for a role: its value (None for any), and how many fabrics.

    `fabrics` is None for as many as its cuts take.
    """

    value: Value | None
    fabrics: int | None = 1


@dataclass(frozen=True, slots=True)
class Sash:
    """Sashing: its role and finished width, the role of cornerstones, whether it frames all."""

    role: str
    width: Length
    cornerstone: str = ""
    frame: bool = False


@dataclass(frozen=True, slots=True)
class Making:
    """What becomes of a layout.

    Attributes:
        unit: the finished side of a cell of its grid.
        columns, rows: units across and down, as the quilt lies; as in the file where None.
        turned: quarter turns, clockwise.
        mirrored: whether left and right are exchanged, after turning.
        exchanged: pairs of roles that change places.
        sash: sashing between the blocks; None without.
        on_point: the roles of the triangles around blocks on point and of the squares between
            them; None where blocks stand straight.
        borders: from the innermost out.
        sewing: seam, ruler mark, exact or trimmed.
        methods: how many units are made at a time.
        wishes: for roles, by name, what is wished other than the file says.
    """

    unit: Length
    columns: int | None = None
    rows: int | None = None
    turned: int = 0
    mirrored: bool = False
    exchanged: tuple[tuple[str, str], ...] = ()
    sash: Sash | None = None
    on_point: tuple[str, str] | None = None
    borders: tuple[Border, ...] = ()
    sewing: Sewing = field(default_factory=Sewing)
    methods: Methods = field(default_factory=Methods)
    wishes: Mapping[str, Wish] = field(default_factory=dict)

    def to_plain(self) -> Plain:
        """Return it as JSON knows it, lengths in ticks."""
        sash, sewing = self.sash, self.sewing
        return {
            "form": 1,
            "unit": self.unit.ticks,
            "columns": self.columns,
            "rows": self.rows,
            "turned": self.turned,
            "mirrored": self.mirrored,
            "exchanged": [list(pair) for pair in self.exchanged],
            "sash": sash and [sash.role, sash.width.ticks, sash.cornerstone, sash.frame],
            "on_point": self.on_point and list(self.on_point),
            "borders": [
                [one.role, one.width.ticks, one.end_width.ticks, str(one.corner)]
                for one in self.borders
            ],
            "sewing": [
                sewing.seam.ticks, sewing.mark.ticks, sewing.trim.ticks, str(sewing.finish)
            ],
            "methods": [self.methods.half_squares, self.methods.geese],
            "wishes": {
                role: [wish.value and str(wish.value), wish.fabrics]
                for role, wish in self.wishes.items()
            },
        }  # fmt: skip

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return what `to_plain` wrote down."""
        sash, (seam, mark, trim, finish) = plain["sash"], plain["sewing"]
        return cls(
            unit=Length(plain["unit"]),
            columns=plain["columns"],
            rows=plain["rows"],
            turned=plain["turned"],
            mirrored=plain["mirrored"],
            exchanged=tuple((one, other) for one, other in plain["exchanged"]),
            sash=sash and Sash(sash[0], Length(sash[1]), sash[2], sash[3]),
            on_point=plain["on_point"] and (plain["on_point"][0], plain["on_point"][1]),
            borders=tuple(
                Border(role, Length(width), Length(ends), Corner(corner))
                for role, width, ends, corner in plain["borders"]
            ),
            sewing=Sewing(Length(seam), Length(mark), Length(trim), Finish(finish)),
            methods=methods_of(*plain["methods"]),
            wishes={
                role: Wish(value and Value(value), fabrics)
                for role, (value, fabrics) in plain["wishes"].items()
            },
        )


def methods_of(half_squares: int, geese: int) -> Methods:
    """Return how many units are made at a time.

    Raises:
        BadRequestError: a number of triangles or geese that nobody makes at a time.
    """
    if half_squares not in _HALF_SQUARES:
        raise BadRequestError(
            f"Half-square triangles are not made {half_squares} at a time.", "Give 2, 4 or 8."
        )
    if geese not in _GEESE:
        raise BadRequestError(f"Flying geese are not made {geese} at a time.", "Give 1 or 4.")
    return Methods(_HALF_SQUARES[half_squares], _GEESE[geese])


def quilt_of(layout: str, making: Making, strip: Length) -> Quilt:
    """Return the quilt that becomes of a layout.

    Args:
        layout: the text of its file.
        making: what becomes of it.
        strip: the longest strip the fabric gives across its width.

    Raises:
        BadFileError: the text holds mistakes.
        BadRequestError, BadSizeError: a size, turn or setting that the layout cannot have.
    """
    plain = making.to_plain() | {"wishes": {}}
    return _quilt(layout, json.dumps(plain), strip)


@lru_cache(maxsize=16)
def _quilt(layout: str, plain: str, strip: Length) -> Quilt:
    """Return a quilt, kept for the next question: large ones take seconds to grow."""
    making = Making.from_plain(json.loads(plain))
    for count in (making.columns, making.rows):
        if count is not None and making.unit.ticks > 0:
            # Before a layout is grown, which takes a while for a quilt that nobody makes.
            checked(making.unit * count, "quilt")
    return Quilt(
        arranged(read_layout(layout), making),
        making.unit,
        making.sewing,
        making.sash.width if making.sash else None,
        making.borders,
        making.methods,
        strip,
    )


def arranged(block: Layout, making: Making) -> Layout:
    """Return a layout grown, sashed or set on point, turned and mirrored.

    Raises:
        BadRequestError, BadSizeError: a size, turn or setting that the layout cannot have.
    """
    for one, other in making.exchanged:
        block = exchanged(block, one, other)
    columns, rows = making.columns, making.rows
    if making.turned % 2:
        columns, rows = rows, columns
    layout = _set(block, making, columns or block.columns, rows or block.rows)
    layout = turned(layout, making.turned)
    return mirrored(layout) if making.mirrored else layout


def grid_of(layout: str, making: Making) -> tuple[int, int]:
    """Return the units of a quilt across and down, as it lies; sashing and setting not counted.

    Args:
        layout: the text of its file.
        making: what becomes of it.

    Raises:
        BadFileError: the text holds mistakes.
    """
    block = read_layout(layout)
    columns, rows = block.columns, block.rows
    if making.turned % 2:
        columns, rows = rows, columns
    return making.columns or columns, making.rows or rows


def wishes_of(quilt: Quilt, making: Making) -> dict[str, Wish]:
    """Return what is wished for each role of a quilt by its name, borders included.

    Raises:
        BadRequestError: something is wished for a role that the quilt does not have.
    """
    values = dict(quilt.layout.values)
    names = [role.name for role in roles(quilt.layout)]
    names += [border.role for border in quilt.borders]
    found = {name: Wish(values.get(name)) for name in dict.fromkeys(names)}
    for name, wish in making.wishes.items():
        if name not in found:
            raise BadRequestError(
                f"The quilt has no role “{name}”.", f"Its roles are {', '.join(found)}."
            )
        found[name] = wish
    return found


def _set(block: Layout, making: Making, columns: int, rows: int) -> Layout:
    """Return a block repeated as far as it goes, with sashing or on point where wished."""
    sash, point = making.sash, making.on_point
    if sash is None and point is None:
        return grown(block, columns, rows)
    if sash is not None and point is not None:
        raise BadRequestError("Blocks on point have no sashing here.", "Leave one of the two away.")
    across, down = _blocks(block, columns, rows)
    if point is not None:
        return set_on_point(block, across, down, Role(point[0]), Role(point[1]))
    assert sash is not None
    stones = Role(sash.cornerstone) if sash.cornerstone else None
    return sashed(block, across, down, Role(sash.role), stones, sash.frame)


def _blocks(block: Layout, columns: int, rows: int) -> tuple[int, int]:
    if columns % block.columns or rows % block.rows:
        raise BadRequestError(
            f"Blocks of {block.columns} × {block.rows} units do not fill {columns} × {rows}.",
            f"Give columns that go by {block.columns}, and rows that go by {block.rows}.",
        )
    return columns // block.columns, rows // block.rows
