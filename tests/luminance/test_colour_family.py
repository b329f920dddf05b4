"""Colour families against the named colours of the CSS standard, and names made of them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageColor

from stashkeeper.cloth.reading import Method, Reading, Spread, lone_photo_factors, typed_factors
from stashkeeper.luminance.colour_family import ColourFamily, colour_family
from stashkeeper.luminance.naming import propose_name
from tests.luminance.made import measured, solid

# CSS Color Module Level 4 (W3C), as in Pillow's table. A colour whose name holds one of our words
# must fall in that family. Where the name holds two, either will do. The rest are not what the
# eye would call them, or lie on the border.
OTHERWISE = {
    "aliceblue": ColourFamily.WHITE,
    "antiquewhite": ColourFamily.CREAM,
    "beige": ColourFamily.CREAM,
    "blueviolet": ColourFamily.PURPLE,
    "brown": ColourFamily.RED,
    "cadetblue": ColourFamily.TURQUOISE,
    "darkslategray": ColourFamily.TURQUOISE,
    "lightgoldenrodyellow": ColourFamily.CREAM,
    "lightseagreen": ColourFamily.TURQUOISE,
    "lightslategray": ColourFamily.BLUE,
    "lightyellow": ColourFamily.CREAM,
    "mediumvioletred": ColourFamily.PINK,
    "mintcream": ColourFamily.WHITE,
    "navajowhite": ColourFamily.CREAM,
    "palevioletred": ColourFamily.PINK,
    "rosybrown": ColourFamily.PINK,
    "sandybrown": ColourFamily.ORANGE,
    "slategray": ColourFamily.BLUE,
}
WORDS = {"gray": ColourFamily.GREY} | {family.value: family for family in ColourFamily}
NAMED = {
    name: {family for word, family in WORDS.items() if word in name}
    for name in ImageColor.colormap
    if "grey" not in name
}


def family_of(name: str) -> ColourFamily:
    found = measured(solid(ImageColor.getrgb(name), 8, 8))
    return colour_family(found.lightness, found.a, found.b)


@pytest.mark.parametrize("name", sorted(name for name, words in NAMED.items() if words))
def test_named_colours_are_in_their_family(name: str) -> None:
    expected = {OTHERWISE[name]} if name in OTHERWISE else NAMED[name]
    assert family_of(name) in expected


@pytest.mark.parametrize(
    ("name", "family"),
    [
        ("navy", "blue"), ("maroon", "red"), ("crimson", "red"), ("olive", "green"),
        ("teal", "turquoise"), ("tan", "beige"), ("saddlebrown", "brown"), ("sienna", "brown"),
        ("beige", "cream"), ("ivory", "cream"), ("salmon", "pink"), ("lavender", "blue"),
        ("indigo", "purple"), ("gold", "yellow"), ("snow", "white"), ("silver", "grey"),
    ],
)  # fmt: skip
def test_colours_with_names_of_their_own(name: str, family: str) -> None:
    assert family_of(name) == family


@given(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))
@settings(deadline=None, max_examples=200)
def test_every_colour_has_a_family(lightness: float, a: float, b: float) -> None:
    assert colour_family(lightness, a, b) in ColourFamily


def reading(lab: tuple[float, float, float], deviation: float = 0.5) -> Reading:
    spread = Spread(deviation, lab[0] - 2 * deviation, lab[0] + 2 * deviation)
    return Reading(*lab, Method.PHOTO, lone_photo_factors("own", "photo"), spread)


@pytest.mark.parametrize(
    ("lab", "deviation", "name"),
    [
        ((82, -4, -20), 0.6, "pale blue"),
        ((30, -30, 20), 14, "dark green print"),
        ((50, 55, 30), 1, "red"),
        ((95, 0, 3), 0.5, "white"),
        ((93, 0, 12), 6, "cream print"),
        ((12, 1, 1), 0.5, "black"),
        ((30, 1, 1), 0.5, "dark grey"),
    ],
)
def test_a_name_is_made_of_colour_and_print(
    lab: tuple[float, float, float], deviation: float, name: str
) -> None:
    assert propose_name(reading(lab, deviation)) == name


def test_without_a_colour_there_is_not_much_to_say() -> None:
    typed = Reading(50, None, None, Method.TYPED, typed_factors("own"))
    assert propose_name(typed) == "fabric"
