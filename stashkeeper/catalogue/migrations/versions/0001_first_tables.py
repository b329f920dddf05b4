"""The first tables: fabrics and pieces, places, photos, readings, and the record of deeds."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables, each after those it refers to."""
    _numbers()
    _events()
    _fabrics_and_places()
    _pieces()
    _photos_and_regions()
    _measurements()
    _readings()
    _close_the_circle()


def downgrade() -> None:
    """Never: a stash goes back by putting the copy made before the migration in its place."""
    raise NotImplementedError("Put the copy made before the migration in its place instead.")


def _key() -> "sa.Column[Any]":
    return sa.Column("id", sa.Uuid(), nullable=False)


def _refers(name: str, nullable: bool = True) -> "sa.Column[Any]":
    return sa.Column(name, sa.Uuid(), nullable=nullable)


def _needs(name: str, kind: Any) -> "sa.Column[Any]":
    return sa.Column(name, kind, nullable=False)


def _may(name: str, kind: Any) -> "sa.Column[Any]":
    return sa.Column(name, kind, nullable=True)


def _moment(name: str, nullable: bool = False) -> "sa.Column[Any]":
    return sa.Column(name, sa.DateTime(timezone=True), nullable=nullable)


def _primary(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*(columns or ("id",)), name=f"pk_{table}")


