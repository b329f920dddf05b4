"""The shelf as a choice sees it: fabrics from dark to light, and what their pieces give.

Copies and off-cuts of one fabric are one fabric: what they give adds up. The order in which the
pieces come makes no difference, because fabrics are sorted by lightness, then by key.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Final, Self

import numpy as np
from numpy.typing import NDArray

from stashkeeper.choosing.needs import CutKey
from stashkeeper.cloth.reading import Reading
from stashkeeper.lengths.length import TICKS_PER_INCH

type Gives = Mapping[Any, Sequence[int]]
"""For each size of cut (a `CutKey`), how many each piece gives."""

type Whole = NDArray[np.int64]
type Flags = NDArray[np.bool_]

PER_LIGHTNESS: Final = 1_000_000
"""Lightness is compared in millionths of L*, as whole numbers, so that nothing is rounded twice."""

BLACK: Final = 0
WHITE: Final = 100 * PER_LIGHTNESS
"""The ends of the lightness scale, in millionths."""

DARKEST_CLOTH: Final = 15 * PER_LIGHTNESS
LIGHTEST_CLOTH: Final = 95 * PER_LIGHTNESS
"""Nothing is called missing that no shop has: darker than black cotton, or lighter than white one,
in millionths of L* (ours), unless the shelf itself holds such."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One piece that may be chosen.

    Attributes:
        code: the code of the piece.
        fabric: the key of its fabric.
        reading: the lightness of that fabric; pieces of one fabric share it.
        area: its usable area in square ticks; small pieces are used up first.
        family: the colour family of the fabric; None where its colour is not known.
    """

    code: str
    fabric: str
    reading: Reading
    area: int = 0
    family: str | None = None


@dataclass(frozen=True)
class Shelf:
    """Fabrics from dark to light; a position means the same fabric in every array.

    Attributes:
        keys: the keys of the fabrics.
        light: their lightness in millionths of L*, rising.
        readings: their readings.
        families: their colour families.
        gives: for each size of cut, how many all pieces of a fabric give.
        areas: the usable area of all its pieces, in square ticks.
        pieces: for each fabric its pieces, as positions in the arrays below, smallest first.
        codes: the codes of the pieces.
        piece_gives: for each size of cut, how many a piece gives.
        piece_areas: the usable areas of the pieces, in square ticks.
        starts: where the pieces of each fabric begin, and where the last ends.
    """

    keys: tuple[str, ...]
    light: Whole
    readings: tuple[Reading, ...]
    families: tuple[str | None, ...]
    gives: Mapping[CutKey, Whole]
    areas: Whole
    codes: tuple[str, ...]
    piece_gives: Mapping[CutKey, Whole]
    piece_areas: Whole
    starts: Whole

    @classmethod
    def of(cls, candidates: Sequence[Candidate], gives: Gives) -> Self:
        """Return the shelf of these pieces.

        Args:
            candidates: the pieces, in any order.
            gives: for each size of cut, how many each of them gives, in the same order.
        """
        known: dict[str, int] = {}
        fabric_of = _whole([known.setdefault(one.fabric, len(known)) for one in candidates])
        speakers = _speakers(candidates, fabric_of, len(known))
        light = _millionths([one.reading.lightness for one in speakers])
        fabrics = list(known)
        by_key = _whole(sorted(range(len(fabrics)), key=fabrics.__getitem__))
        by_light = by_key[np.argsort(light[by_key], kind="stable")]
        rank = np.empty_like(by_light)
        rank[by_light] = np.arange(len(fabrics))
        all_areas = _whole([one.area for one in candidates])
        where = _small_first(candidates, all_areas, rank[fabric_of])
        starts = np.searchsorted(rank[fabric_of][where], np.arange(len(fabrics) + 1))
        piece_gives = {
            key: np.maximum(np.asarray(counts, dtype=np.int64), 0)[where]
            for key, counts in gives.items()
        }
        areas, order = all_areas[where], by_light.tolist()
        return cls(
            tuple([fabrics[at] for at in order]),
            light[by_light],
            tuple([speakers[at].reading for at in order]),
            tuple([speakers[at].family for at in order]),
            {key: _summed(counts, starts) for key, counts in piece_gives.items()},
            _summed(areas, starts),
            tuple([candidates[number].code for number in where.tolist()]),
            piece_gives,
            areas,
            starts,
        )

    def __len__(self) -> int:
        return len(self.keys)

    def pieces(self, fabric: int) -> range:
        """Return the pieces of a fabric, smallest first."""
        return range(int(self.starts[fabric]), int(self.starts[fabric + 1]))

    def codes_of(self, fabric: int) -> tuple[str, ...]:
        """Return the codes of all pieces of a fabric, smallest first."""
        return tuple(self.codes[piece] for piece in self.pieces(fabric))

    def fabrics_by_code(self) -> dict[str, int]:
        """Return the fabric of each code."""
        return {code: fabric for fabric in range(len(self)) for code in self.codes_of(fabric)}

    @cached_property
    def colours(self) -> NDArray[np.float64]:
        """Return a* and b* of each fabric; 0, 0 where its colour is not known."""
        found = [(reading.a or 0.0, reading.b or 0.0) for reading in self.readings]
        return np.array(found, dtype=np.float64).reshape(len(self), 2)

    @cached_property
    def uncertainties(self) -> NDArray[np.float64]:
        """Return the 95 % uncertainty of each fabric's lightness, ± L*."""
        return np.array([reading.uncertainty for reading in self.readings], dtype=np.float64)


