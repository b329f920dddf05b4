"""The traditional layouts in small, each in the greys of the values wished for its roles."""

from dataclasses import dataclass
from functools import cache

from stashkeeper.actions.project_page import UNWISHED, DrawnQuilt
from stashkeeper.actions.quilt_subject import WISHED
from stashkeeper.choosing.needs import role_and_set
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.length import Length
from stashkeeper.pictures.quilt_sketch import sketch
from stashkeeper.pictures.web_rule import css_grey
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Layout
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.quilt import Quilt

FEWEST = 8
"""A layout is repeated until it is so many units wide, so that its pattern is seen (ours)."""


@dataclass(frozen=True, slots=True)
class PicturedLayout:
    """A traditional layout: its name, a sentence on it, its smallest size, and its picture."""

    name: str
    about: str
    columns: int
    rows: int
    quilt: DrawnQuilt


@cache
def pictured_layouts() -> tuple[PicturedLayout, ...]:
    """Return the traditional layouts with their pictures, in alphabetical order."""
    return tuple(_pictured(name) for name in layout_names())


def _pictured(name: str) -> PicturedLayout:
    layout = traditional_layout(name)
    drawn = sketch(Quilt(_large_enough(layout), Length.from_inches(1)))
    assert drawn is not None, "the traditional layouts are small"
    wished = dict(layout.values)
    greys = {}
    for role, _ in drawn.shapes:
        value = wished.get(role_and_set(role)[0])
        greys[role] = css_grey(UNWISHED if value is None else WISHED[value])
    return PicturedLayout(name, layout.about, layout.columns, layout.rows, DrawnQuilt(drawn, greys))


def _large_enough(layout: Layout) -> Layout:
    times = -(-FEWEST // max(layout.columns, layout.rows))
    for more in (0, 1):
        try:
            return grown(layout, layout.columns * times + more, layout.rows * times + more)
        except StashkeeperError:
            continue
    return layout
