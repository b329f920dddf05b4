"""The place of a card made finer: the pattern of its codes, as printed, fitted to the photo."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from PIL import Image

from stashkeeper.luminance.card_layout import (
    CODE_MODULES,
    CODE_SIDE,
    CODES,
    HEIGHT,
    WIDTH,
    code_modules,
)
from stashkeeper.luminance.colour_space import Floats
from stashkeeper.luminance.perspective import Perspective, perspective_through

PER_MODULE: Final = 2
"""Points across a module that are compared."""
ROUNDS: Final = 5
SETTLED: Final = 0.03
"""Pixels: when no corner moves further, the place is found."""
NUDGE: Final = 0.25
"""Pixels that a corner is moved to see what changes."""
FURTHEST: Final = 4.0
"""Pixels that the codes may be moved in all; further off, what was found stands."""

CARD: Final = np.array([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)], dtype=np.float64)


def refined(grey: Image.Image, place: Perspective, codes: Sequence[tuple[str, str]]) -> Perspective:
    """Return the place of a card, made finer by the pattern of its codes.

    Least squares between photo and pattern, the brightness and contrast of every code being its
    own, over the eight numbers of a perspective (Lucas and Kanade, 1981; Gauss and Newton's way).

    Args:
        grey: the photo in grey codes.
        place: from millimetres on the card to pixels, right to a few pixels.
        codes: corner and card of each code that was found.
    """
    points = np.concatenate([_points(corner) for corner, _ in codes])
    patterns = [_pattern(corner, card_id) for corner, card_id in codes]
    values, origin = _part(grey, place)
    start = corners = place(CARD)
    for _ in range(ROUNDS):
        seen, changes = _seen_and_changes(values, points, corners, origin)
        if seen is None or changes is None:
            return place
        step = _step(seen, changes, patterns)
        corners = corners + step.reshape(4, 2)
        if np.abs(step).max() < SETTLED:
            break
    far = np.linalg.norm(corners - start, axis=1).max()
    width = float(np.linalg.norm(start[1] - start[0]))
    return perspective_through(CARD, corners) if far <= FURTHEST + 0.01 * width else place


def _seen_and_changes(
    values: Floats, points: Floats, corners: Floats, origin: Floats
) -> tuple[Floats | None, Floats | None]:
    """Return the photo at the points, and how it changes as each corner moves across and down."""
    at = perspective_through(CARD, corners)(points)
    samples = [
        _sampled(values, at - origin + shift)
        for shift in ((0.0, 0.0), (0.5, 0.0), (-0.5, 0.0), (0.0, 0.5), (0.0, -0.5))
    ]
    whole = [sample for sample in samples if sample is not None]
    if len(whole) < 5:
        return None, None
    across, down = whole[1] - whole[2], whole[3] - whole[4]
    changes = np.empty((len(points), 8))
    for index in range(8):
        moved = corners.copy()
        moved.flat[index] += NUDGE
        shift = (perspective_through(CARD, moved)(points) - at) / NUDGE
        changes[:, index] = across * shift[:, 0] + down * shift[:, 1]
    return whole[0], changes


def _step(seen: Floats, changes: Floats, patterns: Sequence[Floats]) -> Floats:
    """Return how far to move the corners so that the photo comes nearest to the patterns."""
    count = len(patterns[0])
    square, pull = np.zeros((8, 8)), np.zeros(8)
    for number, pattern in enumerate(patterns):
        part = slice(number * count, (number + 1) * count)
        design = np.column_stack([pattern, np.ones(count)])
        within = np.linalg.pinv(design)
        fit = within @ seen[part]
        contrast = max(abs(float(fit[0])), 1.0)
        away = (design @ fit - seen[part]) / contrast
        turns = (changes[part] - design @ (within @ changes[part])) / contrast
        square += turns.T @ turns
        pull += turns.T @ away
    return np.asarray(np.linalg.lstsq(square, pull, rcond=1e-9)[0])


def _points(corner: str) -> Floats:
    """Return the points of a code that are compared, in millimetres, row by row."""
    count = CODE_MODULES * PER_MODULE
    ramp = (np.arange(count) + 0.5) / count * CODE_SIDE
    x, y = np.meshgrid(ramp + CODES[corner][0], ramp + CODES[corner][1])
    return np.column_stack([x.ravel(), y.ravel()])


def _pattern(corner: str, card_id: str) -> Floats:
    """Return how light a code is at its points, 0 black to 1 white, softened as a lens does."""
    dark = np.array(code_modules(corner, card_id), dtype=np.float64)
    fine = 1.0 - np.repeat(np.repeat(dark, PER_MODULE, axis=0), PER_MODULE, axis=1)
    padded = np.pad(fine, 1, constant_values=1.0)
    for axis in (0, 1):
        padded = (np.roll(padded, 1, axis) + 2 * padded + np.roll(padded, -1, axis)) / 4
    return np.asarray(padded[1:-1, 1:-1].ravel())


def _part(grey: Image.Image, place: Perspective) -> tuple[Floats, Floats]:
    """Return the values of the photo around the card, and where they begin; pixel centres at ½.

    Where a module is many pixels wide, a smaller copy serves, and is softer.
    """
    corners = place(CARD)
    left, top = np.floor(corners.min(axis=0) - 8).astype(int)
    right, bottom = np.ceil(corners.max(axis=0) + 8).astype(int)
    part = grey.crop((int(left), int(top), int(right), int(bottom)))
    return np.asarray(part, dtype=np.float32), np.array([left, top], dtype=np.float64)


def _sampled(values: Floats, points: Floats) -> Floats | None:
    """Return the values at points, between pixels; None where points leave the part."""
    x, y = (points - 0.5).T
    column, row = np.floor(x).astype(np.intp), np.floor(y).astype(np.intp)
    height, width = values.shape
    if column.min() < 0 or row.min() < 0 or column.max() > width - 2 or row.max() > height - 2:
        return None
    right, down = x - column, y - row
    upper = values[row, column] * (1 - right) + values[row, column + 1] * right
    lower = values[row + 1, column] * (1 - right) + values[row + 1, column + 1] * right
    return np.asarray(upper * (1 - down) + lower * down, dtype=np.float64)
