"""The bound for sets: how many the colour families may give, at most."""

from collections.abc import Mapping, Sequence

import numpy as np

from stashkeeper.choosing.chains import Band, most_may
from stashkeeper.choosing.kept_set import completed
from stashkeeper.choosing.set_kinds import WHOLE_SHELF, Kind
from stashkeeper.choosing.shelf import Whole


class SetBound:
    """What no choice of sets can exceed."""

    def __init__(self, light: Whole, family: Whole, families: int, kinds: Sequence[Kind]) -> None:
        self._light, self._family, self._families = light, family, families
        self._kinds = kinds

    def may(self, gap: int) -> bool:
        """Tell whether sets with this gap inside may exist; never wrong when it says no."""
        for kind in self._kinds:
            if kind.sets[0].kept:
                able = self._family == kind.family
                if completed(self._light, able, kind.sets[0], gap, loose=True) is None:
                    return False
        return self._enough(gap)

    def room_for(self, gap: int, names: Sequence[str]) -> Mapping[str, int]:
        """Return how many sets of the easiest kind each family gives at most, by itself."""
        kind = self._kinds[-1]
        return {
            name: most_may(
                self._light, kind.bands(self._family == number, WHOLE_SHELF, loose=True), gap
            )
            for number, name in enumerate(names)
        }

    def _enough(self, gap: int) -> bool:
        """Tell whether the families may give so many sets: each kind alone, and all together."""
        plain = [kind for kind in self._kinds if not kind.sets[0].kept]
        for kind in plain:
            wanted = len(kind.sets)
            for number in range(self._families) if kind.family is None else [kind.family]:
                bands = kind.bands(self._family == number, WHOLE_SHELF, loose=True)
                wanted -= most_may(self._light, bands, gap, wanted)
                if wanted <= 0:
                    break
            if wanted > 0:
                return False
        return len(plain) < 2 or self._together(plain, gap)

    def _together(self, kinds: Sequence[Kind], gap: int) -> bool:
        """Tell whether all kinds may be served at once, if each asked as little as the least."""
        values = [{grade.value for grade in kind.grades} for kind in kinds]
        if any(one != values[0] for one in values):
            return True
        wanted = sum(len(kind.sets) for kind in kinds)
        for number in range(self._families):
            here = self._family == number
            bands = [
                Band(
                    np.unique(np.concatenate([band.fabrics for band in some])),
                    min(band.count for band in some),
                )
                for some in zip(
                    *(kind.bands(here, WHOLE_SHELF, loose=True) for kind in kinds), strict=True
                )
            ]
            wanted -= most_may(self._light, bands, gap, wanted)
            if wanted <= 0:
                return True
        return False
