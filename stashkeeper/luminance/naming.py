"""Propose a name for a fabric nobody has named: its colour and whether it is a print."""

from stashkeeper.cloth.reading import Reading
from stashkeeper.luminance.colour_family import ColourFamily, colour_family

PRINT_FROM = 4.0
"""Standard deviation of L* after the viewing blur from which cloth is called a print: real
plain cloth with creases and a slope of light reaches 3 (ours)."""
PLAIN_WORDS = {ColourFamily.WHITE, ColourFamily.CREAM, ColourFamily.BLACK}
"""Families that say how light they are by themselves."""


def propose_name(reading: Reading) -> str:
    """Return a name like "pale blue" or "dark green print"; "fabric" where no colour is known."""
    if reading.a is None or reading.b is None:
        return "fabric"
    family = colour_family(reading.lightness, reading.a, reading.b)
    tone = "" if family in PLAIN_WORDS else _tone(reading.lightness)
    kind = "print" if is_print(reading) else ""
    return " ".join(word for word in (tone, family.value, kind) if word)


def is_print(reading: Reading) -> bool:
    """Tell whether the lightness varies too much for a solid."""
    return reading.spread is not None and reading.spread.deviation >= PRINT_FROM


def _tone(lightness: float) -> str:
    """Return how light a colour is in one word, or none for the middle."""
    if lightness >= 75.0:
        return "pale"
    return "dark" if lightness < 40.0 else ""
