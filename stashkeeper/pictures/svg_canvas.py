"""The same surface as `canvas.Canvas`, drawn as one SVG picture instead of a PDF.

Words keep the width they have in the PDF, whatever typeface a viewer puts in its place.
"""

import base64
from collections.abc import Iterable
from html import escape

from PIL import Image

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.canvas import TEXT, Canvas, packed
from stashkeeper.pictures.greys import BLACK, WHITE, Colour


class SvgCanvas(Canvas):
    """One picture of any size, in px."""

    def __init__(self, size: tuple[float, float], title: str) -> None:
        """Open a picture of `size` (width, height in px); `title` is read out by screen readers."""
        super().__init__(Paper.A4, title)
        self._pdf.add_page()
        self._size = size
        self._title = title
        self._parts: list[str] = []
        self.rectangle(0, 0, *size, WHITE)

    def rectangle(self, x: float, y: float, width: float, height: float, fill: Colour) -> None:
        """Fill a rectangle."""
        self._parts.append(f"<rect {_at(x, y, width, height)} fill='{_colour(fill)}'/>")

    def mosaic(self, tiles: Iterable[tuple[float, float, float, float]], fill: Colour) -> None:
        """Fill rectangles (x, y, width, height) as one shape."""
        path = "".join(
            f"M{x:g} {y:g}h{width:g}v{height:g}h{-width:g}z" for x, y, width, height in tiles
        )
        self._parts.append(f"<path d='{path}' fill='{_colour(fill)}'/>")

    def frame(
        self, x: float, y: float, width: float, height: float, thickness: float, ink: Colour
    ) -> None:
        """Draw the outline of a rectangle, its line lying wholly outside the rectangle."""
        half = thickness / 2
        place = _at(x - half, y - half, width + thickness, height + thickness)
        self._parts.append(f"<rect {place} fill='none' {_stroke(thickness, ink)}/>")

    def line(
        self, start: tuple[float, float], end: tuple[float, float], thickness: float, ink: Colour
    ) -> None:
        """Draw a straight line from `start` to `end`."""
        ends = f"x1='{start[0]:.2f}' y1='{start[1]:.2f}' x2='{end[0]:.2f}' y2='{end[1]:.2f}'"
        self._parts.append(f"<line {ends} {_stroke(thickness, ink)}/>")

    def circle(
        self, x: float, y: float, diameter: float, fill: Colour, thickness: float = 1.0
    ) -> None:
        """Draw a black ring about the centre (x, y), filled."""
        radius = (diameter - thickness) / 2
        place = f"cx='{x:.2f}' cy='{y:.2f}' r='{radius:.2f}'"
        self._parts.append(f"<circle {place} fill='{_colour(fill)}' {_stroke(thickness, BLACK)}/>")

    def picture(
        self,
        image: Image.Image,
        x: float,
        y: float,
        width: float,
        height: float,
        exact: bool = False,
    ) -> None:
        """Place a picture over a rectangle."""
        kind = "png" if exact else "jpeg"
        data = base64.b64encode(packed(image, exact).getvalue()).decode("ascii")
        self._parts.append(
            f"<image {_at(x, y, width, height)} preserveAspectRatio='none' "
            f"href='data:image/{kind};base64,{data}'/>"
        )

    def text(
        self,
        x: float,
        baseline: float,
        words: str,
        size: float = TEXT,
        bold: bool = False,
        ink: Colour = BLACK,
    ) -> None:
        """Write words from `x` to the right, standing on `baseline`."""
        shown = self.shown(words)
        if not shown:
            return
        weight = " font-weight='600'" if bold else ""
        self._parts.append(
            f"<text x='{x:.2f}' y='{baseline:.2f}' font-size='{size:g}'{weight} "
            f"fill='{_colour(ink)}' textLength='{self.width(words, size, bold):.2f}' "
            f"lengthAdjust='spacingAndGlyphs'>{escape(shown)}</text>"
        )

    def svg(self) -> str:
        """Return the finished picture; the same drawing gives the same text."""
        width, height = self._size
        return (
            f"<svg xmlns='http://www.w3.org/2000/svg' width='{width:g}' height='{height:g}' "
            f"viewBox='0 0 {width:g} {height:g}' role='img' "
            'font-family=\'"Source Sans 3", "Source Sans Pro", sans-serif\'>'
            f"<title>{escape(self.shown(self._title))}</title>{''.join(self._parts)}</svg>"
        )


def _at(x: float, y: float, width: float, height: float) -> str:
    return f"x='{x:.2f}' y='{y:.2f}' width='{max(width, 0):.2f}' height='{max(height, 0):.2f}'"


def _colour(colour: Colour) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)


def _stroke(thickness: float, ink: Colour) -> str:
    return f"stroke='{_colour(ink)}' stroke-width='{thickness:g}'"
