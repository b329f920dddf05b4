"""A size: width (selvedge to selvedge) by length (along the selvedge)."""

from dataclasses import dataclass

from stashkeeper.lengths.basis import Basis, Edge
from stashkeeper.lengths.length import Length


@dataclass(frozen=True, slots=True)
class Size:
    """A rectangle of cloth: width across the fabric, length along the selvedge."""

    width: Length
    length: Length

    @property
    def area(self) -> int:
        """The area in square ticks."""
        return self.width.ticks * self.length.ticks

    def turned(self) -> "Size":
        """Return the same rectangle with width and length exchanged."""
        return Size(self.length, self.width)

    def holds(self, other: "Size", turning: bool = True) -> bool:
        """Tell whether `other` fits inside this size, turned by a quarter if `turning` allows."""
        straight = other.width <= self.width and other.length <= self.length
        return straight or (turning and self.holds(other.turned(), turning=False))


@dataclass(frozen=True, slots=True)
class TypedSize:
    """A size as a person typed it, with what the words say beyond the numbers.

    Attributes:
        size: the rectangle.
        basis: nominal for a trade name or a length off the bolt, about where the words say so;
            None where only numbers were typed.
        selvedges: the selvedge edges the words imply: a fat quarter has one, the width of the
            fabric two; none where only numbers were typed.
    """

    size: Size
    basis: Basis | None = None
    selvedges: frozenset[Edge] = frozenset()
