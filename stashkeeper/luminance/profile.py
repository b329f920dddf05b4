"""Colour profiles: a matrix profile is read into a ColourSpace; others are left to littleCMS.

Layout of the file, `curv` and `para` curves: ICC.1:2022 (profile version 4.4), which reads
version 2 profiles as well.
"""

import struct

import numpy as np

from stashkeeper.luminance.colour_space import ColourSpace, Floats, codes, space

D50_TO_D65 = (
    (0.9555766, -0.0230393, 0.0631636),
    (-0.0282895, 1.0099416, 0.0210077),
    (0.0122982, -0.0204830, 1.3299098),
)
"""Bradford adaptation of XYZ from the profile connection space's D50 to D65."""

D65_WHITE = (0.95047, 1.0, 1.08883)


class NotMatrixError(ValueError):
    """The profile is none of a tone curve per channel and a matrix."""


def matrix_space(profile: bytes) -> ColourSpace:
    """Return the colour space of a matrix profile, or of a grey one with a single curve.

    Raises:
        NotMatrixError: when it is of another kind, or damaged.
    """
    try:
        tags = _tags(profile)
        if tags.keys() & {b"A2B0", b"A2B1"}:
            raise NotMatrixError("a profile with tables counts by its tables")
        return _colour(tags) if b"rXYZ" in tags else _grey(tags)
    except (KeyError, struct.error, IndexError, ArithmeticError) as damage:
        raise NotMatrixError(str(damage)) from damage


def _colour(tags: dict[bytes, bytes]) -> ColourSpace:
    """Return the space of three colorants and three curves."""
    colorants = np.column_stack([_xyz(tags[name]) for name in (b"rXYZ", b"gXYZ", b"bXYZ")])
    curves = np.stack([_curve(tags[name]) for name in (b"rTRC", b"gTRC", b"bTRC")])
    return space("matrix profile", curves, np.array(D50_TO_D65) @ colorants)


def _grey(tags: dict[bytes, bytes]) -> ColourSpace:
    """Return the space of one curve: equal channels make a grey of D65's colour."""
    return space("grey profile", _curve(tags[b"kTRC"]), np.outer(D65_WHITE, np.full(3, 1 / 3)))


def _tags(profile: bytes) -> dict[bytes, bytes]:
    """Return the profile's tags by their four-letter names."""
    if profile[36:40] != b"acsp":
        raise NotMatrixError("the mark of a profile is missing")
    (count,) = struct.unpack_from(">I", profile, 128)
    tags = {}
    for place in range(132, 132 + 12 * min(count, 200), 12):
        name, start, size = struct.unpack_from(">4sII", profile, place)
        tags[name] = profile[start : start + size]
    return tags


def _fixed(data: bytes, start: int, count: int) -> list[float]:
    """Return `count` numbers of the kind s15Fixed16."""
    return [number / 65536 for number in struct.unpack_from(f">{count}i", data, start)]


def _xyz(data: bytes) -> list[float]:
    """Return the one colour of an XYZ tag."""
    return _fixed(data, 8, 3)


def _curve(data: bytes) -> Floats:
    """Return the linear light, 0 to 1, of the 256 codes by a tone curve tag."""
    if data[:4] == b"para":
        light = _parametric(data)
    elif data[:4] == b"curv":
        light = _sampled(data)
    else:
        raise NotMatrixError("a tone curve of an unknown kind")
    if not np.all(np.isfinite(light)):
        raise NotMatrixError("a tone curve without end")
    return np.clip(light, 0.0, 1.0)


def _sampled(data: bytes) -> Floats:
    """Return the light of a `curv` tag: none is a straight line, one a gamma, more a table."""
    (count,) = struct.unpack_from(">I", data, 8)
    if count == 0:
        return codes()
    numbers = struct.unpack_from(f">{count}H", data, 12)
    if count == 1:
        return np.asarray(codes() ** (numbers[0] / 256))
    return np.interp(codes(), np.linspace(0, 1, count), np.array(numbers) / 65535)


def _parametric(data: bytes) -> Floats:
    """Return the light of a `para` tag, by its five kinds of function (ICC.1:2022, table 68)."""
    (kind,) = struct.unpack_from(">H", data, 8)
    counts = (1, 3, 4, 5, 7)
    numbers = _fixed(data, 12, counts[kind])
    g, a, b, c, d, e, f = (numbers + [0.0] * 7)[:7]
    x = codes()
    if kind == 0:
        return np.asarray(x**g)
    bend = -b / a if kind in {1, 2} else d
    power = np.maximum(a * x + b, 0.0) ** g
    if kind in {1, 2}:
        return np.where(x >= bend, power + c, c)
    return np.where(x >= bend, power + e, c * x + f)
