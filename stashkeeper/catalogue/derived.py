"""What follows from other columns and rows, kept beside them so that lists are one query."""

import uuid
from collections.abc import Collection, Iterable
from typing import Any

from sqlalchemy import Exists, Select, and_, exists, select, update
from sqlalchemy.orm import aliased
from sqlalchemy.orm.attributes import set_committed_value
from sqlalchemy.orm.util import identity_key
from sqlmodel import Session, col

from stashkeeper.catalogue.columns import Side
from stashkeeper.catalogue.names import fold
from stashkeeper.catalogue.tables import Fabric, Piece, Reading, Region
from stashkeeper.cloth.reading import Method


def searchable_fabric(name: str, notes: str, tags: Iterable[str]) -> str:
    """Return the text a fabric is found by: its name and notes, then a line `#tag` for each tag."""
    words = [fold(f"{name} {notes}").replace("\n", " "), *(f"#{fold(tag)}" for tag in tags)]
    return "\n".join(words) + "\n"


def searchable_piece(notes: str) -> str:
    """Return the text a piece is found by, beside its fabric's and its code."""
    return fold(notes).replace("\n", " ")


def follow(row: Fabric | Piece) -> None:
    """Set the text that a row is found by after its other columns were set."""
    if isinstance(row, Fabric):
        row.searchable = searchable_fabric(row.name, row.notes, row.tags)
    else:
        row.searchable = searchable_piece(row.notes)


def refresh_fabrics(session: Session, fabric_ids: Collection[uuid.UUID]) -> None:
    """Choose anew the reading that counts and the region that shows each of these fabrics.

    The surest reading counts (least uncertainty), of equally sure ones the newest. But a photo
    alone counts only where there is nothing else, and of line-ups only the last: that one knows
    all photos of before, and a fabric read otherwise would not compare with those beside it. The
    newest region of the face shows the fabric; its back only where there is no other.
    """
    for fabric_id in fabric_ids:
        chosen = {
            "reading_id": _surest(fabric_id, col(Reading.id)),
            "colour_family": _surest(fabric_id, col(Reading.colour_family)).where(
                col(Reading.colour_family).is_not(None)
            ),
            "region_id": _newest_face(fabric_id),
        }
        # All three in one question: an intake asks it for every photo.
        columns = [one.scalar_subquery().label(name) for name, one in chosen.items()]
        follows = dict(session.execute(select(*columns)).one()._mapping)
        session.execute(
            update(Fabric)
            .where(col(Fabric.id) == fabric_id)
            .values(follows)
            .execution_options(synchronize_session=False)
        )
        fabric = session.identity_map.get(identity_key(Fabric, fabric_id))
        if fabric is not None:
            for name, value in follows.items():
                set_committed_value(fabric, name, value)


def _surest(fabric_id: uuid.UUID, column: Any) -> Select[Any]:
    return (
        select(column)
        .where(col(Reading.fabric_id) == fabric_id, col(Reading.voided).is_(False))
        .order_by(
            col(Reading.method) == Method.PHOTO.value,
            and_(col(Reading.method) == Method.LINE_UP.value, _later_line_up(fabric_id)),
            col(Reading.uncertainty),
            col(Reading.created_at).desc(),
        )
        .limit(1)
    )


def _later_line_up(fabric_id: uuid.UUID) -> Exists:
    later = aliased(Reading)
    found = select(col(later.id)).where(
        col(later.fabric_id) == fabric_id,
        col(later.voided).is_(False),
        col(later.method) == Method.LINE_UP.value,
        col(later.created_at) > col(Reading.created_at),
    )
    return exists(found.correlate(Reading))


def _newest_face(fabric_id: uuid.UUID) -> Select[Any]:
    return (
        select(col(Region.id))
        .where(col(Region.fabric_id) == fabric_id, col(Region.voided).is_(False))
        .order_by(col(Region.side) == Side.BACK, col(Region.created_at).desc())
        .limit(1)
    )
