"""A sitting: photos on record of one light and one phone, set right by one. An experiment."""

import math
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC
from pathlib import Path
from typing import Any

import numpy as np

from stashkeeper.actions.beside import WHITE_PAPER
from stashkeeper.actions.card import known_levels
from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.phone import learnt_curve
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.piece_words import read_lightness
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.calibrations import add_calibration
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.catalogue.photos import measurement_by_id
from stashkeeper.catalogue.readings import add_reading, readings_of
from stashkeeper.catalogue.sittings import SittingRow, rows_taken
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import BadReferenceError, BadRequestError, quoted
from stashkeeper.luminance.calibrate import Calibration
from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.card_layout import paper_squares, usual_lightness
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.exposure import Exposure
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.measurement import measurement_from_bytes
from stashkeeper.luminance.patches import patch_light
from stashkeeper.luminance.referenced import sitting_reading
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, parse_crop
from stashkeeper.luminance.sitting import LONGEST, UNBENT, same_sitting, sitting_calibration
from stashkeeper.luminance.tone_ramp import ToneRamp

PAPER_UNSURE = 3.0
TYPED_UNSURE = 2.0
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


@dataclass(frozen=True, slots=True)
class _Anchor:
    """The photo that sets the scale: what is known in it."""

    exposure: Exposure
    light: float
    lightness: float
    unsure: float
    checksum: str
    what: str


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
    anchor = in_turn(lambda: _anchor(stash, file, crop, lightness))
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
    return Sitting(
        file.name,
        anchor.lightness,
        exposure.camera,
        curve is not None,
        tuple(_read(row, anchor, curve, key, known.get(row.fabric_id)) for row in others),
        {"photo": anchor.checksum, "lightness": anchor.lightness, "what": anchor.what, "key": key},
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
    row: SittingRow, anchor: _Anchor, curve: ToneRamp | None, key: str, known: Reading | None
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


def _anchor(stash: Stash, file: Path, crop: str | None, typed: str | None) -> _Anchor:
    """Return what is known in the photo that sets the scale."""
    photo = open_photo(file)
    checksum = checksum_of(file)
    if typed is None and crop is None and (card := _by_card(stash, photo)) is not None:
        light, lightness, unsure = card
        return _Anchor(photo.exposure, light, lightness, unsure, checksum, "card")
    part = WHOLE_LESS_MARGIN if crop is None else parse_crop(crop)
    measured = measure(photo, part)
    if float(measured.histograms[:, 254:].sum()) > 0.03 * measured.pixels:
        raise BadReferenceError(
            f"The paper in {quoted(file.name)} is burnt out.",
            "Take it again with less light: tap the paper and pull the exposure down.",
        )
    lightness = WHITE_PAPER if typed is None else read_lightness(typed)
    unsure = PAPER_UNSURE if typed is None else TYPED_UNSURE
    what = "paper" if typed is None else "typed"
    return _Anchor(photo.exposure, float(measured.xyz[1]), lightness, unsure, checksum, what)


def _by_card(stash: Stash, photo: Photo) -> tuple[float, float, float] | None:
    """Return luminance, L* and uncertainty of the card's paper in a photo; None without a card."""
    try:
        found = find_card(photo)
    except BadReferenceError:
        return None
    patches = [
        patch_light(photo, found.place(square.core(2.0).corners)) for square in paper_squares()
    ]
    light = [patch.light for patch in patches if patch is not None and patch.clipped < 0.01]
    if not light:
        return None
    with stash.reading() as session:
        levels = known_levels(session, found.card_id)
    mean: Sequence[float] = np.mean(light, axis=0).tolist()
    luminance = float(np.array(mean) @ photo.space.to_xyz[1])
    return luminance, (levels or usual_lightness())[0], TYPED_UNSURE if levels else PAPER_UNSURE