def _foreign(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{other}.id"], name=f"fk_{table}_{column}")


def _numbers() -> None:
    op.create_table(
        "threshold",
        _needs("name", sa.Text()),
        _needs("amount", sa.Float()),
        _needs("version", sa.Integer()),
        _primary("threshold", "name"),
    )
    op.create_table(
        "counter",
        _needs("name", sa.Text()),
        _needs("last", sa.BigInteger()),
        _primary("counter", "name"),
    )
    counter = sa.table("counter", sa.column("name", sa.Text), sa.column("last", sa.BigInteger))
    op.bulk_insert(counter, [{"name": "code", "last": 0}, {"name": "event", "last": 0}])


def _events() -> None:
    op.create_table(
        "event",
        _key(),
        _needs("number", sa.BigInteger()),
        _needs("who", sa.Text()),
        _moment("at"),
        _needs("deed", sa.Text()),
        _needs("summary", sa.Text()),
        _refers("undoes"),
        _foreign("event", "undoes", "event"),
        _primary("event"),
        sa.UniqueConstraint("number", name="uq_event_number"),
    )
    op.create_index("ix_event_undoes", "event", ["undoes"])
    op.create_table(
        "change",
        _refers("event_id", nullable=False),
        _needs("table_name", sa.Text()),
        _needs("row_key", sa.Text()),
        _may("before", sa.JSON()),
        _needs("after", sa.JSON()),
        _foreign("change", "event_id", "event"),
        _primary("change", "event_id", "table_name", "row_key"),
    )
    op.create_index("ix_change_row", "change", ["table_name", "row_key"])


def _fabrics_and_places() -> None:
    op.create_table(
        "fabric",
        _key(),
        _needs("name", sa.Text()),
        _may("fibre", sa.Text()),
        _needs("flannel", sa.Boolean()),
        _needs("tags", sa.JSON()),
        _may("source", sa.Text()),
        _may("cost", sa.BigInteger()),
        _may("print_direction", sa.Text()),
        _may("repeat", sa.BigInteger()),
        _needs("notes", sa.Text()),
        _needs("voided", sa.Boolean()),
        _needs("version", sa.Integer()),
        _moment("created_at"),
        _needs("searchable", sa.Text()),
        _may("colour_family", sa.Text()),
        _refers("reading_id"),
        _refers("region_id"),
        *(_circle() if op.get_bind().dialect.name == "sqlite" else ()),
        _primary("fabric"),
    )
    op.create_index("ix_fabric_colour_family", "fabric", ["colour_family"])
    op.create_table(
        "place",
        _key(),
        _needs("name", sa.Text()),
        _needs("folded", sa.Text()),
        _refers("parent_id"),
        _needs("voided", sa.Boolean()),
        _needs("version", sa.Integer()),
        _moment("created_at"),
        _foreign("place", "parent_id", "place"),
        _primary("place"),
    )
    op.create_index("ix_place_parent_id", "place", ["parent_id"])


def _pieces() -> None:
    op.create_table(
        "piece",
        _key(),
        _needs("code", sa.Text()),
        _needs("code_order", sa.Integer()),
        _refers("fabric_id", nullable=False),
        _needs("kind", sa.String(40)),
        _may("width", sa.BigInteger()),
        _may("length", sa.BigInteger()),
        _needs("basis", sa.String(40)),
        _needs("selvedges", sa.String(80)),
        _needs("squared", sa.Boolean()),
        _needs("washed", sa.Boolean()),
        _may("count", sa.Integer()),
        _may("weight_grams", sa.Float()),
        _refers("place_id"),
        _refers("parent_id"),
        _may("ended_how", sa.String(40)),
        _moment("ended_at", nullable=True),
        _needs("notes", sa.Text()),
        _needs("version", sa.Integer()),
        _moment("created_at"),
        _needs("searchable", sa.Text()),
        _foreign("piece", "fabric_id", "fabric"),
        _foreign("piece", "place_id", "place"),
        _foreign("piece", "parent_id", "piece"),
        _primary("piece"),
        sa.UniqueConstraint("code", name="uq_piece_code"),
    )
    for column in ("fabric_id", "place_id", "parent_id"):
        op.create_index(f"ix_piece_{column}", "piece", [column])


def _photos_and_regions() -> None:
    op.create_table(
        "photo",
        _key(),
        _needs("checksum", sa.Text()),
        _needs("format", sa.Text()),
        _needs("width", sa.Integer()),
        _needs("height", sa.Integer()),
        _may("camera", sa.Text()),
        _needs("exposure", sa.JSON()),
        _moment("taken_at", nullable=True),
        _needs("file_name", sa.Text()),
        _may("sitting", sa.Text()),
        _moment("created_at"),
        _primary("photo"),
        sa.UniqueConstraint("checksum", name="uq_photo_checksum"),
    )
    op.create_table(
        "region",
        _key(),
        _refers("photo_id", nullable=False),
        _refers("fabric_id", nullable=False),
        _refers("piece_id"),
        _needs("corners", sa.Text()),
        _needs("side", sa.String(40)),
        _needs("voided", sa.Boolean()),
        _moment("created_at"),
        _foreign("region", "photo_id", "photo"),
        _foreign("region", "fabric_id", "fabric"),
        _foreign("region", "piece_id", "piece"),
        _primary("region"),
    )
    op.create_index("ix_region_newest", "region", ["fabric_id", "created_at"])
    op.create_index("ix_region_photo_id", "region", ["photo_id"])
    op.create_index("ix_region_piece_id", "region", ["piece_id"])


def _measurements() -> None:
    op.create_table(
        "measurement",
        _key(),
        _refers("region_id", nullable=False),
        _needs("method_version", sa.Integer()),
        _needs("histograms", sa.LargeBinary()),
        *(_needs(f"mean_{channel}", sa.Float()) for channel in ("red", "green", "blue")),
        *(_needs(name, sa.Float()) for name in ("spread", "spread_low", "spread_high")),
        _needs("doubts", sa.JSON()),
        _needs("pixels", sa.BigInteger()),
        _moment("created_at"),
        _foreign("measurement", "region_id", "region"),
        _primary("measurement"),
    )
    op.create_index("ix_measurement_region_id", "measurement", ["region_id"])
    op.create_table(
        "calibration",
        _key(),
        _needs("kind", sa.Text()),
        _needs("inputs", sa.JSON()),
        _needs("curve", sa.JSON()),
        _may("sitting", sa.Text()),
        _moment("created_at"),
        _primary("calibration"),
    )


def _readings() -> None:
    op.create_table(
        "reading",
        _key(),
        _refers("fabric_id", nullable=False),
        _refers("measurement_id"),
        _refers("calibration_id"),
        _needs("lightness", sa.Float()),
        _may("a", sa.Float()),
        _may("b", sa.Float()),
        _needs("method", sa.Text()),
        _needs("uncertainty", sa.Float()),
        _may("colour_family", sa.Text()),
        *(_may(name, sa.Float()) for name in ("spread", "spread_low", "spread_high")),
        _needs("doubts", sa.JSON()),
        _needs("voided", sa.Boolean()),
        _moment("created_at"),
        _foreign("reading", "fabric_id", "fabric"),
        _foreign("reading", "measurement_id", "measurement"),
        _foreign("reading", "calibration_id", "calibration"),
        _primary("reading"),
    )
    op.create_index("ix_reading_surest", "reading", ["fabric_id", "uncertainty", "created_at"])
    for column in ("calibration_id", "measurement_id"):
        op.create_index(f"ix_reading_{column}", "reading", [column])
    op.create_table(
        "reading_factor",
        _refers("reading_id", nullable=False),
        _needs("key", sa.Text()),
        _needs("weight", sa.Float()),
        _foreign("reading_factor", "reading_id", "reading"),
        _primary("reading_factor", "reading_id", "key"),
    )


def _circle() -> tuple[sa.ForeignKeyConstraint, ...]:
    """A fabric names its reading and its region, which both name it back."""
    return tuple(_foreign("fabric", f"{other}_id", other) for other in ("reading", "region"))


def _close_the_circle() -> None:
    """Refer from fabrics to what came after them; SQLite took it along when it made the table."""
    if op.get_bind().dialect.name == "sqlite":
        return
    for other in ("reading", "region"):
        op.create_foreign_key(f"fk_fabric_{other}_id", "fabric", other, [f"{other}_id"], ["id"])
