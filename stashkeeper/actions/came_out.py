"""How the cutting of a piece came out: as planned, only partly, or otherwise."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cutting.offcuts import Keeping
from stashkeeper.cutting.partly import after
from stashkeeper.cutting.plan import Box, PiecePlan
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.basis import Edge
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import Size

_FIRST: Final = re.compile(r"(?:the )?(?:first )?([0-9]{1,6})(?: cuts?)?", re.IGNORECASE)
_COUNTED: Final = re.compile(r"(?:([0-9]{1,9})\s*[x×*]?\s+)?(\S.*)")


@dataclass(frozen=True, slots=True)
class Remnant:
    """An off-cut that goes back on the shelf: its size, its selvedges, whether it is squared up."""

    size: Size
    selvedges: frozenset[Edge] = frozenset()
    squared: bool = True


@dataclass(frozen=True, slots=True)
class CameOut:
    """How it came out.

    Attributes:
        gave: how many of each cut, by name.
        missing: how many of each were planned and did not come out.
        remnants: the off-cuts that go back on the shelf.
    """

    gave: dict[str, int]
    missing: dict[str, int]
    remnants: tuple[Remnant, ...]


def came_out(
    piece: PiecePlan,
    now: Cloth,
    keeping: Keeping,
    measure: Measure,
    *,
    only: str | None,
    off_cuts: Sequence[str],
) -> CameOut:
    """Return how a piece came out.

    Args:
        piece: as it was planned.
        now: what it offers now, which may be more than was planned.
        keeping: from what size on an off-cut is kept.
        measure: gives typed sizes without a unit theirs.
        only: `2` for only the first two cuts of the diagram, or `3 x A, B` for what came out;
            None for everything.
        off_cuts: the sizes of what was really left over and is kept; `none` for nothing; as
            planned where there are none.

    Raises:
        BadRequestError: it could not come out that way.
        BadSizeError: a size cannot be read.
    """
    planned = Counter(placement.name for placement in piece.placements)
    cuts = _first_cuts(only, piece)
    gave, rests = planned, [off_cut.box for off_cut in piece.kept]
    if cuts is not None:
        lying = after(piece, cuts)
        gave = Counter(placement.name for placement in lying.finished)
        rests = [box for box in lying.rests if keeping.worth_keeping(box.size)]
    elif only is not None:
        gave = _named(only, planned)
    remnants = [_remnant(box, piece) for box in rests] + list(_surplus(piece, now, keeping))
    if off_cuts:
        remnants = list(_typed(off_cuts, measure, now))
    missing = {name: planned[name] - gave[name] for name in planned if planned[name] > gave[name]}
    return CameOut(dict(gave), missing, tuple(remnants))


def _first_cuts(only: str | None, piece: PiecePlan) -> int | None:
    """Return how many cuts were made, if that is what was typed."""
    match = _FIRST.fullmatch(only.strip()) if only is not None else None
    if match is None:
        return None
    cuts = int(match[1])
    if not 1 <= cuts <= len(piece.lines):
        raise BadRequestError(
            f"{piece.cloth.code} is cut {len(piece.lines)} times by the plan, not {cuts:,}.",
            f"Give a number from 1 to {len(piece.lines)}, as on the diagram.",
        )
    return cuts


def _named(only: str, planned: Counter[str]) -> Counter[str]:
    """Return what came out as typed: `3 x A, B`."""
    if not only.strip():
        raise BadRequestError(
            "What came out was not said.", "Say it, as in 3 x A; or 0 x A for nothing."
        )
    gave = Counter[str]()
    for part in re.split(r"[,;]|\band\b", only):
        if not part.strip():
            continue
        match = _COUNTED.fullmatch(part.strip())
        name = _known(match[2].strip() if match else part, planned)
        gave[name] += int(match[1] or 1) if match else 1
        if gave[name] > planned[name]:
            raise BadRequestError(
                f"{gave[name]} × {name} came out, and only {planned[name]} were planned of it.",
                "Count again; more than was planned goes back on the shelf as an off-cut.",
            )
    return gave


def _known(typed: str, planned: Counter[str]) -> str:
    for name in planned:
        if name.casefold() == typed.casefold():
            return name
    raise BadRequestError(
        f"{quoted(typed)} is no cut of this piece.", f"Its cuts are {', '.join(planned)}."
    )


def _remnant(box: Box, piece: PiecePlan) -> Remnant:
    """Return an off-cut; it has a selvedge where it reaches one that was not trimmed away."""
    cloth = piece.cloth
    edges = set()
    if Edge.LEFT in cloth.selvedges and not box.left:
        edges.add(Edge.LEFT)
    if Edge.RIGHT in cloth.selvedges and box.right == cloth.whole.width:
        edges.add(Edge.RIGHT)
    return Remnant(box.size, frozenset(edges))


def _surplus(piece: PiecePlan, now: Cloth, keeping: Keeping) -> Iterator[Remnant]:
    """Yield what a piece measures beyond what was planned, where that is worth keeping."""
    planned = piece.cloth.size
    beside = Size(now.size.width - planned.width, now.size.length)
    beyond = Size(planned.width, now.size.length - planned.length)
    yield from (Remnant(size) for size in (beside, beyond) if keeping.worth_keeping(size))


def _typed(texts: Sequence[str], measure: Measure, now: Cloth) -> Iterator[Remnant]:
    """Yield off-cuts as typed; none may be larger than the piece was."""
    if [text.strip().casefold() for text in texts] == ["none"]:
        return
    whole, total = now.whole, 0
    for text in texts:
        size = parse_size(text, measure).size
        total += size.area
        if not whole.holds(size) or total > whole.area:
            raise BadRequestError(
                f"The off-cut {quoted(text)} cannot come from {now.code}: it is not that large.",
                "Measure it again; an irregular one counts as the largest rectangle it holds.",
            )
        yield Remnant(size, squared=False)
