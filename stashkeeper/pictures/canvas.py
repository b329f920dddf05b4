"""The one surface everything is drawn on: a PDF with sharp lines, real type and pictures.

Places are in px of 1/96 inch from the top left corner. Pages as pictures are made from the very
same PDF (`page_images`), so there is one drawing, not two that drift apart.
"""

import io
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from threading import Lock
from typing import TYPE_CHECKING, Final, Self

from PIL import Image

from stashkeeper.lengths.paper import Paper
from stashkeeper.pictures.greys import BLACK, Colour
from stashkeeper.pictures.paper import DOTS_PER_INCH
from stashkeeper.pictures.typeface import shortened, shown, wrapped

if TYPE_CHECKING:
    from pypdfium2 import PdfPage

POINTS_PER_PX: Final = 0.75
POINTS_PER_INCH: Final = 72
FAMILY: Final = "source-sans"
TITLE: Final = 28.0
TEXT: Final = 14.0
SMALL: Final = 11.0
"""The three sizes of type, in px (21, 10½ and 8¼ point)."""

NO_DATE: Final = datetime(2000, 1, 1, tzinfo=UTC)

_renderer = Lock()
"""PDFium is not made for two threads at a time."""


class Canvas:
    """Pages of one paper, drawn on in px; the last page added is the one drawn on.

    Used as `with Canvas(…) as canvas:`, for it holds the typeface's files open.
    """

    def __init__(self, paper: Paper, title: str, created: datetime | None = None) -> None:
        """Open a canvas without pages; `title` and `created` go into the PDF's own record."""
        from fpdf import FPDF

        self.paper = paper
        self._pdf = FPDF(unit=POINTS_PER_PX, format=(paper.width, paper.height))
        self._pdf.set_margin(0)
        self._pdf.set_auto_page_break(False)
        self._pdf.set_creation_date(created or NO_DATE)
        self._add_type()
        self._pdf.set_title(self.shown(title))
        self._pdf.set_creator("Stashkeeper")
        self._pdf.set_lang("en")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *failure: object) -> None:
        for font in self._pdf.fonts.values():
            font.close()  # type: ignore[union-attr]

    def _add_type(self) -> None:
        import font_source_sans_pro

        files = font_source_sans_pro.font_files_ttf
        self._pdf.add_font(FAMILY, "", files["SourceSansPro"])
        self._pdf.add_font(FAMILY, "B", files["SourceSansProSemibold"])
        self._glyphs = frozenset(self._pdf.fonts[FAMILY].cmap)  # type: ignore[union-attr]

    def add_page(self, ground: Colour) -> None:
        """Start a page covered by one colour."""
        self._pdf.add_page()
        self.rectangle(0, 0, self.paper.width, self.paper.height, ground)

    def rectangle(self, x: float, y: float, width: float, height: float, fill: Colour) -> None:
        """Fill a rectangle."""
        self._pdf.set_fill_color(*fill)
        self._pdf.rect(x, y, width, height, style="F")

    def mosaic(self, tiles: Iterable[tuple[float, float, float, float]], fill: Colour) -> None:
        """Fill rectangles (x, y, width, height) as one shape: no seams where they touch."""
        with self._pdf.new_path() as path:
            path.style.stroke_color = None
            path.style.fill_color = "#{:02x}{:02x}{:02x}".format(*fill)
            path.style.auto_close = True
            for x, y, width, height in tiles:
                path.rectangle(x, y, width, height)

    def frame(
        self, x: float, y: float, width: float, height: float, thickness: float, ink: Colour
    ) -> None:
        """Draw the outline of a rectangle, its line lying wholly outside the rectangle."""
        self._line_style(thickness, ink)
        half = thickness / 2
        self._pdf.rect(x - half, y - half, width + thickness, height + thickness, style="D")

    def line(
        self, start: tuple[float, float], end: tuple[float, float], thickness: float, ink: Colour
    ) -> None:
        """Draw a straight line from `start` to `end`."""
        self._line_style(thickness, ink)
        self._pdf.line(*start, *end)

    def circle(
        self, x: float, y: float, diameter: float, fill: Colour, thickness: float = 1.0
    ) -> None:
        """Draw a black ring about the centre (x, y), filled."""
        self._line_style(thickness, BLACK)
        self._pdf.set_fill_color(*fill)
        inner = diameter - thickness
        self._pdf.ellipse(x - inner / 2, y - inner / 2, inner, inner, style="DF")

    def hatch(
        self, x: float, y: float, width: float, height: float, ink: Colour, step: float = 6.0
    ) -> None:
        """Fill a rectangle with lines rising to the right, `step` px apart along its sides."""
        for start, end in hatching(x, y, width, height, step):
            self.line(start, end, 1.0, ink)

    def picture(
        self,
        image: Image.Image,
        x: float,
        y: float,
        width: float,
        height: float,
        exact: bool = False,
    ) -> None:
        """Place a picture over a rectangle, as a fine JPEG or, `exact`, to the last code."""
        self._pdf.image(packed(image, exact), x, y, width, height)

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
        self._font(size, bold)
        self._pdf.set_text_color(*ink)
        self._pdf.text(x, baseline, self.shown(words))

    def width(self, words: str, size: float = TEXT, bold: bool = False) -> float:
        """Return how wide words are, in px."""
        self._font(size, bold)
        return float(self._pdf.get_string_width(self.shown(words)))

    def shown(self, words: str) -> str:
        """Return words as they will look: in the signs the typeface has."""
        return shown(words, self._glyphs)

    def shortened(self, words: str, room: float, size: float = TEXT, bold: bool = False) -> str:
        """Return words, cut with an ellipsis where they are wider than `room` px."""
        return shortened(self.shown(words), room, lambda text: self.width(text, size, bold))

    def wrapped(self, words: str, room: float, size: float = TEXT) -> list[str]:
        """Return words broken into lines no wider than `room` px."""
        return wrapped(self.shown(words), room, lambda text: self.width(text, size))

    def pdf(self) -> bytes:
        """Return the finished PDF; the same drawing gives the same bytes."""
        return bytes(self._pdf.output())

    def _font(self, size: float, bold: bool) -> None:
        self._pdf.set_font(FAMILY, "B" if bold else "", size * POINTS_PER_PX)

    def _line_style(self, thickness: float, ink: Colour) -> None:
        self._pdf.set_draw_color(*ink)
        self._pdf.set_line_width(thickness)


