"""Whose shelf this is, what is on it, and the photos that were taken of it.

The quilters' guild of Ottersound meets above the old rope store on the quay. One rainy Saturday
its librarian carried the guild's cloth to the window table, four armfuls, and photographed it.
Town, guild, fabrics and phone are invented.
"""

from dataclasses import dataclass
from enum import StrEnum

LONG_SHELF = "long shelf"
WINDOW_SHELF = "window shelf"
ROPE_CHEST = "rope chest"
BLUE_BOX = "blue box"


@dataclass(frozen=True)
class Stock:
    """A fabric of the shelf.

    Attributes:
        size: as its owner would type it.
        place: where it is kept.
        tags: parted by semicolons.
        group: light, medium or dark in the harbour quilt; `spare` for the cure; empty otherwise.
    """

    size: str
    place: str
    tags: str
    group: str = ""


STOCK: dict[str, Stock] = {
    "Oyster": Stock("2 yd", LONG_SHELF, "solid;white"),
    "Soot": Stock("1/2 yd", LONG_SHELF, "solid;black"),
    "Deep water": Stock("half yard", LONG_SHELF, "solid;blue"),
    "Rowan red": Stock("fat quarter", LONG_SHELF, "solid;red", "medium"),
    "Buoy yellow": Stock("18 x 21", LONG_SHELF, "solid;yellow"),
    "Putty": Stock("1/4 yd", LONG_SHELF, "solid;neutral"),
    "Sailcloth sprig": Stock("1/2 yd", WINDOW_SHELF, "tone-on-tone;neutral", "light"),
    "Barley": Stock("18 x 21", WINDOW_SHELF, "tone-on-tone;neutral"),
    "Slack tide": Stock("fat quarter", WINDOW_SHELF, "lines;neutral", "light"),
    "Net dots": Stock("fat quarter", BLUE_BOX, "dots;blue", "dark"),
    "Chandler's pinstripe": Stock("about 20 x 30", ROPE_CHEST, "stripe;grey"),
    "Kelp": Stock("fat quarter", ROPE_CHEST, "tone-on-tone;leaf;green", "dark"),
    "Squall": Stock("50 x 55 cm", BLUE_BOX, "hand-dyed;blue"),
    "Low sun": Stock("50 x 55 cm", ROPE_CHEST, "hand-dyed;orange"),
    "Shallows": Stock("50 x 55 cm", BLUE_BOX, "hand-dyed;green", "spare"),
    "Garden wall at dusk": Stock("1 yd", WINDOW_SHELF, "floral;large print"),
    "Dog-rose morning": Stock("1/2 yd", WINDOW_SHELF, "floral;large print;pink", "light"),
    "Thrift": Stock("fat quarter", WINDOW_SHELF, "floral;ditsy;pink", "medium"),
    "Night garden": Stock("fat eighth", BLUE_BOX, "floral;ditsy;blue"),
    "Scallop sea": Stock("25 x 50 cm", BLUE_BOX, "geometric;green"),
    "Chart ink": Stock("fat quarter", ROPE_CHEST, "busy print;black and white"),
    "Brass lamp": Stock("about 10 x 14", ROPE_CHEST, "metallic;ochre", "medium"),
    "Bramble": Stock("fat quarter", ROPE_CHEST, "tone-on-tone;dots;purple", "dark"),
    "Fern bank": Stock("17 1/2 x 20 1/2", WINDOW_SHELF, "leaf;green"),
    "Kiln": Stock("fat quarter", ROPE_CHEST, "geometric;orange"),
    "Regatta": Stock("0.5 m", BLUE_BOX, "boats;blue"),
    "Herring run": Stock("fat quarter", BLUE_BOX, "fish;blue"),
    "Spinnaker": Stock("15 x 42", WINDOW_SHELF, "geometric;bright"),
    "Pantry gingham": Stock("9 x 42", BLUE_BOX, "gingham;blue;yarn-dyed"),
    "Ferry plaid": Stock("1/3 yd", ROPE_CHEST, "plaid;green;yarn-dyed"),
    "Berth ticking": Stock("40 x 60 cm", WINDOW_SHELF, "stripe;neutral;yarn-dyed"),
    "Heather check": Stock("fat quarter", WINDOW_SHELF, "check;purple;yarn-dyed"),
}
"""The shelf, by the name of the fabric."""


