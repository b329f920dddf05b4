"""Thresholds that everyone sharing a stash must agree on, so they lie in the stash itself."""

import math
from dataclasses import dataclass

from sqlmodel import Session, select

from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.tables import Threshold
from stashkeeper.errors import BadSettingError


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Where the fixed bands of value part, in L*: dark below one, light from the other. Ours."""

    dark_below: float = 40.0
    light_from: float = 65.0


def thresholds(session: Session) -> Thresholds:
    """Return the thresholds of the stash; the usual ones until somebody set others."""
    stored = {row.name: row.amount for row in session.exec(select(Threshold))}
    usual = Thresholds()
    return Thresholds(
        stored.get("dark_below", usual.dark_below), stored.get("light_from", usual.light_from)
    )


def set_thresholds(deed: Deed, wanted: Thresholds) -> bool:
    """Set the thresholds for everyone; return whether they changed.

    Raises:
        BadSettingError: they are not two numbers 0 ≤ dark_below < light_from ≤ 100.
    """
    dark, light = wanted.dark_below, wanted.light_from
    if not (math.isfinite(dark) and math.isfinite(light) and 0 <= dark < light <= 100):
        raise BadSettingError(
            f"Dark below {dark:g} and light from {light:g} do not part the scale in three.",
            "Give two lightnesses from 0 to 100, the dark one lower: 40 and 65, for example.",
        )
    changed = False
    for name, amount in (("dark_below", dark), ("light_from", light)):
        changed |= deed.change(_row(deed.session, name), amount=amount)
    return changed


def _row(session: Session, name: str) -> Threshold:
    """Return the row of a threshold, made with the usual number where nobody set one yet."""
    row = session.get(Threshold, name)
    if row is None:
        row = Threshold(name=name, amount=getattr(Thresholds(), name))
        session.add(row)
        session.flush()
    return row
