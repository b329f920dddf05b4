"""What a photo says of cloth beside something known; a chart of 24 patches, or plain paper."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from stashkeeper.actions.measuring import MeasuredPhoto, Reference
from stashkeeper.actions.piece_words import read_lightness
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.cloth.reading import Reading
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.chart import read_chart
from stashkeeper.luminance.decode import Photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.paper import read_paper
from stashkeeper.luminance.referenced import chart_reading, paper_reading
from stashkeeper.luminance.region import Crop, parse_corners, parse_crop

Points = tuple[tuple[float, float], ...]

WHITE_PAPER: Final = 94.0
"""L* of white copying paper (common practice; with its brightener it is 92 to 96)."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What a photo says of cloth beside something known; nothing of it is on record yet.

    Attributes:
        measured: the photo, the cloth in it, and what set it right.
        size: of the piece, on the safe side; None where its corners are not known.
        reference: corners of card or chart, in fractions of the upright photo.
        cloth: corners of the piece likewise; empty where they are not known.
        remarks: what a person should know of it, in sentences.
    """

    measured: MeasuredPhoto
    size: Size | None
    reference: Points
    cloth: Points
    remarks: tuple[str, ...]

    @property
    def reading(self) -> Reading:
        """Lightness and colour of the cloth, with its certainty."""
        return self.measured.reading


def beside_chart(photo: Photo, file: Path, crop: str | None, corners: str) -> Beside:
    """Return what a photo says of cloth beside a chart of 24 patches.

    Raises:
        StashkeeperError: there is no such chart between the corners, or nothing says where the
            cloth is.
    """
    part = _cloth_part(crop)
    chart = read_chart(photo, np.array(parse_corners(corners)))
    measured = measured_part(photo, file, part)
    at = chart.calibration_at(((part.left + part.right) / 2, (part.top + part.bottom) / 2))
    reading = chart_reading(measured.measurement, chart, at, measured.keys)
    where = tuple((float(x), float(y)) for x, y in chart.corners)
    inputs = {
        "corners": [list(corner) for corner in where],
        "left_out": list(chart.left_out),
        "slope": list(chart.slope),
    }
    reference = Reference(reading, inputs, at.to_record())
    return Beside(replace(measured, reference=reference), None, where, (), doubts_told(reading))


def beside_paper(
    photo: Photo, file: Path, crop: str | None, paper: str, typed: str | None
) -> Beside:
    """Return what a photo says of cloth beside white paper or a grey card: weakly.

    Args:
        photo: an open photo.
        file: its file.
        crop: the part that is cloth.
        paper: the part that is paper, as a crop.
        typed: its L*; that of white paper where None.

    Raises:
        StashkeeperError: the paper is burnt out or not even, a part or the lightness cannot be
            read, or nothing says where the cloth is.
    """
    part, where = _cloth_part(crop), parse_crop(paper)
    lightness = WHITE_PAPER if typed is None else read_lightness(typed)
    calibration = read_paper(photo, where, lightness)
    measured = measured_part(photo, file, part)
    reading = paper_reading(measured.measurement, calibration, measured.keys)
    inputs = {"corners": [list(corner) for corner in where.corners], "lightness": lightness}
    reference = Reference(reading, inputs, calibration.to_record())
    weak = "Paper alone is weak: it cannot undo how the phone bends tones. A card or a chart can."
    remarks = (weak, *doubts_told(reading))
    return Beside(replace(measured, reference=reference), None, where.corners, (), remarks)


def measured_part(photo: Photo, file: Path, part: Crop) -> MeasuredPhoto:
    """Return a part of a photo, measured, as nothing known in it."""
    return MeasuredPhoto(
        file,
        checksum_of(file),
        photo.format,
        photo.width,
        photo.height,
        photo.exposure,
        measure(photo, part),
    )


def doubts_told(reading: Reading) -> tuple[str, ...]:
    """Return what is doubtful about the photo of a reading, with what to do."""
    return tuple(f"The photo: {one}." for one in doubt_sentences(reading.doubts))


def _cloth_part(crop: str | None) -> Crop:
    if crop is None:
        raise BadRequestError(
            "Where the cloth is in the photo is missing.",
            "Say it with --crop, as in 0.1,0.1,0.5,0.9.",
            on_page="Mark the part of the photo that is cloth, then look again.",
        )
    return parse_crop(crop)
