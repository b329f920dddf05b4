"""A sitting: photos on record of one light and one phone, set right by one. An experiment."""

import math
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC
from pathlib import Path
from typing import Any

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.phone import learnt_curve
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.sitting_anchor import Anchor, anchor_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.calibrations import add_calibration
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.photos import measurement_by_id
from stashkeeper.catalogue.readings import add_reading, readings_of
from stashkeeper.catalogue.sittings import SittingRow, rows_taken
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import BadReferenceError, BadRequestError, quoted
from stashkeeper.luminance.calibrate import Calibration
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.measurement import measurement_from_bytes
from stashkeeper.luminance.referenced import sitting_reading
from stashkeeper.luminance.sitting import LONGEST, UNBENT, same_sitting, sitting_calibration
from stashkeeper.luminance.tone_ramp import ToneRamp

BEYOND_WHITE = 1.28
"""The luminance of L* 110: a ± of 10 beyond white (CIE 15)."""
APART = 1.5
"""A photo whose fabric is known better is left out when it is this many uncertainties off."""


@dataclass(frozen=True, slots=True)
class SittingFabric:
    """A fabric of a sitting: what its photo says now.

    Attributes:
        code, name: of the fabric's first piece.
        file_name: of the photo.
        reading: by the sitting; None where it was left out.
        why: why it was left out; empty where it was not.
    """

    code: str
    name: str
    file_name: str
    reading: Reading | None
    why: str
    _row: SittingRow
    _calibration: Calibration | None

    @property
    def sentence(self) -> str:
        """The fabric and its lightness, or why it was left out."""
        title = titled(self.code, self.name)
        if self.reading is None:
            return f"{title} is left out: {self.why}."
        return f"{title}: {self.reading.lightness:.0f} ±{self.reading.uncertainty:.0f}"


