"""Choice: the fabrics chosen for every role, how far apart they are, and how sure that is."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.choosing.needs import CutKey
from stashkeeper.choosing.score import Favour, Score
from stashkeeper.cloth.reading import Reading
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import Contrast


@dataclass(frozen=True, slots=True)
class Chosen:
    """One fabric of a choice.

    Attributes:
        role: the name of the role it is for, its set included.
        value: the group it plays in; None where any would do.
        set_number: the set it belongs to; None outside sets.
        fabric: its key.
        codes: the pieces to take, smallest first; those that are not needed stay on the shelf.
        reading: its lightness.
        family: its colour family, where known.
        gives: for each size of cut the role wants, how many these pieces give.
        kept: whether the person insisted on it.
        why: what speaks for it, in a sentence.
    """

    role: str
    value: Value | None
    set_number: int | None
    fabric: str
    codes: tuple[str, ...]
    reading: Reading
    family: str | None
    gives: Mapping[CutKey, int]
    kept: bool
    why: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """A whole choice.

    Attributes:
        favour: what it puts first.
        chosen: its fabrics, role by role in the order of the needs, each role from light to dark.
        gap: the smaller of the gaps between neighbouring groups over the whole choice, in L*;
            None where only one value is asked for. In a choice with sets it may be negative,
            because one set may be darker than another.
        inside: the smallest gap inside any set, in L*; None without sets.
        contrast: the judgement on every boundary between groups that are asked for.
        bound: what the smaller gap, inside sets where there are any, cannot exceed with this
            shelf, in L*; None where there is no gap.
        proven: whether nothing better exists. What the pieces give when several sizes come out of
            them together is part of the proof only where `cuts_proven` says so.
        cuts_proven: whether a cutting plan has proven every role that takes several sizes out of
            the same cloth (true where none does).
        score: scraps, harmony, certainty.
    """

    favour: Favour
    chosen: tuple[Chosen, ...]
    gap: float | None
    inside: float | None
    contrast: tuple[Contrast, ...]
    bound: float | None
    proven: bool
    cuts_proven: bool
    score: Score

    @property
    def aim(self) -> float | None:
        """The gap that was made as large as possible: inside sets, or between the groups."""
        return self.gap if self.inside is None else self.inside

    @property
    def all_provisional(self) -> bool:
        """Whether only photos with nothing of known lightness in them speak for its fabrics."""
        return all(one.reading.provisional for one in self.chosen)
