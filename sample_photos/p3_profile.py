"""A Display P3 colour profile built from public numbers, so that no maker's file is copied.

Layout: ICC.1:2022 (profile version 4.3), matrix/TRC display profile. Primaries: SMPTE EG 432-1
(0.680, 0.320; 0.265, 0.690; 0.150, 0.060) with D65 white; curve: IEC 61966-2-1 as a parametric
curve of type 3. Colorants are brought to D50 by the Bradford transform, as the format asks.
"""

import struct

import numpy as np
from numpy.typing import NDArray

_PRIMARIES = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
_D65 = (0.3127, 0.3290)
_D50 = (0.9642, 1.0, 0.8249)
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def display_p3() -> bytes:
    """Return the bytes of the profile; dedicated to the public domain (CC0 1.0)."""
    adapt = _to_d50()
    colorants = adapt @ _rgb_to_xyz()
    curve = (
        b"para"
        + bytes(4)
        + struct.pack(">HH", 3, 0)
        + b"".join(_fixed(v) for v in (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045))
    )
    tags = {
        b"desc": _text("Display P3 (sample photos)"),
        b"cprt": _text("CC0 1.0"),
        b"wtpt": _xyz(_D50),
        b"chad": b"sf32" + bytes(4) + b"".join(_fixed(v) for v in adapt.flat),
        b"rXYZ": _xyz(colorants[:, 0]),
        b"gXYZ": _xyz(colorants[:, 1]),
        b"bXYZ": _xyz(colorants[:, 2]),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    return _assemble(tags)


def _assemble(tags: dict[bytes, bytes]) -> bytes:
    offset = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags.items():
        table += name + struct.pack(">II", offset + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    size = offset + len(body)
    head = struct.pack(">I4sI4s4s4s", size, bytes(4), 0x04300000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2025, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    head += b"".join(_fixed(v) for v in _D50)
    return head + bytes(128 - len(head)) + table + body


def _rgb_to_xyz() -> NDArray[np.float64]:
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in _PRIMARIES]).T
    scaled: NDArray[np.float64] = columns * np.linalg.solve(columns, _white())
    return scaled


def _white() -> NDArray[np.float64]:
    x, y = _D65
    return np.array([x / y, 1.0, (1 - x - y) / y])


def _to_d50() -> NDArray[np.float64]:
    scale = (_BRADFORD @ np.array(_D50)) / (_BRADFORD @ _white())
    adapt: NDArray[np.float64] = np.linalg.inv(_BRADFORD) @ np.diag(scale) @ _BRADFORD
    return adapt


def _fixed(value: float) -> bytes:
    return struct.pack(">i", round(float(value) * 65536))


def _xyz(values: NDArray[np.float64] | tuple[float, float, float]) -> bytes:
    return b"XYZ " + bytes(4) + b"".join(_fixed(v) for v in values)


def _text(words: str) -> bytes:
    coded = words.encode("utf-16-be")
    record = struct.pack(">II2s2sII", 1, 12, b"en", b"GB", len(coded), 28)
    return b"mluc" + bytes(4) + record + coded
