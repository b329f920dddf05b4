"""The typeface, cut down to the signs a page needs first, so that it comes in a moment.

A cut holds the signs of European languages, the fractions and marks of the trade; what is left of
the typeface is fetched only by a page that needs it (`unicode-range` in base.css).
"""

import io
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import Final

import font_source_sans_pro
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

CORE: Final = frozenset(
    (
        *range(0x20, 0x7F),
        *range(0xA0, 0x180),
        *range(0x2010, 0x2027),
        *(0x2032, 0x2033, 0x2044, 0x20AC, 0x2212, 0x2264, 0x2265),
        *range(0x2150, 0x215F),
        *range(0x2190, 0x2194),
    )
)
"""The signs of the first cut; base.css names the same."""

FEATURES: Final = ("kern", "mark", "mkmk", "ccmp", "locl", "tnum", "liga", "frac")
"""What the typeface can do that pages use."""

SUBSETS: Final = tuple(
    f"{weight}-{part}" for weight in ("regular", "semibold") for part in ("core", "rest")
)
"""The cuts that are served."""

_one_at_a_time = Lock()


def font_file(name: str) -> bytes:
    """Return a cut of the typeface as WOFF; made once, on being asked for.

    Args:
        name: one of `SUBSETS`.
    """
    with _one_at_a_time:
        return _cut(name)


@lru_cache(maxsize=len(SUBSETS))
def _cut(name: str) -> bytes:
    weight, _, part = name.partition("-")
    folder = Path(font_source_sans_pro.__file__).parent / "files"
    font = TTFont(folder / f"SourceSansPro-{weight.capitalize()}.ttf")
    signs = set(font.getBestCmap())
    options = Options(layout_features=list(FEATURES), hinting=False)
    cutter = Subsetter(options)
    cutter.populate(unicodes=signs & CORE if part == "core" else signs - CORE)
    cutter.subset(font)
    font.flavor = "woff"
    packed = io.BytesIO()
    font.save(packed)
    return packed.getvalue()
