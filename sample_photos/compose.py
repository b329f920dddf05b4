"""Lay the fabrics of one photo out on the table, and say where each may be measured."""

from dataclasses import dataclass

import numpy as np

from sample_photos.scene import Edge, Lay, lay, table
from sample_photos.shelf import Shot, Style
from sample_photos.tints import Field, field

_CLOSE = 128.0
"""Pixels to the inch of a fabric photographed alone, 10 in across the frame."""


_LINED_UP = {(2, 5): 1 / 20, (2, 3): 1 / 17.4, (1, 5): 1 / 14.8}
"""The part of a line-up's width that is an inch, by its rows and columns."""


@dataclass(frozen=True)
class Placed:
    """A fabric in a photo, and the part of the upright photo that is safely its own.

    Attributes:
        crop: left, top, right and bottom as fractions of the upright photo.
    """

    name: str
    crop: tuple[float, float, float, float]


def compose(shot: Shot, rng: np.random.Generator) -> tuple[Field, list[Placed]]:
    """Return the lit scene of a photo in linear light, and what lies where."""
    width, height = shot.size
    several = len(shot.names) > 1
    pieces = _line_up(shot, rng) if several else [_alone(shot, rng)]
    scale = pieces[0].scale
    scene = table(rng, width, height, scale, "felt" if several else "oak")
    for piece in pieces:
        scene = lay(scene, piece, rng)
    scene *= _window_light(rng, width, height)[:, :, None]
    margin = 0.10 if several else 0.06
    return scene, [Placed(p.name, _crop(p, width, height, margin)) for p in pieces]


def _line_up(shot: Shot, rng: np.random.Generator) -> list[Lay]:
    width, height = shot.size
    rows = -(-len(shot.names) // shot.columns)
    wide, high = width * 0.955 / shot.columns, height * 0.93 / rows
    pieces = []
    for i, name in enumerate(shot.names):
        row, column = divmod(i, shot.columns)
        left = width * 0.0225 + wide * column + rng.uniform(-4, 4)
        top = height * 0.035 + high * row + rng.uniform(-5, 5)
        edges = (Edge.FOLD, Edge.CUT, Edge.FOLD, Edge.PINKED if rng.random() < 0.4 else Edge.FOLD)
        pieces.append(
            Lay(
                name,
                left,
                top,
                wide * 0.955,
                high * 0.945,
                _LINED_UP[rows, shot.columns] * width,
                rng.uniform(-0.9, 0.9),
                edges,
                layers=2,
                rumple=0.75,
            )
        )
    return pieces


def _alone(shot: Shot, rng: np.random.Generator) -> Lay:
    width, height = shot.size
    name = shot.names[0]
    turn = rng.uniform(-3, 3)
    if shot.style is Style.FULL:
        return Lay(
            name,
            -width * 0.15,
            -height * 0.15,
            width * 1.3,
            height * 1.3,
            _CLOSE * width / 1280 if width > height else _CLOSE,
            turn,
            rumple=1.3,
        )
    if shot.style is Style.PINKED:
        edges = (Edge.CUT, Edge.CUT, Edge.PINKED, Edge.CUT)
        return Lay(
            name, -width * 0.2, -height * 0.15, width * 1.09, height * 1.3, _CLOSE, turn, edges
        )
    edges = (Edge.FOLD, Edge.CUT, Edge.CUT, Edge.FOLD)
    return Lay(
        name,
        width * 0.07,
        -height * 0.12,
        width * 1.1,
        height * 1.04,
        _CLOSE,
        turn * 0.6,
        edges,
        layers=3,
        rumple=0.8,
    )


def _crop(piece: Lay, width: int, height: int, margin: float) -> tuple[float, float, float, float]:
    """Return the part of the frame that lies inside a piece, less a margin of its size."""
    left, top = max(piece.left, 0), max(piece.top, 0)
    right = min(piece.left + piece.width, width)
    bottom = min(piece.top + piece.height, height)
    across, down = (right - left) * margin, (bottom - top) * margin
    return (
        round((left + across) / width, 3),
        round((top + down) / height, 3),
        round((right - across) / width, 3),
        round((bottom - down) / height, 3),
    )


def _window_light(rng: np.random.Generator, width: int, height: int) -> Field:
    """Return light that fades gently away from the window, mean 1, about ±7 % at the corners."""
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    slope = rng.uniform(0.03, 0.08, 2)
    return field(1 - slope[0] * x - slope[1] * y)
