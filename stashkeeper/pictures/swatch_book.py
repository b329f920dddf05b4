"""The swatches of many fabrics, each photo opened once however many fabrics it shows."""

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.errors import StashkeeperError
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.region import Crop
from stashkeeper.pictures.swatch import Swatch, cut_swatch


@dataclass(frozen=True, slots=True)
class Wanted:
    """A swatch to be cut: by which key, from which photo and part of it, at which lightness."""

    key: str
    photo: Path
    crop: Crop
    lightness: float | None


Report = Callable[[int, int, str], None]
"""Called with how many photos are done, how many there are, and the name of the last one."""


def cut_swatches(
    wanted: Sequence[Wanted],
    size: tuple[int, int],
    report: Report = lambda _done, _of, _name: None,
) -> Mapping[str, Swatch]:
    """Return the swatches of `size` (width, height in pixels) by their keys.

    A photo that is missing or cannot be opened has no swatch: a sheet is drawn all the same.
    """
    by_photo: dict[Path, list[Wanted]] = {}
    for one in wanted:
        by_photo.setdefault(one.photo, []).append(one)
    # Pillow decodes and reduces outside the interpreter's lock, so threads use all cores.
    with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:
        cut = pool.map(lambda group: _from_one_photo(group, size), by_photo.values())
        swatches: dict[str, Swatch] = {}
        for done, found in enumerate(cut, start=1):
            swatches |= found
            report(done, len(by_photo), next(iter(found), ""))
        return swatches


def _from_one_photo(wanted: Sequence[Wanted], size: tuple[int, int]) -> dict[str, Swatch]:
    try:
        photo = open_photo(wanted[0].photo)
    except (StashkeeperError, OSError):
        return {}
    image = photo.image
    return {
        one.key: cut_swatch(image, one.crop.pixels(image.width, image.height), size, one.lightness)
        for one in wanted
    }
