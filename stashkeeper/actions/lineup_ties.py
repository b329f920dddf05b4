"""One scale for all photos that share fabrics: read anew whenever a line-up is kept."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from stashkeeper.actions.reading_view import family_of, shown_lightness
from stashkeeper.catalogue.calibrations import add_calibration
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.lineups import SideBySide, tied_to
from stashkeeper.catalogue.photos import measurement_by_id
from stashkeeper.catalogue.pieces import pieces_of
from stashkeeper.catalogue.readings import add_reading, all_readings_of
from stashkeeper.catalogue.tables import Calibration
from stashkeeper.cloth.reading import Doubt, Method, Reading
from stashkeeper.luminance.calibrate import lab_of_xyz
from stashkeeper.luminance.lightness import luminance_of_lightness
from stashkeeper.luminance.lineup import Split, typed_lines
from stashkeeper.luminance.lineup_tie import Known, Seen, Tied, tie
from stashkeeper.luminance.measurement import Measurement, measurement_from_bytes
from stashkeeper.luminance.readings import lone_photo_reading

FROM_PHOTOS = (Method.PHOTO, Method.LINE_UP)
"""Ways of reading that pin no scale: they come from the very photos that are tied."""


@dataclass(frozen=True, slots=True)
class TiedShelf:
    """What tying did: new readings by code, and how many photos and known fabrics it rests on."""

    readings: dict[str, Reading]
    photos: int
    known: int

    @property
    def sentences(self) -> tuple[str, ...]:
        """It in words."""
        others = self.photos - 1
        scale = (
            f"{self.known} of its fabrics {'is' if self.known == 1 else 'are'} of known lightness"
            if self.known
            else "none of its fabrics is of known lightness, so the scale is provisional; "
            "one beside the reference card would pin it"
        )
        tied = f"It hangs together with {others} other photo{'' if others == 1 else 's'}; "
        lines = (
            f"  {code}: {shown_lightness(reading.lightness, reading.provisional)} "
            f"±{reading.uncertainty:.0f}"
            for code, reading in self.readings.items()
        )
        return (f"{tied if others else ''}{scale}.".capitalize(), *lines)


def tie_together(deed: Deed, checksum: str, split: Split) -> TiedShelf:
    """Put on record what all photos that hang together with one say of their fabrics."""
    rows = tied_to(deed.session, checksum)
    photos = list(dict.fromkeys(row.checksum for row in rows))
    known = _known(deed, {row.fabric_id for row in rows})
    measured = {
        row: measurement_from_bytes(measurement_by_id(deed.session, row.measurement_id).histograms)
        for row in rows
    }
    if len(photos) == 1 and not known:
        for row, measurement in _newest_each(measured).items():
            _put(deed, row, _at_its_word(row, measurement))
        return TiedShelf({}, 1, 0)
    key = f"tie:{uuid.uuid4()}"
    seen = [
        Seen(str(row.fabric_id), row.checksum, float(one.xyz[1])) for row, one in measured.items()
    ]
    tied = tie(seen, known, key)
    inputs = {
        "photo": checksum,
        "lines": typed_lines(split.lines),
        "lying": split.lying,
        "photos": photos,
        "known": [[one.fabric, one.lightness, one.uncertainty] for one in known],
    }
    calibration = add_calibration(
        deed, Method.LINE_UP.value, inputs, {"gains": tied.gains, "bend": tied.bend}
    )
    readings = {}
    for row, measurement in _newest_each(measured).items():
        reading = _reading(row, measurement, tied, pinned=bool(known))
        readings[_put(deed, row, reading, calibration)] = reading
    return TiedShelf(readings, len(photos), len(known))


def _put(
    deed: Deed, row: SideBySide, reading: Reading, calibration: Calibration | None = None
) -> str:
    """Put on record what a line-up says of a fabric; return the code it is known by."""
    fabric = fabric_by_id(deed.session, row.fabric_id)
    add_reading(
        deed,
        fabric,
        reading,
        measurement=measurement_by_id(deed.session, row.measurement_id),
        colour_family=family_of(reading),
        calibration=calibration,
    )
    return next((piece.code for piece in pieces_of(deed.session, row.fabric_id)), fabric.name)


def _at_its_word(row: SideBySide, measurement: Measurement) -> Reading:
    """Return the reading of a fabric in the only photo, which nothing pins: as the photo shows it.

    It is a line-up's, so that no photo of one fabric by itself takes its place.
    """
    region, photo = f"region:{row.checksum}:{measurement.crop}", f"photo:{row.checksum}"
    return replace(lone_photo_reading(measurement, region, photo), method=Method.LINE_UP)


def _known(deed: Deed, fabric_ids: set[uuid.UUID]) -> list[Known]:
    """Return the fabrics whose lightness something else than these photos tells."""
    found = []
    for fabric_id in sorted(fabric_ids):
        past = all_readings_of(deed.session, fabric_by_id(deed.session, fabric_id))
        sure = [one.reading for one in past if one.reading.method not in FROM_PHOTOS]
        if sure:
            best = min(sure, key=lambda one: one.uncertainty)
            found.append(
                Known(str(fabric_id), best.lightness, best.uncertainty, tuple(best.factors))
            )
    return found


def _newest_each(measured: Mapping[SideBySide, Measurement]) -> dict[SideBySide, Measurement]:
    """Return one measurement of each fabric: the last."""
    last = {row.fabric_id: row for row in measured}
    return {row: measured[row] for row in last.values()}


def _reading(row: SideBySide, measurement: Measurement, tied: Tied, *, pinned: bool) -> Reading:
    """Return the reading of a fabric by the scale of all tied photos."""
    fabric = str(row.fabric_id)
    lightness = tied.lightness[fabric]
    factor = luminance_of_lightness(lightness) / max(float(measurement.xyz[1]), 1e-6)
    colour = lab_of_xyz(factor * np.array(measurement.xyz))
    doubts = measurement.doubts if pinned else (*measurement.doubts, Doubt.NO_REFERENCE)
    return Reading(
        lightness,
        colour.a,
        colour.b,
        Method.LINE_UP,
        tied.factors[fabric],
        measurement.spread,
        doubts,
    )
