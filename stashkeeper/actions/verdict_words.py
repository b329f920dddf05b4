"""What a verdict on contrast means, in words."""

from stashkeeper.luminance.contrast import CLEAR_FROM, TOO_CLOSE, Verdict, WeakPair, in_one_photo


def verdict_words(verdict: Verdict, gap: float, uncertainty: float) -> str:
    """Return what a verdict means for the sewing, or what would settle it, as the end of a line."""
    if verdict is Verdict.WEAK:
        if gap + uncertainty < CLEAR_FROM:
            return ": the two groups will run together"
        return ": the two groups seem to run together, but that is not sure"
    if verdict is not Verdict.CANNOT_TELL:
        return ""
    if in_one_photo(gap, uncertainty) is None:
        return ": too close for one photo more to tell"
    return ": a photo of both side by side should settle it"


def wrong_way_round(lightest: float | None, darkest: float | None) -> bool:
    """Tell whether the whole of a lighter group is clearly darker than the darker one.

    Args:
        lightest: L* of the lightest of the lighter group; None where it is empty.
        darkest: L* of the darkest of the darker group; None where it is empty.
    """
    return lightest is not None and darkest is not None and darkest - lightest >= TOO_CLOSE


def held_words(pair: WeakPair) -> str:
    """Return that colour holds a pair apart, as the end of a line; empty where it does not.

    Farther apart the wrong way round, a pair is not weak in grey: its gap alone tells of it.
    """
    weak_in_grey = pair.gap > -TOO_CLOSE
    return "; weak in grey, held apart by colour" if weak_in_grey and pair.held_by_colour else ""
