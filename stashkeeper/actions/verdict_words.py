"""What a verdict on contrast means, in words."""

from stashkeeper.luminance.contrast import CLEAR_FROM, Verdict, in_one_photo


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
