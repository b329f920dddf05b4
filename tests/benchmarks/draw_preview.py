"""The preview of a quilt: how long it takes, and how that grows with the grid.

Each quilt is drawn whole, as `stashkeeper preview` does once the looks at the cloth are kept: cloth
brought to scale, patches painted in colour and in grey, the page with its value rule. The floor is
what no program that makes the same PDF can do without: packing two pictures of that size as fine
JPEG files. Medians of interleaved rounds, CPU time on all threads.

Run: uv run python tests/benchmarks/draw_preview.py [units a side …]
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from PIL import Image

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(CHECKOUT))

from stashkeeper.choosing.quilt_needs import seams_of  # noqa: E402
from stashkeeper.choosing.seam_contrast import judge_seams  # noqa: E402
from stashkeeper.lengths.length import Length  # noqa: E402
from stashkeeper.luminance.contrast import Entry  # noqa: E402
from stashkeeper.luminance.readings import typed_reading  # noqa: E402
from stashkeeper.pictures.canvas import packed  # noqa: E402
from stashkeeper.pictures.layout_preview import LayoutPreview, draw_preview_pdf  # noqa: E402
from stashkeeper.pictures.preview_scene import PreviewFabric, Scene  # noqa: E402
from stashkeeper.pictures.value_rule import Mark  # noqa: E402
from stashkeeper.quilts.grow import grown  # noqa: E402
from stashkeeper.quilts.layout_library import traditional_layout  # noqa: E402
from stashkeeper.quilts.quilt import Quilt  # noqa: E402
from stashkeeper.quilts.quilt_patches import quilt_meetings  # noqa: E402

SIDES = (10, 20, 40, 100, 200)
ROUNDS = 5
DOTS = 892
"""The side of each of the two pictures on A4, at 240 dots to the inch."""


def fabric(code: str, lightness: float, seed: int) -> PreviewFabric:
    """Return a fabric with a look as large as the program keeps it."""
    noise = np.random.default_rng(seed).integers(0, 256, (750, 1000, 3), dtype=np.uint8)
    return PreviewFabric(
        code, code, lightness, 2.0, Mark.SURE, Image.fromarray(noise), 10.0, ""
    )  # fmt: skip


def preview_of(side: int) -> LayoutPreview:
    """Return a preview of a quilt that is 80 in wide, its two roles weak where they meet."""
    unit = Length.from_inches(80).ticks // side
    quilt = Quilt(grown(traditional_layout("pinwheel"), side, side), Length(unit))
    cast = {"blade": [fabric("A1", 40.0, 1)], "background": [fabric("A2", 43.0, 2)]}
    entries = {
        role: [Entry(one.code, typed_reading(one.lightness or 0.0, one.code), one.code)]
        for role, (one,) in cast.items()
    }
    judged = judge_seams(seams_of(quilt_meetings(quilt)), entries)
    return LayoutPreview("Pinwheel", f"{side} × {side}", quilt, [Scene("", cast, {}, judged)])


def cpu(act: Callable[[], object]) -> float:
    """Return the CPU seconds that `act` takes, on all threads."""
    start = time.process_time()
    act()
    return time.process_time() - start


def main() -> None:
    """Print a row for each size of grid."""
    sides = [int(word) for word in sys.argv[1:]] or list(SIDES)
    noise = np.random.default_rng(0).integers(0, 256, (DOTS, DOTS, 3), dtype=np.uint8)
    colour = Image.fromarray(noise)
    grey = colour.convert("L")
    print("units      patches   CPU s   floor s   ratio")
    for side in sides:
        preview = preview_of(side)
        draw_preview_pdf(preview)
        ours, floor = [], []
        for _ in range(ROUNDS):
            ours.append(cpu(lambda preview=preview: draw_preview_pdf(preview)))  # type: ignore[misc]
            floor.append(cpu(lambda: (packed(colour, False), packed(grey, False))))
        mine, least = statistics.median(ours), statistics.median(floor)
        print(
            f"{side:>3} × {side:<3}  {2 * side * side:>8,}  {mine:>6.2f}  {least:>8.2f}"
            f"  {mine / least:>6.1f}"
        )


if __name__ == "__main__":
    main()
