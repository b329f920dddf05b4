"""How quilting cotton is woven: plain weave, 60 threads to the inch both ways.

Printed cloth gets the weave as a light relief over its print. Yarn-dyed cloth (gingham, plaid,
stripes woven in) is built thread by thread: where warp lies on top its colour shows, where weft
does, the other; so a gingham's half-tone is real, a check of single threads.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sample_photos.canvas import SIDE
from sample_photos.tints import Field

THREADS = 480
"""Threads across one repeat: 60 an inch."""

_FINE = 8
"""Pixels across a thread while weaving; three times finer than the canvas."""


def relief(rng: np.random.Generator, depth: float = 0.10, slub: float = 0.035) -> Field:
    """Return the relief of plain weave as a factor on reflectance, mean exactly 1, one repeat.

    Args:
        rng: the source of chance, for threads thicker and thinner.
        depth: how dark the gaps between threads are, 0 to 1.
        slub: how much threads differ from one another.
    """
    threads = _round_threads(depth)
    warp = _uneven(rng, slub)
    weft = _uneven(rng, slub).T
    over = _warp_on_top()
    fine = threads * np.where(over, warp, weft)
    return _to_canvas(fine / fine.mean())


def yarn_dyed(
    warp: Sequence[tuple[Field, int]], weft: Sequence[tuple[Field, int]], rng: np.random.Generator
) -> Field:
    """Return one repeat of cloth woven from coloured threads.

    Args:
        warp: colours and how many threads of each, left to right, repeated across the cloth.
        weft: the same, top to bottom.
        rng: the source of chance for the threads' unevenness.
    """
    across, down = _sequence(warp), _sequence(weft)
    over = _warp_on_top()
    relief_ = _round_threads(0.10)
    relief_ *= np.where(over, _uneven(rng, 0.035), _uneven(rng, 0.035).T)
    relief_ /= relief_.mean()
    channels = []
    for channel in range(3):
        columns = np.repeat(across[:, channel], _FINE)[None, :]
        rows = np.repeat(down[:, channel], _FINE)[:, None]
        channels.append(_to_canvas(np.where(over, columns, rows) * relief_))
    return np.stack(channels, axis=2)


def _sequence(bands: Sequence[tuple[Field, int]]) -> Field:
    colours = np.concatenate([np.repeat(c[None, :], count, axis=0) for c, count in bands])
    if THREADS % len(colours):
        raise ValueError(f"A sett of {len(colours)} threads does not divide {THREADS}.")
    return np.tile(colours, (THREADS // len(colours), 1)).astype(np.float32)


def _warp_on_top() -> NDArray[np.bool_]:
    thread = np.arange(THREADS * _FINE) // _FINE
    on_top: NDArray[np.bool_] = (thread[:, None] + thread[None, :]) % 2 == 0
    return on_top


def _round_threads(depth: float) -> Field:
    """Shade each crossing as a small cushion: bright on top, dark where it dives."""
    phase = (np.arange(THREADS * _FINE) % _FINE + 0.5) / _FINE * 2 - 1
    rounded = 1 - phase.astype(np.float32) ** 2
    return (1 - depth * (1 - rounded[:, None] * rounded[None, :])).astype(np.float32)


def _uneven(rng: np.random.Generator, slub: float) -> Field:
    """Return a factor for each vertical thread, drifting along it as spun yarn does."""
    steps = 40
    thickness = rng.standard_normal((1, THREADS)) * 0.6
    drift = rng.standard_normal((steps, THREADS)) * 0.8
    softened = (drift + np.roll(drift, 1, axis=0) + np.roll(drift, -1, axis=0)) / 3**0.5
    grid = 1 + slub * (thickness + softened)
    rows = np.repeat(grid, THREADS * _FINE // steps, axis=0)
    return np.repeat(rows, _FINE, axis=1).astype(np.float32)


def _to_canvas(fine: Field) -> Field:
    factor = THREADS * _FINE // SIDE
    blocks = fine.reshape(SIDE, factor, SIDE, factor)
    return blocks.mean(axis=(1, 3), dtype=np.float32)
