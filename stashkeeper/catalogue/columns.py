"""How our own values lie in a database column, the same in SQLite and PostgreSQL."""

# ruff: noqa: ARG002  (SQLAlchemy hands every column type the dialect; ours are alike in both)

import uuid
from collections.abc import Iterable
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any, ClassVar

from sqlalchemy import (
    JSON,
    BigInteger,
    ColumnElement,
    DateTime,
    Dialect,
    String,
    Text,
    type_coerce,
)
from sqlalchemy.types import TypeDecorator

from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length

Point = tuple[float, float]
"""A point of an upright photo: fractions of its width and height, 0 to 1, from the top left."""

Corners = tuple[Point, Point, Point, Point]
"""Four corners of a region: top left, top right, bottom right, bottom left."""


class PieceKind(StrEnum):
    """What one row of the shelf is."""

    PIECE = "piece"
    SCRAPS = "scraps"
    """A bag of scraps, with a count or a weight instead of one true size."""


class End(StrEnum):
    """How a piece ended."""

    ALL_CUT = "all cut"
    GIVEN = "given"
    SOLD = "sold"
    LOST = "lost"
    MISTAKE = "entered by mistake"


class Side(StrEnum):
    """Which side of the cloth a photo shows."""

    FACE = "face"
    BACK = "back"


class LengthColumn(TypeDecorator[Length]):
    """A length as its whole number of ticks, so that databases sort and compare it exactly."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Length | None, dialect: Dialect) -> int | None:
        """Give the database the ticks."""
        return None if value is None else value.ticks

    def process_result_value(self, value: int | None, dialect: Dialect) -> Length | None:
        """Make a length of the ticks."""
        return None if value is None else Length(value)


class MomentColumn(TypeDecorator[datetime]):
    """A moment in UTC; SQLite keeps no time zone, so it is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn any moment into UTC; a moment without a time zone is refused."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("A moment in the catalogue needs a time zone.")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class _EnumColumn(TypeDecorator[Any]):
    """One word of a fixed set, as plain text: a new word needs no migration."""

    impl = String(40)
    cache_ok = True
    words: ClassVar[type[StrEnum]]

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Refuse a word outside the set."""
        return None if value is None else self.words(value).value

    def process_result_value(self, value: str | None, dialect: Dialect) -> StrEnum | None:
        """Return the member of the set."""
        return None if value is None else self.words(value)


class BasisColumn(_EnumColumn):
    """How a size is known."""

    cache_ok = True
    words = Basis


class KindColumn(_EnumColumn):
    """What one row of the shelf is."""

    cache_ok = True
    words = PieceKind


class EndColumn(_EnumColumn):
    """How a piece ended."""

    cache_ok = True
    words = End


class SideColumn(_EnumColumn):
    """Face or back."""

    cache_ok = True
    words = Side


class EdgesColumn(TypeDecorator[frozenset[Edge]]):
    """Which edges are selvedge: their words with commas between, in the order of `Edge`."""

    impl = String(80)
    cache_ok = True

    def process_bind_param(self, value: Iterable[Edge] | None, dialect: Dialect) -> str | None:
        """Write the edges in one settled order."""
        return None if value is None else edges_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> frozenset[Edge] | None:
        """Read the edges back."""
        return None if value is None else edges_of(value)


class WordsColumn(TypeDecorator[tuple[str, ...]]):
    """A few short words (tags, doubts), as a JSON list."""

    impl = JSON
    cache_ok = True

    def process_bind_param(self, value: Iterable[str] | None, dialect: Dialect) -> list[str]:
        """Write a plain list; nothing at all is an empty one."""
        return [str(word) for word in value or ()]

    def process_result_value(self, value: list[str] | None, dialect: Dialect) -> tuple[str, ...]:
        """Read a tuple back."""
        return tuple(value or ())


class CornersColumn(TypeDecorator[Corners]):
    """Four corners as text, six decimals each, so that equal regions are equal text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Corners | None, dialect: Dialect) -> str | None:
        """Write the corners."""
        return None if value is None else corners_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Corners | None:
        """Read the corners back."""
        return None if value is None else corners_of(value)


def edges_text(edges: Iterable[Edge]) -> str:
    """Return edges as stored: in the order of `Edge`, commas between."""
    known = set(edges)
    return ",".join(edge.value for edge in Edge if edge in known)


def edges_of(text: str) -> frozenset[Edge]:
    """Return the edges of a stored text."""
    return frozenset(Edge(word) for word in text.split(",") if word)


def corners_text(corners: Corners) -> str:
    """Return corners as stored: `x,y x,y x,y x,y`."""
    return " ".join(f"{x:.6f},{y:.6f}" for x, y in corners)


def corners_of(text: str) -> Corners:
    """Return the corners of a stored text."""
    points = [tuple(map(float, point.split(","))) for point in text.split()]
    (a, b), (c, d), (e, f), (g, h) = points
    return (a, b), (c, d), (e, f), (g, h)


def raw_key(column: Any) -> ColumnElement[Any]:
    """Return a column of keys to select as they lie, which is far quicker than making each one.

    SQLite hands out the 32 digits of each, PostgreSQL a key; either may be looked up, and
    `key_text` writes it as people do.
    """
    return type_coerce(column, Text)


def key_text(raw: str | uuid.UUID) -> str:
    """Return a key as `str` writes it, from what `raw_key` selected."""
    if isinstance(raw, uuid.UUID):
        return str(raw)
    return f"{raw[:8]}-{raw[8:12]}-{raw[12:16]}-{raw[16:20]}-{raw[20:]}"


def new_key() -> uuid.UUID:
    """Return a fresh key for a row."""
    return uuid.uuid4()


def now() -> datetime:
    """Return this moment in UTC."""
    return datetime.now(UTC)
