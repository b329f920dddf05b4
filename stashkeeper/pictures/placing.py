"""Places along a line: marks that do not touch, blocks that keep their order and their room."""

import math
from collections.abc import Sequence


def lanes(places: Sequence[float], clearance: float) -> list[int]:
    """Return the lane (0, 1, …) of each place such that no two of one lane are too close.

    Args:
        places: where each mark stands along the rule.
        clearance: the least distance between two marks of one lane.
    """
    last: list[float] = []
    found = [0] * len(places)
    for index in sorted(range(len(places)), key=places.__getitem__):
        place = places[index]
        free = (lane for lane, end in enumerate(last) if place - end >= clearance)
        lane = next(free, len(last))
        if lane == len(last):
            last.append(place)
        last[lane] = place
        found[index] = lane
    return found


def spread_out(
    middles: Sequence[float], heights: Sequence[float], between: float, top: float, bottom: float
) -> list[float]:
    """Return the top of each block, as near to its wished middle as room and order allow.

    Blocks keep their order, `between` px apart, inside `top` to `bottom`; where they are too
    many for it, they run on below `bottom`.

    Args:
        middles: where the middle of each block would best be.
        heights: how high each block is.
        between: the least distance from one block to the next.
        top: where the first block begins at the earliest.
        bottom: where the last block ends at the latest.
    """
    wishes = [middle - height / 2 for middle, height in zip(middles, heights, strict=True)]
    offsets = [math.fsum(heights[:index]) + between * index for index in range(len(heights))]
    settled = _monotone([wish - offset for wish, offset in zip(wishes, offsets, strict=True)])
    room = bottom - top - math.fsum(heights) - between * max(0, len(heights) - 1)
    return [
        top + max(0.0, min(place - top, room)) + offset
        for place, offset in zip(settled, offsets, strict=True)
    ]


def _monotone(wishes: Sequence[float]) -> list[float]:
    """Return the never falling numbers nearest to `wishes` (least squares, pooling neighbours)."""
    pools: list[tuple[float, int]] = []
    for wish in wishes:
        mean, count = wish, 1
        while pools and pools[-1][0] > mean:
            before, size = pools.pop()
            mean = (before * size + mean * count) / (size + count)
            count += size
        pools.append((mean, count))
    return [mean for mean, count in pools for _ in range(count)]
