"""Remarks: how sure a choice is, and how near the shelf gets where it cannot do better."""

from collections.abc import Iterator

import numpy as np

from stashkeeper.choosing.choice import Choice
from stashkeeper.choosing.shelf import Shelf
from stashkeeper.luminance.contrast import TOO_CLOSE


def remarks(shelf: Shelf, best: Choice) -> tuple[str, ...]:
    """Return what else a person should know about the best choice, in sentences."""
    return (*_nearness(best), *_certainty(best), *_colours(shelf, best))


def _nearness(best: Choice) -> Iterator[str]:
    where = "between the groups" if best.inside is None else "inside every set"
    if best.aim is None:
        yield "Only one value is asked for, so there is no gap to widen."
        return
    if best.aim < TOO_CLOSE:
        yield (
            f"This is as near as the shelf gets: a gap of {best.aim:.1f} {where}. "
            "That is weak, and the values will run together."
        )
    if best.inside is not None and best.gap is not None and best.gap < TOO_CLOSE:
        near = f"overlap by {-best.gap:.1f}" if best.gap < 0 else f"come within {best.gap:.1f}"
        yield (
            f"Taken over all sets together, neighbouring groups {near}; "
            "inside every set they stay apart."
        )
    if not best.proven and best.bound is not None:
        yield (
            f"A gap of {best.aim:.1f} is the best found; "
            f"more than {best.bound:.1f} is surely not to be had."
        )


def _certainty(best: Choice) -> Iterator[str]:
    provisional = [one.codes[0] for one in best.chosen if one.reading.provisional]
    if best.all_provisional:
        yield (
            "Every lightness here is provisional, from photos with nothing of known lightness in "
            "them: photograph the chosen fabrics side by side before you cut."
        )
    elif provisional:
        yield f"Provisional, from a photo alone: {', '.join(provisional)}."
    if not best.cuts_proven:
        yield (
            "Where several sizes come out of the same cloth, no cutting plan has proven yet that "
            "all of them do."
        )


def _colours(shelf: Shelf, best: Choice) -> Iterator[str]:
    unknown = int(np.sum([family is None for family in shelf.families]))
    if best.inside is not None and unknown:
        fabrics = "1 fabric has" if unknown == 1 else f"{unknown} fabrics have"
        yield f"{fabrics} no known colour and could join no set."
