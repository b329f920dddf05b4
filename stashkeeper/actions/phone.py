"""A phone's tone curve, learnt once from a bracket of one plain cloth: an experiment."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from stashkeeper.actions.measuring import crop_of, measure_in_turn
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.calibrations import add_calibration, calibrations_of
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.luminance.calibrate import NO_GAINS, Calibration, calibration_from_record
from stashkeeper.luminance.sitting import PhoneCurve, Taken, learn_curve
from stashkeeper.luminance.tone_ramp import ToneRamp

PHONE = "phone"


@dataclass(frozen=True, slots=True)
class LearntPhone:
    """A phone whose curve was learnt; `photos` names the files of the bracket."""

    curve: PhoneCurve
    photos: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was learnt, and how well the photos agree."""
        agree = f"they agree to ±{2 * self.curve.residual:.1f} L*"
        return (
            f"Learnt how {self.curve.camera} bends tones from {len(self.photos)} photos; {agree}.",
            "This is an experiment: sittings with this phone count as surer from now on.",
        )


@dataclass(frozen=True, slots=True)
class Phones:
    """The phones whose curves are known, by their cameras' names."""

    cameras: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """Which they are, or how to teach one."""
        if not self.cameras:
            return (
                "No phone was learnt yet.",
                "Photograph one plain grey cloth at seven exposures: stashkeeper phone learn *.jpg",
            )
        return tuple(f"{camera}: its tone curve is known." for camera in self.cameras)


def phones(stash: Stash) -> Phones:
    """Return the phones whose curves are known."""
    with stash.reading() as session:
        cameras = [str(row.inputs["camera"]) for row in calibrations_of(session, PHONE)]
    return Phones(tuple(dict.fromkeys(cameras)))


def bracket_of(words: Sequence[str]) -> list[Path]:
    """Return the photos of a bracket: what was typed behind “learn”.

    Raises:
        BadRequestError: the first word is another one.
    """
    if words[0] != "learn":
        raise BadRequestError(
            f"{quoted(words[0])} is nothing to do with a phone.",
            "Type learn and the photos of one plain cloth: phone learn *.jpg",
        )
    return [Path(word) for word in words[1:]]


def look_at_bracket(photos: Sequence[Path], *, crop: str | None = None) -> LearntPhone:
    """Return what a bracket teaches of a phone; nothing is on record yet.

    Args:
        photos: one plain cloth at several exposures.
        crop: the part of all of them that is that cloth.

    Raises:
        StashkeeperError: no photo is named, one is bad, or they teach nothing.
    """
    if not photos:
        raise BadRequestError(
            "No photo was given.",
            "Name the photos of one plain cloth at several exposures: phone learn *.jpg",
            on_page="Choose the photos of one plain cloth at several exposures.",
        )
    part = crop_of(crop)
    taken = []
    for path in photos:
        measured = measure_in_turn(path, part)
        taken.append(Taken(measured.measurement, measured.exposure))
    return LearntPhone(learn_curve(taken), tuple(path.name for path in photos))


def keep_phone(stash: Stash, learnt: LearntPhone) -> LearntPhone:
    """Put on record what a bracket taught."""
    curve = Calibration(NO_GAINS, learnt.curve.ramp).to_record()
    with stash.deed("phone") as deed:
        add_calibration(
            deed,
            PHONE,
            {
                "camera": learnt.curve.camera,
                "photos": list(learnt.photos),
                "residual": learnt.curve.residual,
            },
            curve,
        )
        deed.summary = f"Learnt how {quoted(learnt.curve.camera)} bends tones."
    return learnt


def learnt_curve(session: Session, camera: str) -> ToneRamp | None:
    """Return the curve of a camera as learnt last; None where it was never learnt."""
    for row in calibrations_of(session, PHONE):
        if row.inputs.get("camera") == camera:
            return calibration_from_record(row.curve).ramp
    return None