def ends_of_cloth(light: Whole) -> tuple[int, int]:
    """Return the darkest and the lightest that cloth may be, beside a shelf of these lightnesses.

    Args:
        light: the lightness of all its fabrics from dark to light, in millionths of L*.
    """
    return min(DARKEST_CLOTH, int(light[0])), max(LIGHTEST_CLOTH, int(light[-1]))


def opening_costs(areas: Whole) -> NDArray[np.float64]:
    """Return what opening pieces of these areas costs: the area to the 1¼, in half doublings.

    One large piece costs more than the same area in scraps, as in the cutting room; pieces whose
    areas lie within half a doubling count as equally large, so that harmony decides between them.
    """
    inches = np.maximum(areas / TICKS_PER_INCH**2, 1.0)
    steps = np.floor(2.0 * np.log2(inches) + 1e-9)
    return np.rint(100.0 * np.exp2(steps * 0.5 * 1.25))


def _speakers(candidates: Sequence[Candidate], fabric_of: Whole, fabrics: int) -> list[Candidate]:
    """Return for each fabric the piece whose reading speaks for it."""
    order = np.argsort(fabric_of, kind="stable").tolist()
    starts = np.cumsum(np.bincount(fabric_of, minlength=fabrics)).tolist()
    return [
        candidates[order[start]]
        if end - start == 1
        else _speaker([candidates[number] for number in order[start:end]])
        for start, end in pairwise((0, *starts))
    ]


def _speaker(pieces: Sequence[Candidate]) -> Candidate:
    """Return the piece whose reading speaks for the fabric: the surest, then the first by code."""
    first = pieces[0].reading
    if all(one.reading is first for one in pieces):  # mostly; no uncertainty need be summed up
        return min(pieces, key=lambda one: one.code)
    return min(pieces, key=lambda one: (one.reading.uncertainty, one.reading.lightness, one.code))


def _small_first(candidates: Sequence[Candidate], areas: Whole, ranks: Whole) -> Whole:
    """Return the places of the pieces by the rank of their fabric, then the smallest first.

    Equally large pieces of one fabric come in the order of their codes.
    """
    order = np.lexsort((areas, ranks))
    alike = (np.diff(areas[order]) == 0) & (np.diff(ranks[order]) == 0)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], alike, [False])).astype(np.int8)))
    for start, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        run = order[start : last + 1].tolist()
        order[start : last + 1] = sorted(run, key=lambda at: candidates[at].code)
    return order


def _whole(numbers: Sequence[int]) -> Whole:
    return np.array(numbers, dtype=np.int64)


def _millionths(lightnesses: Sequence[float]) -> Whole:
    scaled = np.floor(np.array(lightnesses, dtype=np.float64) * PER_LIGHTNESS + 0.5)
    return np.clip(scaled, BLACK, WHITE).astype(np.int64)


def _summed(counts: Whole, starts: Whole) -> Whole:
    """Return the sums over the pieces of each fabric."""
    running = np.concatenate((np.zeros(1, dtype=np.int64), np.cumsum(counts)))
    return np.asarray(running[starts[1:]] - running[starts[:-1]])