@dataclass(frozen=True, slots=True)
class Sitting:
    """A sitting whose scale is set; nothing of it is on record until it is kept.

    Attributes:
        anchor: the file that sets the scale.
        lightness: L* of the known thing in it.
        camera: which took all photos.
        learnt: whether its curve was learnt.
        fabrics: in the order of their photos.
    """

    anchor: str
    lightness: float
    camera: str
    learnt: bool
    fabrics: tuple[SittingFabric, ...]
    _inputs: dict[str, Any]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What came out for each fabric."""
        count = sum(one.reading is not None for one in self.fabrics)
        photos = f"{count} photo{'' if count == 1 else 's'} of this sitting"
        curve = (
            ""
            if self.learnt
            else "The phone's tone curve is not known; learn the phone to be surer."
        )
        return (
            f"{photos}, by {quoted(self.anchor)} of lightness {self.lightness:g} (an experiment).",
            curve,
            *(one.sentence for one in self.fabrics),
        )


def look_at_sitting(
    stash: Stash, file: Path, *, crop: str | None = None, lightness: str | None = None
) -> Sitting:
    """Return what the photos on record say that were taken in one sitting with a known one.

    Args:
        stash: the open stash.
        file: the photo that sets the scale: of white paper, of the reference card (found by
            itself), or of anything whose lightness is typed.
        crop: the part of it that is known; the middle where None.
        lightness: its L* as typed; that of white paper where None.

    Raises:
        StashkeeperError: the photo is bad or says too little, or no photo on record is of the
            same sitting.
    """
    anchor = in_turn(lambda: anchor_of(stash, file, crop, lightness))
    exposure = anchor.exposure
    if exposure.camera is None or exposure.taken_at is None:
        raise BadReferenceError(
            f"{quoted(file.name)} does not say which camera took it, or when.",
            "Send photos as the phone wrote them; messengers and editors take the record out.",
        )
    moment = exposure.taken_at.replace(tzinfo=UTC)
    with stash.reading() as session:
        rows = rows_taken(session, exposure.camera, moment - LONGEST, moment + LONGEST)
        others = [row for row in rows if row.checksum != anchor.checksum]
        curve = learnt_curve(session, exposure.camera)
        known = readings_of(session, {row.fabric_id for row in others})
    if not others:
        raise _nothing_of_it(file)
    key = f"sitting:{uuid.uuid4()}"
    read = tuple(_read(row, anchor, curve, key, known.get(row.fabric_id)) for row in others)
    _refuse_beyond_white(file, anchor, read)
    return Sitting(
        file.name,
        anchor.lightness,
        exposure.camera,
        curve is not None,
        read,
        {"photo": anchor.checksum, "lightness": anchor.lightness, "what": anchor.what, "key": key},
    )


def _refuse_beyond_white(file: Path, anchor: Anchor, read: Sequence[SittingFabric]) -> None:
    """Refuse a sitting by which cloth would be far lighter than anything white can be."""
    for one in read:
        if one._calibration is None:
            continue
        seen = float(measurement_from_bytes(one._row.histograms).xyz[1])
        if float(one._calibration.ramp.luminance(seen)) > BEYOND_WHITE:
            raise BadReferenceError(
                f"By {quoted(file.name)}, {titled(one.code, one.name)} would be lighter than "
                f"white: what was taken for lightness {anchor.lightness:g} is darker, or the light "
                "changed.",
                "Say with --crop where the paper is, or with --lightness what the photo shows.",
                on_page="Fill the photo with the paper, or say how light what it shows is.",
            )


def _nothing_of_it(file: Path) -> BadRequestError:
    return BadRequestError(
        f"No photo on record was taken by the same phone within {LONGEST.seconds // 60} "
        f"minutes of {quoted(file.name)}.",
        "Add the fabrics of this sitting first, then set its scale.",
    )


def keep_sitting(stash: Stash, sitting: Sitting) -> Sitting:
    """Put on record what a sitting says of its fabrics; for each the surest reading counts."""
    with stash.deed("sitting") as deed:
        kept = 0
        for one in sitting.fabrics:
            if one.reading is None or one._calibration is None:
                continue
            row = add_calibration(
                deed,
                one.reading.method.value,
                sitting._inputs,
                one._calibration.to_record(),
                sitting=str(sitting._inputs["key"]),
            )
            add_reading(
                deed,
                fabric_by_id(deed.session, one._row.fabric_id),
                one.reading,
                measurement=measurement_by_id(deed.session, one._row.measurement_id),
                colour_family=family_of(one.reading),
                calibration=row,
            )
            kept += 1
        deed.summary = f"Set the scale of {kept} photos of a sitting by {quoted(sitting.anchor)}."
    return sitting


def _read(
    row: SittingRow, anchor: Anchor, curve: ToneRamp | None, key: str, known: Reading | None
) -> SittingFabric:
    """Return what a photo of the sitting says of its fabric, or why it is left out."""

    def left_out(why: str) -> SittingFabric:
        return SittingFabric(row.code, row.name, row.file_name, None, why, row, None)

    exposure = exposure_of(row)
    if not same_sitting(anchor.exposure, exposure):
        return left_out("another lens, or another time")
    try:
        calibration = sitting_calibration(
            exposure, anchor.exposure, anchor.light, anchor.lightness, curve or UNBENT
        )
    except BadReferenceError:
        return left_out("its record of exposure is missing, or several were merged")
    measurement = measurement_from_bytes(row.histograms)
    reading = sitting_reading(
        measurement,
        calibration,
        (f"region:{row.checksum}:{measurement.crop}", key),
        learned=curve is not None,
        anchor=anchor.unsure,
    )
    if known is not None and known.uncertainty < reading.uncertainty:
        off = reading.lightness - known.lightness
        if abs(off) > APART * math.hypot(reading.uncertainty, known.uncertainty):
            return left_out(f"it came out {off:+.0f} off what is known of it better")
    return SittingFabric(row.code, row.name, row.file_name, reading, "", row, calibration)


def exposure_of(row: SittingRow) -> Exposure:
    """Return the exposure record of a photo on record."""
    record = row.exposure
    return Exposure(
        seconds=record.get("seconds"),
        aperture=record.get("aperture"),
        iso=record.get("iso"),
        model=row.camera,
        taken_at=None if row.taken_at is None else row.taken_at.replace(tzinfo=None),
        merged=bool(record.get("merged")),
    )
