"""How a size is known, and which edges of a piece are selvedge."""

from enum import StrEnum


class Basis(StrEnum):
    """How a piece's size is known; only a measured one is certain."""

    MEASURED = "measured"
    """Its owner laid a ruler on it."""
    NOMINAL = "nominal"
    """Bought under a trade name or off the bolt, and never unfolded."""
    ABOUT = "about"
    """Guessed by eye."""


class Edge(StrEnum):
    """The two edges a selvedge can run along; width is measured from one to the other."""

    LEFT = "left"
    RIGHT = "right"
