"""A preview as a page shows it: each choice of fabrics painted twice, its cloth along the rule."""

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from PIL import Image

from stashkeeper.pictures.greys import Colour
from stashkeeper.pictures.level_cloth import cloth_count, rule_cloth, rule_gaps
from stashkeeper.pictures.level_rule import LevelRule, draw_level_rule, rule_height
from stashkeeper.pictures.preview_scene import Scene, Stage, show_scene
from stashkeeper.pictures.svg_canvas import SvgCanvas

RULES: Final = {"narrow": 358.0, "wide": 680.0}
"""How wide the rule is drawn, in px: for a phone, and for a wider page."""

LONGEST: Final = {1: 1400, 2: 1100, 3: 900, 4: 900}
"""The longer side of a picture in pixels, by how many choices stand side by side."""

PAGE_GROUND: Final[Colour] = (160, 160, 160)
"""The ground of a page, on which the rule lies."""


@dataclass(frozen=True, slots=True, eq=False)
class WebScene:
    """One choice of fabrics, drawn for a page.

    Attributes:
        size: of the two pictures, in pixels.
        colour, grey: WebP files; weak seams are marked in the grey one.
        places: where the letter of each weak pair stands, in shares of width and height.
        rules: the value rule as SVG pictures, by the names of `RULES`.
    """

    size: tuple[int, int]
    colour: bytes
    grey: bytes
    places: Mapping[str, tuple[float, float]]
    rules: Mapping[str, str]


def draw_web_scene(stage: Stage, scene: Scene, scenes: Sequence[Scene]) -> WebScene:
    """Return a choice of fabrics drawn for a page.

    Args:
        stage: the quilt, worked out once for all choices.
        scene: the choice.
        scenes: all that stand side by side; their rules have the same height.
    """
    longest = LONGEST.get(len(scenes), 900)
    wide = longest if stage.shape >= 1 else max(1, round(longest * stage.shape))
    size = wide, max(1, round(wide / stage.shape))
    shown = show_scene(stage, scene, size)
    work = shown.patchwork
    return WebScene(
        size,
        _webp(work.colour),
        _webp(work.grey),
        shown.places,
        {name: _rule(stage, scene, scenes, width) for name, width in RULES.items()},
    )


def _rule(stage: Stage, scene: Scene, scenes: Sequence[Scene], width: float) -> str:
    count = max(cloth_count(stage, one) for one in scenes)
    gaps = max(len(rule_gaps(one)) for one in scenes)
    height = rule_height(count, gaps, width)
    with SvgCanvas((width, height), "The cloth along the value rule") as canvas:
        canvas.rectangle(0, 0, width, height, PAGE_GROUND)
        cloth = rule_cloth(stage, scene, count, width)
        draw_level_rule(canvas, LevelRule(0.0, 0.0, width), cloth, rule_gaps(scene))
        return canvas.svg()


def _webp(image: Image.Image) -> bytes:
    packed = io.BytesIO()
    image.save(packed, "WEBP", quality=82, method=2)
    return packed.getvalue()
