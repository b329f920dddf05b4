"""Table or cloth: what lies at either end of a line-up, told by where the cloth ends.

Most tables show above or below the strips, beyond one straight line at which all fabrics end. A
strip at the side that goes on across that line is table; one that stops there is cloth, however
much alike the two are.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.lineup_profile import Profile

ALIKE: Final = 16.0
"""Codes that colours of one table differ by at most, near each other."""
LOOKED_AT: Final = 30
DEEPEST: Final = 24
"""Rows from the rim inwards that are looked at, and the most that may be table."""
MORE_TILTED: Final = 0.025
"""The line where the cloth ends leans at most so much more than the strips do."""
CROSSES: Final = 0.35
"""It crosses at least so much of the photo's width."""
HOLDS: Final = 0.88
"""Beyond it so many of the columns are table."""
OUTER: Final = 0.65
"""So much of an end strip is looked at: what lies beside another has its shadow."""
STEPS: Final = 3
"""Rows on either side that are compared."""


@dataclass(frozen=True, slots=True, eq=False)
class ClothEnd:
    """The line at which all fabrics end, and the table beyond.

    Attributes:
        colour: of the table, as in `Profile.colours`.
        depth: rows from the rim inwards to the line, for each column; below 0 outside the photo.
        share: of the columns in which table shows.
        rows: of the whole picture, the rim first.
    """

    colour: Floats
    depth: Floats
    share: float
    rows: Floats


@dataclass(frozen=True, slots=True, eq=False)
class EndStrip:
    """What is known of the first or last strip.

    Attributes:
        colour: its commonest, as in `Profile.colours`.
        plain: the share of it that has that colour.
        alike: the share of it that has the table's colour; None where no table shows.
        step: how sharply its colour changes at the line where the cloth ends, in codes; None where
            that does not show.
    """

    colour: Floats
    plain: float
    alike: float | None
    step: float | None


def cloth_ends(profile: Profile) -> tuple[ClothEnd, ...]:
    """Return the lines at which the cloth ends above and below, as far as they show."""
    found = (_cloth_end(rows, profile.lean) for rows in (profile.whole, profile.whole[::-1]))
    return tuple(end for end in found if end is not None)


def end_strip(profile: Profile, ends: tuple[ClothEnd, ...], first: int, last: int) -> EndStrip:
    """Return what is known of a strip at either side, from one column to another."""
    wide = max(3, round(OUTER * (last - first)))
    columns = (
        np.arange(first, min(last, first + wide))
        if first == 0
        else np.arange(max(first, last - wide), last)
    )
    pixels = _some(profile.colours[:, columns[0] : columns[-1] + 1], 1500)
    colour, plain = common_colour(pixels)
    alike = [float((away(pixels, _near(end, columns)) < ALIKE - 4).mean()) for end in ends]
    steps = [step for end in ends if (step := _step(end, columns)) is not None]
    return EndStrip(colour, plain, min(alike, default=None), max(steps, default=None))


def common_colour(pixels: Floats) -> tuple[Floats, float]:
    """Return the commonest colour of some pixels, and the share of them that have it."""
    tried = _some(pixels, 120)
    alike = np.linalg.norm(pixels[np.newaxis] - tried[:, np.newaxis], axis=2) < ALIKE
    best = int(alike.mean(axis=1).argmax())
    return np.asarray(pixels[alike[best]].mean(axis=0)), float(alike[best].mean())


def away(pixels: Floats, colour: Floats) -> Floats:
    """Return how many codes pixels are from a colour."""
    return np.asarray(np.linalg.norm(pixels - colour, axis=-1))


def _some(pixels: Floats, most: int) -> Floats:
    flat = pixels.reshape(-1, 3)
    return flat[:: max(1, len(flat) // most)]


def _cloth_end(rows: Floats, lean: float) -> ClothEnd | None:
    """Return the line that leaves most table beyond it, of any colour the rim shows often."""
    near = rows[:LOOKED_AT]
    rim = left = near[:2].reshape(-1, 3)
    best: tuple[float, ClothEnd | None] = (0.0, None)
    for _ in range(3):
        if len(left) < 0.2 * len(rim):
            break
        colour, _share = common_colour(left)
        left = left[away(left, colour) >= ALIKE]
        table = away(near, colour) < ALIKE + 4
        area, depth = _deepest(table, abs(lean) + MORE_TILTED)
        if depth is not None and area > best[0]:
            best = area, ClothEnd(colour, depth, float((depth >= 1.5).mean()), rows)
    return best[1]


def _deepest(table: NDArray[np.bool_], steepest: float) -> tuple[float, Floats | None]:
    """Return how much table the best line leaves beyond it, and its depth in each column."""
    both = ~table[:-1] & ~table[1:]
    run = np.where(both.any(axis=0), both.argmax(axis=0), len(table)).astype(np.float64)
    from_middle = np.arange(table.shape[1]) - table.shape[1] / 2
    best: tuple[float, Floats | None] = (0.0, None)
    for lean in np.linspace(-steepest, steepest, 15):
        for deep in range(DEEPEST, -8, -1):
            depth = deep + lean * from_middle
            seen = depth >= 1.5
            if seen.mean() < CROSSES:
                break
            if (run[seen] >= depth[seen] - 1).mean() >= HOLDS:
                area = float(np.minimum(depth[seen], DEEPEST).sum())
                if area > best[0] and _cloth_begins(table, depth, seen):
                    best = area, depth
                break
    return best


def _cloth_begins(table: NDArray[np.bool_], depth: Floats, seen: NDArray[np.bool_]) -> bool:
    """Tell whether most of what lies within a line is something else than table."""
    rows, columns = np.rint(depth[seen]).astype(int), np.flatnonzero(seen)
    inside = [table[np.minimum(rows + more, len(table) - 1), columns] for more in (3, 4, 5)]
    return bool((np.mean(inside, axis=0) < 0.5).mean() >= 0.5)


def _near(end: ClothEnd, columns: NDArray[np.intp]) -> Floats:
    """Return the colour that the table has beyond the line in some columns: light falls off."""
    seen = columns[end.depth[columns] >= 2.5]
    if len(seen) < 3:
        return end.colour
    beyond = np.concatenate([end.rows[: max(1, int(end.depth[at]) - 1), at] for at in seen])
    beyond = beyond[away(beyond, end.colour) < ALIKE + 8]
    return np.asarray(beyond.mean(axis=0)) if len(beyond) > 5 else end.colour


def _step(end: ClothEnd, columns: NDArray[np.intp]) -> float | None:
    """Return how much the mean colour of some columns changes at the line where the cloth ends."""
    seen = columns[end.depth[columns] >= 2.5]
    if len(seen) < 3:
        return None
    depth = end.depth[seen]
    start = -8
    along = np.array(
        [
            end.rows[np.clip(np.rint(depth + off).astype(int), 0, None), seen].mean(axis=0)
            for off in range(start, 8)
        ]
    )
    # Each fabric ends a little before or after the others.
    first = -int(min(3, max(0, depth.mean() - 2)))
    return max(_change(along, off - start) for off in range(first, 4))


def _change(along: Floats, at: int) -> float:
    before, after = along[max(0, at - STEPS) : max(1, at)], along[at + 1 : at + 1 + STEPS]
    return float(np.linalg.norm(before.mean(axis=0) - after.mean(axis=0)))