class Style(StrEnum):
    """How a fabric lies when it is photographed alone."""

    FULL = "full"
    """It fills the frame."""
    STACK = "stack"
    """Folded, table in sight on two sides."""
    PINKED = "pinked"
    """A pinked edge and the table along one side."""


@dataclass(frozen=True)
class Shot:
    """One photo: file name, what lies in it in reading order, and how it is stored.

    Attributes:
        columns: fabrics in a row of a line-up.
        size: width and height of the upright photo in pixels.
        orientation: EXIF orientation tag; the stored pixels are turned to suit.
        wide_gamut: stored in Display P3.
    """

    file: str
    names: tuple[str, ...]
    style: Style = Style.FULL
    columns: int = 1
    size: tuple[int, int] = (1280, 960)
    orientation: int = 1
    wide_gamut: bool = False


_TALL = (960, 1280)

SHOTS: tuple[Shot, ...] = (
    Shot(
        "line-up-blues.jpg",
        ("Regatta", "Pantry gingham", "Squall", "Herring run", "Net dots", "Deep water"),
        columns=3,
        size=(2000, 1500),
        orientation=3,
    ),
    Shot(
        "line-up-warm.jpg",
        ("Buoy yellow", "Low sun", "Putty", "Kiln", "Rowan red"),
        columns=5,
        size=(2000, 1500),
        wide_gamut=True,
    ),
    Shot("oyster.jpg", ("Oyster",), Style.STACK),
    Shot("soot.jpg", ("Soot",), Style.STACK),
    Shot("rowan-red.jpg", ("Rowan red",), Style.PINKED, wide_gamut=True),
    Shot("buoy-yellow.jpg", ("Buoy yellow",), Style.STACK, size=_TALL, orientation=6),
    Shot("barley.jpg", ("Barley",), Style.FULL),
    Shot("chandlers-pinstripe.jpg", ("Chandler's pinstripe",), Style.STACK),
    Shot("squall.jpg", ("Squall",), Style.FULL, size=_TALL, orientation=8),
    Shot("low-sun.jpg", ("Low sun",), Style.PINKED),
    Shot("garden-wall-at-dusk.heic", ("Garden wall at dusk",), Style.FULL, size=(1600, 1200)),
    Shot("dog-rose-morning.jpg", ("Dog-rose morning",), Style.STACK),
    Shot("night-garden.jpg", ("Night garden",), Style.FULL, orientation=3),
    Shot("scallop-sea.jpg", ("Scallop sea",), Style.STACK),
    Shot("chart-ink.jpg", ("Chart ink",), Style.FULL),
    Shot("brass-lamp.jpg", ("Brass lamp",), Style.PINKED, size=_TALL, orientation=6),
    Shot("fern-bank.jpg", ("Fern bank",), Style.PINKED),
    Shot("ferry-plaid.webp", ("Ferry plaid",), Style.STACK),
    Shot("berth-ticking.jpg", ("Berth ticking",), Style.STACK, size=_TALL, orientation=8),
    Shot("heather-check.jpg", ("Heather check",), Style.FULL),
    Shot("spinnaker.jpg", ("Spinnaker",), Style.STACK, wide_gamut=True),
    Shot(
        "the-harbour-quilt.jpg",
        (
            "Slack tide",
            "Sailcloth sprig",
            "Dog-rose morning",
            "Shallows",
            "Thrift",
            "Brass lamp",
            "Rowan red",
            "Kelp",
            "Net dots",
            "Bramble",
        ),
        columns=5,
        size=(2400, 1800),
    ),
)
"""The photos, in the order they were taken; that of the quilt comes last, in time and by name, so
that the newest reading of its ten fabrics is the one they share."""
