"""The tables of a stash.

Every row has a UUID; what changes carries a `version`; what was measured never changes. Nothing is
ever deleted: what was entered by mistake is `voided`, or, for a piece, ended as a mistake.
"""

import uuid
from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import JSON, BigInteger, Column, ForeignKey, Index, LargeBinary, MetaData, Text
from sqlmodel import Field, SQLModel

from stashkeeper.catalogue.columns import (
    BasisColumn,
    Corners,
    CornersColumn,
    EdgesColumn,
    End,
    EndColumn,
    KindColumn,
    LengthColumn,
    MomentColumn,
    PieceKind,
    Side,
    SideColumn,
    WordsColumn,
    new_key,
    now,
)
from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length


class Row(SQLModel):
    """What all tables share: their names for constraints, so that migrations can name them."""

    metadata: ClassVar[MetaData] = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_N_label)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class Fabric(Row, table=True):
    """A print or solid, as bought; its value is shared by every piece of it.

    `cost` is in hundredths of the owner's money. `reading_id` is the reading that counts,
    `region_id` the picture that shows it and `colour_family` that of the surest reading with a
    colour: they follow from the rows below, as `searchable` does from its own.
    """

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    name: str = Field(sa_type=Text)
    fibre: str | None = Field(default=None, sa_type=Text)
    flannel: bool = False
    tags: tuple[str, ...] = Field(default=(), sa_type=WordsColumn)
    source: str | None = Field(default=None, sa_type=Text)
    cost: int | None = Field(default=None, sa_type=BigInteger)
    print_direction: str | None = Field(default=None, sa_type=Text)
    repeat: Length | None = Field(default=None, sa_type=LengthColumn)
    notes: str = Field(default="", sa_type=Text)
    voided: bool = False
    version: int = 1
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)
    searchable: str = Field(default="", sa_type=Text)
    colour_family: str | None = Field(default=None, sa_type=Text, index=True)
    reading_id: uuid.UUID | None = Field(
        default=None,
        sa_column=Column(
            ForeignKey("reading.id", name="fk_fabric_reading_id", use_alter=True), nullable=True
        ),
    )
    region_id: uuid.UUID | None = Field(
        default=None,
        sa_column=Column(
            ForeignKey("region.id", name="fk_fabric_region_id", use_alter=True), nullable=True
        ),
    )


class Place(Row, table=True):
    """A shelf, box or drawer, inside another or on its own. `folded` is its name for comparing."""

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    name: str = Field(sa_type=Text)
    folded: str = Field(sa_type=Text)
    parent_id: uuid.UUID | None = Field(default=None, foreign_key="place.id", index=True)
    voided: bool = False
    version: int = 1
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Piece(Row, table=True):
    """One physical piece of a fabric, or a bag of its scraps (a count or a weight in grams).

    `scraps` is what the bag holds, as the cutting room writes it down.
    """

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    code: str = Field(sa_type=Text, unique=True)
    code_order: int
    fabric_id: uuid.UUID = Field(foreign_key="fabric.id", index=True)
    kind: PieceKind = Field(default=PieceKind.PIECE, sa_type=KindColumn)
    width: Length | None = Field(default=None, sa_type=LengthColumn)
    length: Length | None = Field(default=None, sa_type=LengthColumn)
    basis: Basis = Field(default=Basis.MEASURED, sa_type=BasisColumn)
    selvedges: frozenset[Edge] = Field(default=frozenset(), sa_type=EdgesColumn)
    squared: bool = False
    washed: bool = False
    count: int | None = None
    weight_grams: float | None = None
    scraps: dict[str, Any] | None = Field(
        default=None, sa_column=Column(JSON(none_as_null=True), nullable=True)
    )
    place_id: uuid.UUID | None = Field(default=None, foreign_key="place.id", index=True)
    parent_id: uuid.UUID | None = Field(default=None, foreign_key="piece.id", index=True)
    ended_how: End | None = Field(default=None, sa_type=EndColumn)
    ended_at: datetime | None = Field(default=None, sa_type=MomentColumn)
    notes: str = Field(default="", sa_type=Text)
    version: int = 1
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)
    searchable: str = Field(default="", sa_type=Text)


