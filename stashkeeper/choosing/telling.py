"""Telling: a selection of numbers as a choice of fabrics."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from stashkeeper.choosing.choice import Choice, Chosen
from stashkeeper.choosing.pieces import pieces_to_take
from stashkeeper.choosing.reasons import why
from stashkeeper.choosing.score import Favour
from stashkeeper.choosing.shelf import PER_LIGHTNESS, Shelf
from stashkeeper.choosing.solving import Solved, Solver
from stashkeeper.choosing.spans import aimed_groups, closest, edges, value_groups
from stashkeeper.luminance.contrast import Contrast, Entry, judge


def choice_of(solver: Solver, solved: Solved, favour: Favour) -> Choice:
    """Return a selection as a choice."""
    shelf = solver.shelf
    contrast = tuple(_contrasts(shelf, solved))
    gaps = [one.gap for one in contrast if one.gap is not None]
    inside = _inside(shelf, solved)
    pair = closest(solved.picked, solved.way.asks, shelf.light)
    proven = solved.proven if pair is None else _apart(shelf, pair) >= solved.bound
    return Choice(
        favour,
        tuple(_chosen(solver, solved)),
        min(gaps, default=None),
        inside,
        contrast,
        None if pair is None else solved.bound / PER_LIGHTNESS,
        proven,
        solved.cuts_proven,
        solved.score,
    )


def _apart(shelf: Shelf, pair: tuple[int, int]) -> int:
    return int(shelf.light[pair[1]]) - int(shelf.light[pair[0]])


def _inside(shelf: Shelf, solved: Solved) -> float | None:
    if all(ask.need.set_number is None for ask in solved.way.asks):
        return None
    gaps = [
        shelf.readings[lighter].lightness - shelf.readings[darker].lightness
        for groups in aimed_groups(solved.picked, solved.way.asks)
        for darker, lighter in edges(groups)
    ]
    return min(gaps, default=None)


def _contrasts(shelf: Shelf, solved: Solved) -> Iterator[Contrast]:
    groups = value_groups(solved.picked, solved.way.asks)
    for (dark, darker), (light, lighter) in reversed([*pairwise(groups.items())]):
        yield judge(_entries(shelf, lighter), _entries(shelf, darker), (light, dark))


def _entries(shelf: Shelf, fabrics: Sequence[int]) -> list[Entry]:
    return [
        Entry(shelf.codes_of(fabric)[0], shelf.readings[fabric], shelf.keys[fabric])
        for fabric in fabrics
    ]


def _chosen(solver: Solver, solved: Solved) -> Iterator[Chosen]:
    shelf, insisted = solver.shelf, solver.settled.codes
    pair = closest(solved.picked, solved.way.asks, shelf.light) or ()
    for ask in solved.way.asks:
        fabrics = sorted(solved.picked[ask.number], reverse=True)
        taken = pieces_to_take(shelf, ask, fabrics, insisted)
        need = solver.needs[ask.number]
        for fabric in fabrics:
            pieces = taken[fabric]
            yield Chosen(
                need.name,
                need.value,
                need.set_number,
                shelf.keys[fabric],
                tuple(shelf.codes[piece] for piece in pieces),
                shelf.readings[fabric],
                shelf.families[fabric],
                {
                    cut.key: sum(int(shelf.piece_gives[cut.key][piece]) for piece in pieces)
                    for cut in need.cuts
                },
                fabric in ask.kept,
                why(shelf, ask, fabric, fabric in pair),
            )
