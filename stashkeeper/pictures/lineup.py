"""The split of a line-up drawn over its photo: lines, numbers, codes, and what is measured."""

from collections.abc import Sequence
from typing import Final

from PIL import Image, ImageDraw, ImageFont

from stashkeeper.pictures.greys import ACCENT, BLACK, WHITE

LONGEST: Final = 1600
"""The longer side of the picture, in pixels."""
TYPE: Final = 34
LINE: Final = 5

Points = tuple[tuple[float, float], ...]


def draw_lineup(
    photo: Image.Image, lines: Sequence[Points], parts: Sequence[Points], names: Sequence[str]
) -> Image.Image:
    """Return a photo with the split of its line-up drawn over it.

    Args:
        photo: upright; it is not changed.
        lines: the two ends of each line, in fractions of the photo.
        parts: the corners of what is measured in each strip, likewise.
        names: what stands on each strip.
    """
    picture = photo.convert("RGB")
    picture.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    draw = ImageDraw.Draw(picture)
    for line in lines:
        ends = _placed(picture, line)
        draw.line(ends, fill=WHITE, width=LINE + 4)
        draw.line(ends, fill=ACCENT, width=LINE)
    for part, name in zip(parts, names, strict=True):
        corners = _placed(picture, part)
        draw.polygon(corners, outline=WHITE, width=3)
        draw.line([*corners, corners[0]], fill=BLACK, width=1)
        _label(draw, corners, name)
    return picture


def _placed(picture: Image.Image, points: Points) -> list[tuple[float, float]]:
    return [(x * picture.width, y * picture.height) for x, y in points]


def _label(draw: ImageDraw.ImageDraw, corners: list[tuple[float, float]], name: str) -> None:
    """Write a name in the middle of a part, one word below the other, on white."""
    x, y = (sum(part) / len(corners) for part in zip(*corners, strict=True))
    font, words = _font(), name.replace(" ", "\n")
    box = draw.multiline_textbbox((x, y), words, font=font, anchor="mm", align="center")
    draw.rectangle((box[0] - 8, box[1] - 6, box[2] + 8, box[3] + 6), fill=WHITE, outline=BLACK)
    draw.multiline_text((x, y), words, fill=BLACK, font=font, anchor="mm", align="center")


def _font() -> ImageFont.FreeTypeFont:
    import font_source_sans_pro

    return ImageFont.truetype(font_source_sans_pro.font_files_ttf["SourceSansProSemibold"], TYPE)