def hatching(
    x: float, y: float, width: float, height: float, step: float
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Yield the lines, rising to the right at 45°, that hatch a rectangle without leaving it."""
    offset = step
    while offset < width + height:
        left, right = max(0.0, offset - height), min(width, offset)
        yield (x + left, y + offset - left), (x + right, y + offset - right)
        offset += step


def page_images(pdf: bytes) -> list[Image.Image]:
    """Return every page of a PDF of this canvas as an RGB picture, 240 dots to the inch."""
    import pypdfium2

    with _renderer, pypdfium2.PdfDocument(pdf) as document:
        return [_page_image(page, DOTS_PER_INCH) for page in document]


def page_image(pdf: bytes, number: int, dots_per_inch: int = DOTS_PER_INCH) -> Image.Image:
    """Return one page of a PDF of this canvas as an RGB picture; pages count from 1."""
    import pypdfium2

    with _renderer, pypdfium2.PdfDocument(pdf) as document:
        return _page_image(document[number - 1], dots_per_inch)


def page_count(pdf: bytes) -> int:
    """Return how many pages a PDF of this canvas has."""
    import pypdfium2

    with _renderer, pypdfium2.PdfDocument(pdf) as document:
        return len(document)


def _page_image(page: "PdfPage", dots_per_inch: int) -> Image.Image:
    # A hair less than the scale itself, or the last dot is rounded up to a whole new row.
    scale = dots_per_inch / POINTS_PER_INCH * (1 - 1e-9)
    picture: Image.Image = page.render(scale=scale).to_pil().convert("RGB")
    picture.info["dpi"] = (dots_per_inch, dots_per_inch)
    page.close()
    return picture


def packed(image: Image.Image, exact: bool) -> io.BytesIO:
    """Return a picture as a file: a fine JPEG or, `exact`, a PNG."""
    file = io.BytesIO()
    if exact:
        image.save(file, "PNG")
    else:
        image.save(file, "JPEG", quality=95, subsampling=0)
    file.seek(0)
    return file
