"""A photo that a page looks at before anything of it is on record: laid ready, shown, forgotten.

It waits in the folder of incoming photos, under its checksum, and is thrown away after a day; the
page's address names only the checksum.
"""

import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.swatches import PHOTO_WIDTHS, Picture
from stashkeeper.catalogue.photo_files import checksum_of, kept_photo
from stashkeeper.catalogue.photos import photo_by_checksum
from stashkeeper.errors import BadRequestError, CannotWriteError, NotFoundError
from stashkeeper.luminance.decode import open_photo
from stashkeeper.pictures.web_pictures import draw_web_photo

_KEY: Final = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class AtHand:
    """A photo laid ready.

    Attributes:
        key: its checksum, by which pages name it.
        file: where it lies, under the name its person gave it.
    """

    key: str
    file: Path


def lay_ready(stash: Stash, files: Sequence[Path], chosen: str = "") -> AtHand:
    """Lay the photo that was sent ready, or else the one on record that was chosen.

    Args:
        stash: the open stash.
        files: what was sent; the first counts.
        chosen: the checksum of a photo on record; it counts where nothing was sent.

    Raises:
        BadRequestError: there is neither.
        BadPhotoError: what was sent is no photo.
        NotFoundError: the photo chosen is not there.
        CannotWriteError: it cannot be laid ready.
    """
    if not files and not chosen:
        raise BadRequestError("No photo was given.", "Choose one.")
    if not files:
        return at_hand(stash, chosen)
    sent = files[0]
    in_turn(lambda: open_photo(sent))
    key = checksum_of(sent)
    return AtHand(key, _laid(stash, key, sent, sent.name))


def at_hand(stash: Stash, key: str) -> AtHand:
    """Return a photo that was laid ready, or that is on record.

    Raises:
        NotFoundError: it is neither, or no longer.
        CannotWriteError: it cannot be laid ready.
    """
    if _KEY.fullmatch(key):
        ready = sorted(_room(stash, key).glob("*"))
        if ready:
            return AtHand(key, ready[0])
        with stash.reading() as session:
            photo = photo_by_checksum(session, key)
            known = photo and (photo.format, photo.file_name)
        if known:
            file = kept_photo(stash.home, key, known[0])
            return AtHand(key, _laid(stash, key, file, known[1] or file.name))
    raise NotFoundError(
        "This photo is not here any more.", "Choose it again.", on_page="Choose it again."
    )


def picture_at_hand(stash: Stash, key: str, width: int) -> Picture:
    """Return a photo at hand for a page, whole and upright.

    Args:
        stash: the open stash.
        key: its checksum.
        width: one of `PHOTO_WIDTHS`.

    Raises:
        NotFoundError: no such photo or width.
        BadPhotoError: it cannot be opened any more.
    """
    if width not in PHOTO_WIDTHS:
        raise NotFoundError("There is no such photo here.", "Look at the shelf.")
    file = at_hand(stash, key).file
    return Picture(in_turn(lambda: draw_web_photo(file, width)), lasting=True)


def _room(stash: Stash, key: str) -> Path:
    return stash.home / "incoming" / key


def _laid(stash: Stash, key: str, file: Path, name: str) -> Path:
    """Return the photo as it lies ready; it is linked where the disk can, else copied."""
    path = _room(stash, key) / name
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not path.exists():
            try:
                path.hardlink_to(file)
            except OSError:
                shutil.copyfile(file, path)
    except OSError as fault:
        raise CannotWriteError(
            f"The photo could not be laid ready ({fault.strerror}).",
            "Free some space on the computer, or make the stash folder writable, and try again.",
        ) from fault
    return path
