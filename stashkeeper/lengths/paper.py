"""The papers that pages are printed on."""

from enum import StrEnum


class Paper(StrEnum):
    """The paper a page is made for."""

    A4 = "a4"
    """210 × 297 mm (ISO 216)."""
    LETTER = "letter"
    """8½ × 11 in (ANSI/ASME Y14.1, size A)."""

    @property
    def width(self) -> int:
        """The width in px of 1/96 in (CSS Values and Units): 210 mm (within 0.1 mm) or 8½ in."""
        return 794 if self is Paper.A4 else 816

    @property
    def height(self) -> int:
        """The height in such px: 297 mm (within 0.2 mm) or 11 in."""
        return 1122 if self is Paper.A4 else 1056
