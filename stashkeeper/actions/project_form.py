"""What becomes of a layout, as it would be typed: to be shown in a form, changed and sent back."""

from stashkeeper.actions.making import Making, Wish
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.lengths.format import format_exactly
from stashkeeper.lengths.length import Measure
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.sewing import Finish


def words_of(making: Making, measure: Measure) -> ProjectWords:
    """Return the words that make the same of a layout; reading them gives the same making.

    Roles that have changed places are left out: naming them again would change them back.
    """
    sash, point = making.sash, making.on_point
    return ProjectWords(
        unit=format_exactly(making.unit, measure),
        columns=making.columns,
        rows=making.rows,
        turn=making.turned,
        mirror=making.mirrored,
        sash=f"{sash.role}: {format_exactly(sash.width, measure)}" if sash else "none",
        cornerstones=(sash.cornerstone or "none") if sash else None,
        frame=sash.frame if sash else None,
        on_point=point[0] if point else "none",
        between=point[1] if point else None,
        borders=tuple(_border(border, measure) for border in making.borders) or ("none",),
        roles=tuple(f"{role}: {_wish(wish)}" for role, wish in making.wishes.items()),
        half_squares=making.methods.half_squares,
        geese=making.methods.geese,
        exact=making.sewing.finish is Finish.EXACT,
        seam=format_exactly(making.sewing.seam, measure),
    )


def _border(border: Border, measure: Measure) -> str:
    width = format_exactly(border.width, measure)
    if border.end_width != border.width:
        width += f" x {format_exactly(border.end_width, measure)}"
    return f"{border.role}: {width}" + (" mitred" * (border.corner is Corner.MITRED))


def _wish(wish: Wish) -> str:
    many = "any number" if wish.fabrics is None else f"{wish.fabrics} fabrics"
    return f"{wish.value or 'any'}, {many}"