class Photo(Row, table=True):
    """A photo as it came; immutable. The file lies under its checksum (SHA-256, hexadecimal).

    `exposure` is the exposure record the camera wrote; width and height are upright pixels.
    """

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    checksum: str = Field(sa_type=Text, unique=True)
    format: str = Field(sa_type=Text)
    width: int
    height: int
    camera: str | None = Field(default=None, sa_type=Text)
    exposure: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    taken_at: datetime | None = Field(default=None, sa_type=MomentColumn)
    file_name: str = Field(default="", sa_type=Text)
    sitting: str | None = Field(default=None, sa_type=Text)
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Region(Row, table=True):
    """Where in a photo a fabric (or one piece of it) lies; immutable."""

    __table_args__ = (Index("ix_region_newest", "fabric_id", "created_at"),)

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    photo_id: uuid.UUID = Field(foreign_key="photo.id", index=True)
    fabric_id: uuid.UUID = Field(foreign_key="fabric.id")
    piece_id: uuid.UUID | None = Field(default=None, foreign_key="piece.id", index=True)
    corners: Corners = Field(sa_type=CornersColumn)
    side: Side = Field(default=Side.FACE, sa_type=SideColumn)
    voided: bool = False
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Measurement(Row, table=True):
    """What was counted in a region, enough to calibrate again without the photo; immutable."""

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    region_id: uuid.UUID = Field(foreign_key="region.id", index=True)
    method_version: int
    histograms: bytes = Field(sa_type=LargeBinary)
    mean_red: float
    mean_green: float
    mean_blue: float
    spread: float
    spread_low: float
    spread_high: float
    doubts: tuple[str, ...] = Field(default=(), sa_type=WordsColumn)
    pixels: int = Field(sa_type=BigInteger)
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Calibration(Row, table=True):
    """How the lightness of a sitting was set right; immutable."""

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    kind: str = Field(sa_type=Text)
    inputs: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    curve: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    sitting: str | None = Field(default=None, sa_type=Text)
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class Reading(Row, table=True):
    """A fabric's L*, a*, b*, from a measurement or typed; immutable. `uncertainty` is 95 %, ± L*.

    `spread`, `spread_low` and `spread_high` are None where only a lightness was typed.
    """

    __table_args__ = (Index("ix_reading_surest", "fabric_id", "uncertainty", "created_at"),)

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    fabric_id: uuid.UUID = Field(foreign_key="fabric.id")
    measurement_id: uuid.UUID | None = Field(default=None, foreign_key="measurement.id", index=True)
    calibration_id: uuid.UUID | None = Field(default=None, foreign_key="calibration.id", index=True)
    lightness: float
    a: float | None = None
    b: float | None = None
    method: str = Field(sa_type=Text)
    uncertainty: float
    colour_family: str | None = Field(default=None, sa_type=Text)
    spread: float | None = None
    spread_low: float | None = None
    spread_high: float | None = None
    doubts: tuple[str, ...] = Field(default=(), sa_type=WordsColumn)
    voided: bool = False
    created_at: datetime = Field(default_factory=now, sa_type=MomentColumn)


class ReadingFactor(Row, table=True):
    """One part of a reading's uncertainty: the key of what it shares, and its signed weight."""

    __tablename__ = "reading_factor"

    reading_id: uuid.UUID = Field(foreign_key="reading.id", primary_key=True)
    key: str = Field(sa_type=Text, primary_key=True)
    weight: float


class Threshold(Row, table=True):
    """A number that everyone sharing the stash must agree on."""

    name: str = Field(sa_type=Text, primary_key=True)
    amount: float
    version: int = 1


class Counter(Row, table=True):
    """The last number given out: of a piece's code, of an event. Numbers are never given twice."""

    name: str = Field(sa_type=Text, primary_key=True)
    last: int = Field(sa_type=BigInteger)


class Event(Row, table=True):
    """A deed: who did what and when; only ever added to. `undoes` names the event it takes back."""

    id: uuid.UUID = Field(default_factory=new_key, primary_key=True)
    number: int = Field(sa_type=BigInteger, unique=True)
    who: str = Field(default="", sa_type=Text)
    at: datetime = Field(default_factory=now, sa_type=MomentColumn)
    deed: str = Field(sa_type=Text)
    summary: str = Field(sa_type=Text)
    undoes: uuid.UUID | None = Field(default=None, foreign_key="event.id", index=True)


class Change(Row, table=True):
    """One row an event touched: before (None: it was added) and after."""

    __table_args__ = (Index("ix_change_row", "table_name", "row_key"),)

    event_id: uuid.UUID = Field(foreign_key="event.id", primary_key=True)
    table_name: str = Field(sa_type=Text, primary_key=True)
    row_key: str = Field(sa_type=Text, primary_key=True)
    before: dict[str, Any] | None = Field(
        default=None, sa_column=Column(JSON(none_as_null=True), nullable=True)
    )
    after: dict[str, Any] = Field(sa_type=JSON)
