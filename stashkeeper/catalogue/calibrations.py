"""Calibrations on record: what set a photo, a sitting, a card or a phone right; never changed."""

import uuid
from collections.abc import Mapping
from typing import Any

from sqlmodel import Session, col, select

from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.tables import Calibration
from stashkeeper.errors import NotFoundError


def add_calibration(
    deed: Deed,
    kind: str,
    inputs: Mapping[str, Any],
    curve: Mapping[str, Any],
    *,
    sitting: str | None = None,
) -> Calibration:
    """Put a calibration on record.

    Args:
        deed: the deed it belongs to.
        kind: what it is: a method of reading ("card", "paper" …), "known card" or "phone".
        inputs: what it was made from, as plain JSON.
        curve: what luminance made of it, as plain JSON.
        sitting: the sitting it belongs to, if any.
    """
    row = deed.add(Calibration(kind=kind, inputs=dict(inputs), curve=dict(curve), sitting=sitting))
    deed.session.flush()
    return row


def calibrations_of(session: Session, kind: str) -> list[Calibration]:
    """Return all calibrations of a kind, newest first."""
    wanted = select(Calibration).where(col(Calibration.kind) == kind)
    return list(session.exec(wanted.order_by(col(Calibration.created_at).desc())))


def calibration_by_id(session: Session, calibration_id: uuid.UUID) -> Calibration:
    """Return a calibration by its key.

    Raises:
        NotFoundError: there is none.
    """
    found = session.get(Calibration, calibration_id)
    if found is None:
        raise NotFoundError("There is no such calibration.", "Calibrate again.")
    return found
