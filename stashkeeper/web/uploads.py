"""Photos of a form on their way into an action."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from stashkeeper.actions.incoming import Upload, received
from stashkeeper.actions.stash import Stash
from stashkeeper.web.forms import Form
from stashkeeper.web.limits import PHOTO


@contextmanager
def photos_of(stash: Stash, form: Form, name: str = "photo") -> Iterator[list[Path]]:
    """Lay the photos of a field into files while the block runs.

    Raises:
        TooLargeError, CannotWriteError: as `received`.
    """
    uploads = [Upload(sent.filename or "photo", sent.file) for sent in form.files(name)]
    with received(stash, uploads, PHOTO) as photos:
        yield photos
