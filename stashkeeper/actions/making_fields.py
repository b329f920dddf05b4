"""What becomes of a layout, in words: to be read, and as the fields of a form that changes it."""

from collections.abc import Iterator, Mapping

from stashkeeper.actions.making import Making, Wish
from stashkeeper.lengths.format import format_exactly, format_length
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.sewing import Finish

TURNS = ("", "a quarter turn", "half a turn", "three quarter turns")
"""How far a quilt is turned, by the number of quarter turns."""


def arranged_words(making: Making, measure: Measure) -> Iterator[tuple[str, str]]:
    """Yield how a layout is turned, sashed, set and bordered: a name and words each."""
    if making.turned or making.mirrored:
        yield (
            "turned",
            ", ".join(filter(None, (TURNS[making.turned], "mirrored" * making.mirrored))),
        )
    if making.sash:
        width = format_length(making.sash.width, measure, Rounding.UP)
        stones = f", cornerstones {making.sash.cornerstone}" if making.sash.cornerstone else ""
        yield "sashing", f"{making.sash.role} {width}{stones}{', all around' * making.sash.frame}"
    if making.on_point:
        yield "on point", f"triangles {making.on_point[0]}, between {making.on_point[1]}"
    for number, border in enumerate(making.borders):
        width = format_length(border.width, measure, Rounding.UP)
        if border.end_width != border.width:
            ends = format_length(border.end_width, measure, Rounding.UP)
            width += f" at the sides, {ends} top and bottom"
        yield "" if number else "borders", f"{border.role} {width}, {border.corner}"


def fields_of(making: Making, wishes: Mapping[str, Wish], measure: Measure) -> dict[str, str]:
    """Return a making as the fields of its form, in words that are read back as the very same.

    Args:
        making: what becomes of the layout.
        wishes: what is wished for every role.
        measure: inches or centimetres.
    """

    def said(length: Length) -> str:
        return format_exactly(length, measure)

    sash, point = making.sash, making.on_point
    return {
        "unit": said(making.unit),
        "columns": "" if making.columns is None else f"{making.columns}",
        "rows": "" if making.rows is None else f"{making.rows}",
        "turn": f"{making.turned}",
        "mirror": "yes" if making.mirrored else "",
        "sash": f"{sash.role}: {said(sash.width)}" if sash else "",
        "cornerstones": sash.cornerstone if sash else "",
        "frame": "yes" if sash and sash.frame else "",
        "on_point": point[0] if point else "",
        "between": point[1] if point and point[1] != point[0] else "",
        "borders": "\n".join(_border(one, measure) for one in making.borders),
        "roles": "\n".join(_wish(role, wish) for role, wish in wishes.items()),
        "half_squares": f"{making.methods.half_squares}",
        "geese": f"{making.methods.geese}",
        "exact": "yes" if making.sewing.finish is Finish.EXACT else "",
        "seam": said(making.sewing.seam),
    }


def _border(border: Border, measure: Measure) -> str:
    width = format_exactly(border.width, measure)
    if border.end_width != border.width:
        width += f" x {format_exactly(border.end_width, measure)}"
    return f"{border.role}: {width}{' mitred' if border.corner is Corner.MITRED else ''}"


def _wish(role: str, wish: Wish) -> str:
    many = "any number" if wish.fabrics is None else f"{wish.fabrics}"
    fabrics = "fabric" if wish.fabrics == 1 else "of fabrics" if wish.fabrics is None else "fabrics"
    return f"{role}: {wish.value or 'any'}, {many} {fabrics}"
