"""The steps of a plan in words, the same on every face."""

from collections import Counter
from collections.abc import Sequence

from stashkeeper.cutting.steps import Deed, Side, Step, is_strip
from stashkeeper.lengths.format import RULER_MARK, format_exactly, format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding


def sentence(step: Step, measure: Measure, rest: str = "") -> str:
    """Return one step in words.

    Such as `Cut 3 × A at 4½ in from the left edge of strip 1`, or `Cut 3 × A from each of strips
    1 to 4, at 4½ in from the left edge`.

    Args:
        step: what to do.
        measure: for the numbers on the ruler.
        rest: what to say of what is set aside or left over, where it is not one size for all.
    """
    words = f"{_deed(step, measure)}{_turn(step)}."
    if step.remains is not None:
        words += f" What is left is {step.remains}."
    if step.off_cut is not None:
        words += f" {rest or _rest(step, measure)}"
    for tool in step.exceeds:
        words += f" Mind: {tool.value}."
    return words


def exact(length: Length, measure: Measure) -> str:
    """Return a length as it is set on the ruler: nothing rounded away."""
    if length.rounded_to(RULER_MARK[measure], Rounding.DOWN) == length:
        return format_length(length, measure)
    return format_exactly(length, measure)


def _deed(step: Step, measure: Measure) -> str:
    source, several = _source(step), len(step.sources) > 1
    if step.setting is None or step.side is None:
        return f"Press {source} flat"
    setting = exact(step.setting, measure)
    gives = _listed(step.gives[: len(step.gives) // len(step.sources)])
    if step.deed is Deed.SQUARE_UP:
        edge = "the selvedge" if step.selvedge else "the raw edge"
        return f"Square up {source}: trim {setting} with {edge} off the {step.side} edge"
    edge = f"from the {step.side} edge"
    where = f"{edge} of {source}"
    if not gives:
        return f"Cut off what is not needed, {setting} {where}"
    if step.deed is Deed.TRIM:
        return f"Trim {source} to {gives}, {setting} {edge}"
    if several:
        return f"Cut {gives} from {source}, at {setting} {edge}"
    return f"Cut {gives} at {setting} {where}"


def _source(step: Step) -> str:
    """Return what is cut: `A1`, `strip 2`, `each of strips 2 to 4`."""
    if len(step.sources) == 1:
        return step.sources[0]
    return f"each of {_strips(step.sources)}"


def _turn(step: Step) -> str:
    """Say that the piece is turned a quarter, so that the edge lies at the hand."""
    across = step.side in {Side.NEAR, Side.FAR} and step.deed is not Deed.SQUARE_UP
    return ", turned a quarter" if across else ""


def _rest(step: Step, measure: Measure) -> str:
    size = format_size(step.off_cut, measure) if step.off_cut else ""
    several = len(step.sources) > 1
    if step.kept and several:
        return f"Set {size} of each aside: it goes back on the shelf."
    if step.kept:
        return f"Set {size} aside: it goes back on the shelf."
    return f"What is left over{' of each' if several else ''}, {size}, is a scrap."


def _listed(names: Sequence[str]) -> str:
    """Return names with how often they come: `3 × A, B`, `strips 1 to 4`."""
    strips = [name for name in names if is_strip(name)]
    counts = Counter(name for name in names if not is_strip(name))
    listed = [f"{count} × {name}" if count > 1 else name for name, count in counts.items()]
    return ", ".join([*listed, *([_strips(strips)] if strips else [])])


def _strips(names: Sequence[str]) -> str:
    """Return strips by their numbers: `strip 3`, `strips 1 and 2`, `strips 1 to 4`."""
    numbers = [int(name.rpartition(" ")[2]) for name in names]
    first, last = numbers[0], numbers[-1]
    if len(numbers) == 1:
        return f"strip {first}"
    if len(numbers) > 2 and numbers == list(range(first, last + 1)):
        return f"strips {first} to {last}"
    return f"strips {', '.join(map(str, numbers[:-1]))} and {last}"
