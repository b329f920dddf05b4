"""Size to fit from the cloth: the largest unit that the pieces chosen allow."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final

from stashkeeper.actions.chosen_cloth import ChosenCloth, chosen_cloth
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.quilt_subject import Subject, subject_of
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadSizeError, NoPlanError
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.fit import HALF_INCH, largest_unit
from stashkeeper.quilts.quilt import Part, Quilt, finished_size

RANGE: Final = {
    Measure.INCHES: (Length.from_inches(1), Length.from_inches(24), HALF_INCH),
    Measure.CENTIMETRES: (
        Length.from_millimetres(20),
        Length.from_millimetres(600),
        Length.from_millimetres(10),
    ),
}
"""The smallest and the largest unit that is tried, and by how much units differ (ours)."""

MOST_TRIES: Final = 6
"""So many units are tried at most for which a cutting plan may, or may not, come out (ours)."""


STOPPED: Final = "Stopped before a cutting plan proved this size: it may still be too large."


@dataclass(frozen=True, slots=True)
class ClothFitted:
    """A quilt as large as its cloth allows.

    Attributes:
        title: what is fitted.
        unit: the finished side of the largest unit.
        finished: the finished size with it.
        proven: whether a cutting plan gives every part of it.
        remarks: what stops a larger unit, and how to go on.
    """

    title: str
    unit: Length
    finished: Size
    proven: bool
    remarks: tuple[str, ...]
    _measure: Measure = field(repr=False)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The unit, the size, and what stops a larger one."""
        unit = format_length(self.unit, self._measure)
        size = format_size(self.finished, self._measure, Rounding.UP)
        surely = "proven by a cutting plan" if self.proven else "each part counted alone"
        return (f"{self.title}: units of {unit}, finished {size} ({surely}).", *self.remarks)


def cloth_to_fit(stash: Stash, words: PreviewWords) -> tuple[Subject, ChosenCloth]:
    """Return what is to be fitted, and the cloth chosen for it.

    Raises:
        StashkeeperError: no such project, layout or piece, or a role without a piece.
    """
    with stash.reading() as session:
        subject = subject_of(stash, session, words)
        return subject, chosen_cloth(stash, session, subject, words)


def fit_cloth(
    stash: Stash,
    words: PreviewWords,
    *,
    stop: Callable[[], bool] = lambda: False,
    progress: Callable[[str], None] = lambda _: None,
) -> ClothFitted:
    """Return the largest unit that the pieces chosen for a project allow.

    Args:
        stash: the open stash.
        words: the name of a project, or a layout with fabrics for its roles.
        stop: asked many times a second; once it says yes, the unit is taken that is being tried.
        progress: told what is being tried, in a sentence.

    Raises:
        NoPlanError: not even the smallest unit comes out of the cloth, or no plan was found.
        StashkeeperError: as `cloth_to_fit`.
    """
    subject, cloth = cloth_to_fit(stash, words)
    smallest, largest, step = RANGE[stash.measure]

    def quilt_with(unit: Length) -> Quilt:
        return replace(subject.quilt, unit=unit)

    largest = _largest(quilt_with, smallest, largest, step)
    found = largest_unit(quilt_with, cloth.can_have, smallest, largest, step)
    if found is None:
        raise NoPlanError(
            f"The cloth does not give {subject.title} with units of "
            f"{format_length(smallest, stash.measure)}.",
            "Choose more pieces, or make fewer units.",
        )
    trying = _Trying(stash.measure, subject, cloth, stop, progress)
    return _proven(trying, found.unit, found.short, step)


@dataclass(frozen=True, slots=True)
class _Trying:
    """What is fitted, and how its person follows it."""

    measure: Measure
    subject: Subject
    cloth: ChosenCloth
    stop: Callable[[], bool]
    progress: Callable[[str], None]

    def proof(self, quilt: Quilt, unit: Length) -> bool | None:
        """Tell whether a plan gives the quilt; None where that was not found out."""
        self.progress(f"Units of {format_length(unit, self.measure)}: looking for a cutting plan")
        return self.cloth.proven(quilt, self.stop)


def _proven(
    trying: _Trying, unit: Length, short: tuple[tuple[Part, int], ...], step: Length
) -> ClothFitted:
    """Return the largest unit from `unit` down that a cutting plan gives.

    Raises:
        NoPlanError: none was found.
    """
    subject, cloth, measure = trying.subject, trying.cloth, trying.measure
    tried, tries = unit, 0
    while tried >= RANGE[measure][0] and tries < MOST_TRIES:
        quilt = replace(subject.quilt, unit=tried)
        proof = trying.proof(quilt, tried) if cloth.is_enough(quilt) else False
        if proof is not False:
            larger = format_length(tried + step, measure)
            why = cloth.told_short(short, larger, measure) if short else ""
            if tried < unit:
                why = f"With units of {larger} no plan was found for all parts together."
            stopped = STOPPED if proof is None and trying.stop() else ""
            told = tuple(said for said in (stopped, why, *cloth.doubts()) if said)
            return ClothFitted(
                subject.title, tried, finished_size(quilt), proof is True, told, measure
            )
        tries += cloth.is_enough(quilt)
        tried -= step
    raise NoPlanError(
        f"No plan was found that gives all parts of {subject.title} together, down to units of "
        f"{format_length(tried + step, measure)}.",
        "Choose more pieces, or make fewer units.",
    )


def _largest(
    quilt_with: Callable[[Length], Quilt], smallest: Length, largest: Length, step: Length
) -> Length:
    """Return the largest unit, in steps, at which it is still a quilt of a possible size."""
    while largest > smallest:
        try:
            finished_size(quilt_with(largest))
        except BadSizeError:
            largest -= step
        else:
            break
    return largest
