"""What an intake has to do: each photo with the rows of the list that speak of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from stashkeeper.actions.stash import Stash
from stashkeeper.errors import Mistake
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop
from stashkeeper.transfer.photo_matching import match_rows
from stashkeeper.transfer.photo_names import read_photo_name
from stashkeeper.transfer.size_list import SizeRow, read_size_list


@dataclass(frozen=True, slots=True)
class Job:
    """A photo, and the row of each piece in it."""

    photo: Path
    rows: tuple[SizeRow, ...]

    @property
    def crops(self) -> tuple[Crop, ...]:
        """The region of each row."""
        return tuple(row.crop or WHOLE_LESS_MARGIN for row in self.rows)


def jobs_of(
    stash: Stash, folder: Path, photos: Sequence[Path], sizes: Path | None
) -> tuple[list[Job], tuple[Mistake, ...], tuple[Path, ...]]:
    """Return what to measure, the mistakes of the list, and the photos left out for them.

    While a list has mistakes, a photo that no good row names waits: its row may be a bad one.

    Raises:
        NotFoundError, BadFileError: the list is not there, or is no list.
    """
    listed = read_size_list(sizes, stash.measure) if sizes else None
    matched = match_rows(listed.rows, folder, photos) if listed else None
    mistakes = (*listed.mistakes, *matched.mistakes) if listed and matched else ()
    rows = matched.by_photo if matched else {}
    left = tuple(photo for photo in photos if photo not in rows) if mistakes else ()
    waiting = set(left)
    jobs = [
        Job(photo, _rows_of(stash, photo, rows.get(photo, ())))
        for photo in photos
        if photo not in waiting
    ]
    jobs = _size_first(jobs)
    return jobs, tuple(sorted(mistakes, key=lambda mistake: mistake.line)), left


def _rows_of(stash: Stash, photo: Path, listed: Sequence[SizeRow]) -> tuple[SizeRow, ...]:
    """Return a photo's rows; what a lone one leaves open, the file's name may tell."""
    told = read_photo_name(photo, stash.measure)
    if not listed:
        return (SizeRow(line=0, photo=photo.name, size=told.size, name=told.name),)
    if len(listed) > 1:
        return tuple(listed)
    (row,) = listed
    return (replace(row, size=row.size or told.size, name=row.name or told.name),)


def _size_first(jobs: Sequence[Job]) -> list[Job]:
    """Let the first row of each name of the list be the one that tells of the piece.

    Photos are taken in by file name, so that the row with the size may come second: then the two
    change photos.
    """
    sized: dict[str, SizeRow] = {}
    for row in (row for job in jobs for row in job.rows):
        if row.line and row.name and row.size:
            sized.setdefault(row.name.casefold(), row)
    told: set[str] = set()

    def settled(row: SizeRow) -> SizeRow:
        name = (row.name or "").casefold()
        teller = sized.get(name) if row.line else None
        if teller is None:
            return row
        if name not in told:
            told.add(name)
            return replace(teller, photo=row.photo, crop=row.crop)
        return replace(row, size=None) if row is teller else row

    return [Job(job.photo, tuple(map(settled, job.rows))) for job in jobs]
