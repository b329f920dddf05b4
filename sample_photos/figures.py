"""Geometric, striped, dotted and pictured prints of the sample shelf."""

import math

import numpy as np

from sample_photos.canvas import REPEAT_INCHES, Canvas
from sample_photos.shapes import (
    Point,
    arc,
    box,
    circle,
    drop,
    ellipse,
    line,
    place,
    polygon,
    scatter,
    smooth,
    stroke,
)
from sample_photos.tints import Field, lch


def dots(ground: Field, ink: Field, columns: int, radius: float) -> Field:
    """Return dots in a half-drop repeat: `columns` squared of them, `radius` in inches."""
    canvas = Canvas(ground)
    for at in drop(columns, columns):
        canvas.fill(circle(at, radius), ink)
    return canvas.pixels


def pinstripe(ground: Field, ink: Field, count: int, width: float) -> Field:
    """Return `count` upright lines across the repeat, `width` inches each."""
    canvas = Canvas(ground)
    step = REPEAT_INCHES / count
    for i in range(count):
        middle = step * (i + 0.5)
        canvas.fill(box(middle - width / 2, -0.1, middle + width / 2, 8.1), ink)
    return canvas.pixels


def scallops(ground: Field, inks: tuple[Field, ...], columns: int = 8) -> Field:
    """Return overlapping scallops, ring in ring, like a low sea."""
    canvas = Canvas(ground)
    wide = REPEAT_INCHES / columns
    rows = columns * 4
    for row in range(-2, rows + 3):
        for column in range(-1, columns + 1):
            x = wide * (column + 0.5 * (row % 2) + 0.5)
            y = wide / 4 * row
            for i, share in enumerate((0.98, 0.80, 0.62, 0.44, 0.26)):
                colour = ground if i % 2 == 0 else inks[(i // 2) % len(inks)]
                canvas.fill(circle((x, y), wide / 2 * share), colour, wrap=False)
    return canvas.pixels


def kiln_tiles(ground: Field, tile: Field, line_: Field, heart: Field) -> Field:
    """Return four-lobed tiles on point with a small star in each."""
    canvas = Canvas(ground)
    for x, y in drop(8, 8):
        for turn in (0, 90, 180, 270):
            a = math.radians(turn)
            spot = (x + 0.21 * math.cos(a), y + 0.21 * math.sin(a))
            canvas.fill(circle(spot, 0.235), line_)
        for turn in (0, 90, 180, 270):
            a = math.radians(turn)
            spot = (x + 0.21 * math.cos(a), y + 0.21 * math.sin(a))
            canvas.fill(circle(spot, 0.195), tile)
        for turn in (0, 45):
            canvas.fill(polygon(4, (x, y), 0.17, turn), heart)
        canvas.fill(circle((x, y), 0.055), tile)
        for side in (-0.5, 0.5):
            canvas.fill(polygon(4, (x + side, y), 0.09), line_)
    return canvas.pixels


def spinnakers(shades: tuple[Field, ...], paper: Field) -> Field:
    """Return rows of triangles, bright against paper, like sails going about."""
    canvas = Canvas(paper)
    step = 1.0
    for row in range(8):
        for column in range(8):
            x, y = column * step, row * step
            colour = shades[(column * 2 + row * 3) % len(shades)]
            flip = (row + column) % 2
            far = x + step if flip else x
            canvas.fill(np.array([[x, y + step], [x + step, y + step], [far, y]]), colour)
    return canvas.pixels


def brush_marks(rng: np.random.Generator, paper: Field, ink: Field) -> Field:
    """Return short, busy brush marks that follow an unseen current."""
    canvas = Canvas(paper)
    for x, y in scatter(rng, 620, 10):
        current = 1.2 * math.sin(x * math.pi / 4) + 1.1 * math.cos(y * math.pi / 4)
        heading = current + rng.normal(0, 0.25)
        reach = rng.uniform(0.12, 0.24)
        side = rng.uniform(-0.05, 0.05)
        dx, dy = math.cos(heading) * reach, math.sin(heading) * reach
        path = smooth(
            [(x - dx, y - dy), (x - dy * side * 4, y + dx * side * 4), (x + dx, y + dy)],
            closed=False,
        )
        canvas.fill(stroke(path, rng.uniform(0.05, 0.13), rng.uniform(0.2, 0.8)), ink)
        canvas.fill(circle((x - dx, y - dy), rng.uniform(0.026, 0.055)), ink)
    return canvas.pixels


def herring(ground: Field, back: Field, belly: Field, eye: Field) -> Field:
    """Return a shoal of small fish, every other row swimming home."""
    canvas = Canvas(ground)
    for i, (x, y) in enumerate(drop(8, 10)):
        turn = 0.0 if (i // 10) % 2 else 180.0
        _fish(canvas, (x, y), turn + (-6 if i % 3 else 7), (back, belly, eye))
    return canvas.pixels


def _fish(canvas: Canvas, at: Point, turn: float, inks: tuple[Field, Field, Field]) -> None:
    back, belly, eye = inks
    tail = np.array([[-0.30, 0.0], [-0.46, -0.11], [-0.41, 0.0], [-0.46, 0.11]])
    canvas.fill(place(tail, at, turn), back)
    canvas.fill(place(ellipse((0, 0), 0.34, 0.115), at, turn), belly)
    t = np.linspace(math.pi, 2 * math.pi, 30)
    upward = 1 if math.cos(math.radians(turn)) > 0 else -1
    ridge = np.column_stack([0.34 * np.cos(t), 0.115 * upward * np.sin(t)])
    canvas.fill(place(ridge, at, turn), back)
    for shift in (-0.14, -0.05, 0.04):
        canvas.fill(place(arc((shift, 0.0), 0.07, -55, 55, 0.016), at, turn), back)
    canvas.fill(place(circle((0.245, -0.01), 0.022), at, turn), eye)


def regatta(rng: np.random.Generator, sky: Field, sail: Field, jib: Field, hull: Field) -> Field:
    """Return small sailing boats on combed water."""
    canvas = Canvas(sky)
    water = lch(66, 18, 240)
    for at in scatter(rng, 70):
        x, y = at
        crests = ((-0.2, 0.0), (-0.1, -0.05), (0.0, 0.0), (0.1, -0.05), (0.2, 0.0))
        wave = smooth([(x + dx, y + dy) for dx, dy in crests], closed=False)
        canvas.fill(stroke(wave, 0.022), water)
    for i, (x, y) in enumerate(drop(6, 6)):
        cloth = (sail, jib) if i % 2 else (jib, sail)
        _boat(canvas, (x + rng.uniform(-0.08, 0.08), y), rng.uniform(-7, 7), (*cloth, hull, sky))
    return canvas.pixels


def _boat(canvas: Canvas, at: Point, lean: float, inks: tuple[Field, ...]) -> None:
    main, fore, hull, halo = inks
    canvas.fill(ellipse((at[0], at[1] + 0.03), 0.46, 0.44), halo)
    sail = smooth([(0.025, -0.40), (0.17, -0.12), (0.24, 0.10), (0.12, 0.115), (0.025, 0.11)])
    front = smooth([(-0.025, -0.33), (-0.13, -0.08), (-0.22, 0.10), (-0.12, 0.105), (-0.025, 0.10)])
    body = smooth([(-0.30, 0.16), (0.0, 0.18), (0.32, 0.15), (0.22, 0.29), (-0.20, 0.30)])
    canvas.fill(place(sail, at, lean), main)
    canvas.fill(place(front, at, lean), fore)
    canvas.fill(place(line((0, -0.44), (0, 0.2), 0.022), at, lean), hull)
    canvas.fill(place(body, at, lean), hull)


def tide_lines(rng: np.random.Generator, ground: Field, ink: Field) -> Field:
    """Return fine wavering lines, each a little out of step with the last."""
    canvas = Canvas(ground)
    t = np.linspace(-0.2, REPEAT_INCHES + 0.2, 161)
    phases = rng.uniform(0, 2 * math.pi, 3)
    for i in range(32):
        y = REPEAT_INCHES / 32 * (i + 0.5)
        swell = 0.10 * np.sin(t * math.pi / 2 + phases[0] + math.sin(i * math.pi / 8) * 1.3)
        chop = 0.035 * np.sin(t * math.pi * 1.25 + phases[1] + i * math.pi / 4)
        canvas.fill(stroke(np.column_stack([t, y + swell + chop]), 0.05 if i % 4 else 0.085), ink)
    return canvas.pixels
