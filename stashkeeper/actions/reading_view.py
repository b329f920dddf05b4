"""A reading as faces show it: rounded for people, unrounded for programs."""

from collections.abc import Iterable
from dataclasses import dataclass

from stashkeeper.cloth.reading import Doubt, Method, Reading, Spread
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.colour_family import ColourFamily, colour_family
from stashkeeper.luminance.ranking import Bands, value_by_bands


@dataclass(frozen=True, slots=True)
class ReadingView:
    """What counts of a fabric's lightness.

    Attributes:
        lightness, uncertainty: L* and its 95 % uncertainty.
        method: how it was found.
        a, b: of CIE L*a*b*; None where only a lightness is known.
        colour_family: a plain colour word; None where no colour is known.
        value: its group by the fixed bands.
        provisional: whether only an unreferenced photo speaks for it.
        doubts: what made the photo less sure.
        spread: of the print, in L*.
    """

    lightness: float
    uncertainty: float
    method: Method
    a: float | None
    b: float | None
    colour_family: ColourFamily | None
    value: Value
    provisional: bool
    doubts: tuple[Doubt, ...]
    spread: Spread | None

    @property
    def sentence(self) -> str:
        """Lightness, certainty, value and colour in a line."""
        colour = f", {self.colour_family}" if self.colour_family else ""
        line = f"{shown_lightness(self.lightness, self.provisional)} ±{self.uncertainty:.0f}"
        line += f", {self.value}{colour} ({METHOD_WORDS[self.method]}"
        return line + (", provisional)" if self.provisional else ")")


METHOD_WORDS = {
    Method.PHOTO: "one photo, nothing of known lightness in it",
    Method.TYPED: "typed",
    Method.REFLECTANCE: "reflectance typed",
    Method.LINE_UP: "line-up",
    Method.PAPER: "paper in the photo",
    Method.CHART: "chart in the photo",
    Method.CARD: "reference card in the photo",
    Method.SITTING: "sitting",
}

DOUBT_WORDS = {
    Doubt.CLIPPED: "parts are burnt out or lost in black: take it again with less or more light",
    Doubt.BLURRED: "it is blurred: hold still, or rest the phone on something",
    Doubt.UNEVEN_LIGHT: "the light is uneven: move to the window and turn the lamp off",
    Doubt.GLARE: "something shines on it: turn the lamp off, or turn the cloth to the window",
    Doubt.COARSE: "too few pixels to the inch: go nearer, or send the photo as it was taken",
    Doubt.COLOUR_PROFILE: "its colour profile is unusable: send the photo as the camera wrote it",
}


def reading_view(reading: Reading | None, bands: Bands) -> ReadingView | None:
    """Return a reading as faces show it; None where there is none."""
    if reading is None:
        return None
    known = reading.a is not None and reading.b is not None
    return ReadingView(
        reading.lightness,
        reading.uncertainty,
        reading.method,
        reading.a,
        reading.b,
        family_of(reading) if known else None,
        value_by_bands(reading.lightness, bands),
        reading.provisional,
        reading.doubts,
        reading.spread,
    )


def family_of(reading: Reading) -> ColourFamily | None:
    """Return the colour family of a reading; None where only a lightness is known."""
    if reading.a is None or reading.b is None:
        return None
    return colour_family(reading.lightness, reading.a, reading.b)


def shown_lightness(lightness: float, provisional: bool) -> str:
    """Return a lightness in whole L*; a provisional one bears a tilde."""
    return f"{'~' if provisional else ''}{lightness:.0f}"


def doubt_sentences(doubts: Iterable[Doubt]) -> tuple[str, ...]:
    """Return what to do about each doubt; having no reference is said by the method."""
    return tuple(DOUBT_WORDS[doubt] for doubt in doubts if doubt in DOUBT_WORDS)
