"""The steps of a plan in words, the same on every face."""

from collections import Counter
from collections.abc import Sequence

from stashkeeper.cutting.steps import Deed, Side, Step
from stashkeeper.lengths.format import RULER_MARK, format_exactly, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding


def sentence(step: Step, measure: Measure) -> str:
    """Return one step in words: such as `Cut 3 × A at 4½ in from the left edge of strip 1`."""
    words = f"{_deed(step, measure)}{_turn(step)}."
    if step.remains is not None:
        words += f" What is left is {step.remains}."
    if step.off_cut is not None:
        words += f" {_rest(step, measure)}"
    for tool in step.exceeds:
        words += f" Mind: {tool.value}."
    return words


def exact(length: Length, measure: Measure) -> str:
    """Return a length as it is set on the ruler: nothing rounded away."""
    if length.rounded_to(RULER_MARK[measure], Rounding.DOWN) == length:
        return format_length(length, measure)
    return format_exactly(length, measure)


def _deed(step: Step, measure: Measure) -> str:
    if step.setting is None or step.side is None:
        return f"Press {step.source} flat"
    setting, gives = exact(step.setting, measure), _listed(step.gives)
    if step.deed is Deed.SQUARE_UP:
        edge = "the selvedge" if step.selvedge else "the raw edge"
        return f"Square up {step.source}: trim {setting} with {edge} off the {step.side} edge"
    where = f"from the {step.side} edge of {step.source}"
    if not gives:
        return f"Cut off what is not needed, {setting} {where}"
    if step.deed is Deed.TRIM:
        return f"Trim {step.source} to {gives}, {setting} {where}"
    return f"Cut {gives} at {setting} {where}"


def _turn(step: Step) -> str:
    """Say that the piece is turned a quarter, so that the edge lies at the hand."""
    across = step.side in {Side.NEAR, Side.FAR} and step.deed is not Deed.SQUARE_UP
    return ", turned a quarter" if across else ""


def _rest(step: Step, measure: Measure) -> str:
    size = format_size(step.off_cut, measure) if step.off_cut else ""
    if step.kept:
        return f"Set {size} aside: it goes back on the shelf."
    return f"What is left over, {size}, is a scrap."


def _listed(names: Sequence[str]) -> str:
    """Return names with how often they come: `3 × A, B`, `strips 1 to 4`."""
    strips = [name.removeprefix("strip ") for name in names if name.startswith("strip ")]
    counts = Counter(name for name in names if not name.startswith("strip "))
    listed = [f"{count} × {name}" if count > 1 else name for name, count in counts.items()]
    if len(strips) > 1:
        listed.append(f"strips {strips[0]} to {strips[-1]}")
    else:
        listed += [f"strip {number}" for number in strips]
    return ", ".join(listed)
