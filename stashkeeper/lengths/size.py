"""A size: width (selvedge to selvedge) by length (along the selvedge)."""

from dataclasses import dataclass

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
