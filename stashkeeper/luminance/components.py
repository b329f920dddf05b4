"""Connected parts of a mask."""

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]


def largest_component(mask: Mask) -> Mask:
    """Return the largest part of a mask that hangs together along sides of its cells.

    Runs of each row are joined with those they touch in the row above (Rosenfeld and Pfaltz, 1966).
    """
    runs: list[tuple[int, int, int]] = []
    parents: list[int] = []
    above: list[int] = []
    for row, cells in enumerate(mask):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], cells.view(np.int8), [0]])))
        here: list[int] = []
        for start, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
            number = len(runs)
            runs.append((row, start, end))
            parents.append(number)
            for other in above:
                if runs[other][1] < end and start < runs[other][2]:
                    parents[_root(parents, other)] = _root(parents, number)
            here.append(number)
        above = here
    return _largest(mask, runs, [_root(parents, number) for number in range(len(runs))])


def _root(parents: list[int], number: int) -> int:
    while parents[number] != number:
        parents[number] = parents[parents[number]]
        number = parents[number]
    return number


def _largest(mask: Mask, runs: list[tuple[int, int, int]], roots: list[int]) -> Mask:
    areas: dict[int, int] = {}
    for (_, start, end), root in zip(runs, roots, strict=True):
        areas[root] = areas.get(root, 0) + end - start
    result = np.zeros_like(mask)
    best = max(areas, key=lambda root: areas[root], default=-1)
    for (row, start, end), root in zip(runs, roots, strict=True):
        if root == best:
            result[row, start:end] = True
    return result
