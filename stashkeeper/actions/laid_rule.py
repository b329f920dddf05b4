"""The value rule laid down under some fabrics: beads, stretches of the groups, gaps to scale."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from stashkeeper.cloth.value import Value
from stashkeeper.luminance.contrast import TOO_CLOSE, Contrast, Verdict
from stashkeeper.pictures.value_rule import Bead, Bracket, Mark, Stretch
from stashkeeper.pictures.web_rule import WebRule, place_value_rule


@dataclass(frozen=True, slots=True)
class OnRule:
    """A fabric on the rule: the group it plays in (None for any), L*, whether provisional."""

    value: Value | None
    lightness: float
    provisional: bool


def laid_rule(fabrics: Iterable[OnRule], judged: Sequence[Contrast] = ()) -> WebRule:
    """Return where fabrics and the gaps between their groups stand on the rule.

    Args:
        fabrics: those on the rule.
        judged: the judgement between groups; where one is missing, a gap is weak below 5 L*.
    """
    there = list(fabrics)
    groups = {
        value: [one.lightness for one in there if one.value is value]
        for value in Value
        if any(one.value is value for one in there)
    }
    verdicts = {one.between: one for one in judged}
    beads = [
        Bead(one.lightness, Mark.PROVISIONAL if one.provisional else Mark.SURE) for one in there
    ]
    stretches = [Stretch(min(group), max(group)) for group in groups.values()]
    brackets = [
        _bracket(min(groups[lighter]), max(groups[darker]), verdicts.get((lighter, darker)))
        for lighter, darker in pairwise(groups)
    ]
    return place_value_rule(beads, stretches, brackets)


def _bracket(upper: float, lower: float, judged: Contrast | None) -> Bracket:
    gap = upper - lower
    weak = gap < TOO_CLOSE if judged is None else judged.verdict is Verdict.WEAK
    uncertain = "" if judged is None or judged.uncertainty is None else f"±{judged.uncertainty:.0f}"
    verdict = str(judged.verdict) if judged else "weak" if weak else ""
    return Bracket(upper, lower, f"{gap:.1f}", uncertain, (verdict, ""), weak)
