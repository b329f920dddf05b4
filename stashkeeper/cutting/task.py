"""What the solver is asked and what it answers, in whole grid units: plain values, no solver."""

from dataclasses import dataclass
from enum import StrEnum


class Objective(StrEnum):
    """What the solver is to find."""

    MOST_ON_ONE = "Knapsack"
    """One piece: the cuts worth most that fit. The only one that may leave cuts out."""
    LEAST_COST = "VariableSizedBinPacking"
    """All cuts, from freely chosen pieces of least total cost."""
    IN_ORDER = "BinPackingWithLeftovers"
    """All cuts, opening the pieces in the given order; as large a rest as possible on the last."""
    NARROWEST = "OpenDimensionX"
    """All cuts on one piece, in as little of its width as possible."""
    SHORTEST = "OpenDimensionY"
    """All cuts on one piece, in as little of its length as possible."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A piece to cut from, in grid units; `copies` like it; what opening one costs."""

    width: int
    length: int
    copies: int = 1
    cost: float | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A cut in grid units, so many of it; what one is worth (its area where None)."""

    width: int
    length: int
    copies: int
    fixed: bool
    profit: float | None = None


@dataclass(frozen=True, slots=True)
class Task:
    """One question to the solver.

    Attributes:
        objective: what to find.
        stock, items: the pieces and the cuts.
        stages: how many times the direction may change; 0 for as often as wanted.
        first: which way the first cuts run: `Vertical`, `Horizontal` or `Any`.
        seconds: how long it may look.
        effort: how many unfinished layouts it keeps in mind at once; the answer is then the same
            every time, and comes when it comes. 0: as good an answer as the seconds allow.
    """

    objective: Objective
    stock: tuple[Stock, ...]
    items: tuple[Item, ...]
    stages: int = 2
    first: str = "Any"
    seconds: float = 1.0
    effort: int = 0


@dataclass(frozen=True, slots=True)
class Node:
    """One rectangle of a layout: its parent's number (−1 for none), its edges, its item or −1."""

    parent: int
    left: int
    right: int
    near: int
    far: int
    item: int


@dataclass(frozen=True, slots=True)
class Layout:
    """How one piece of the stock is cut, so many times."""

    stock: int
    copies: int
    nodes: tuple[Node, ...]


type Answer = tuple[Layout, ...]
"""Every piece that is cut, and how."""
