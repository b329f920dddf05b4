"""Folder intake: every photo of a folder, measured on all cores, a piece each.

Each photo is one deed. A process killed in the middle leaves whole pieces and nothing else; started
again, it passes over the regions that are on record and goes on.
"""

import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.intake_answer import Intake, Problem, TakenPiece
from stashkeeper.actions.measuring import MeasuredPhoto, measure_file, put_on_record, refuse_known
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import corners_text
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.catalogue.photos import corners_of_crop, regions_on_record
from stashkeeper.catalogue.pieces import PieceDetails, add_pieces
from stashkeeper.catalogue.places import place_at
from stashkeeper.errors import (
    AlreadyThereError,
    BadCropError,
    BadNameError,
    BadPhotoError,
    Mistake,
    NotFoundError,
)
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import TypedSize
from stashkeeper.luminance.naming import propose_name
from stashkeeper.luminance.region import WHOLE_LESS_MARGIN, Crop
from stashkeeper.transfer.photo_folder import find_photos
from stashkeeper.transfer.photo_matching import match_rows
from stashkeeper.transfer.photo_names import read_photo_name
from stashkeeper.transfer.size_list import SizeRow, read_size_list

Report = Callable[[int, int, str], None]
"""Called with how many photos are done, how many there are, and the name of the last one."""

OF_ONE_PHOTO: Final = (AlreadyThereError, BadCropError, BadNameError, BadPhotoError, NotFoundError)
"""What spoils one photo and not the intake."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What holds for every piece that says nothing of its own."""

    size: TypedSize | None
    at: str | None
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Job:
    """A photo, and the row of each piece in it."""

    photo: Path
    rows: tuple[SizeRow, ...]

    @property
    def crops(self) -> tuple[Crop, ...]:
        """The region of each row."""
        return tuple(row.crop or WHOLE_LESS_MARGIN for row in self.rows)


def intake(
    stash: Stash,
    folder: Path,
    *,
    sizes: Path | None = None,
    size: str | None = None,
    at: str | None = None,
    tags: Sequence[str] = (),
    report: Report = lambda _done, _of, _name: None,
    workers: int | None = None,
) -> Intake:
    """Take in the photos of a folder.

    Args:
        stash: the open stash.
        folder: looked through with the folders in it.
        sizes: a CSV list of sizes, names, places, crops; file names may hold sizes too.
        size: of the pieces that have none of their own.
        at: the place of those that have none of their own.
        tags: for all of them.
        report: is told after each photo.
        workers: threads that measure; as many as there are cores where None.

    Raises:
        NotFoundError: no such folder or list, or no photo in it.
        BadFileError, BadSizeError: the list is no list, or the usual size cannot be read.
        CannotWriteError, StashUnavailableError: the stash cannot be written; what was taken in
            before stays.
    """
    usual = Usual(parse_size(size, stash.measure) if size else None, at, tuple(tags))
    found = find_photos(folder)
    jobs, mistakes, left = _jobs(stash, folder, found.photos, sizes)
    taken: list[TakenPiece] = []
    problems: list[Problem] = []
    known = 0
    for done, (job, answer) in enumerate(_measured(stash, jobs, workers), start=1):
        try:
            fresh = answer.result()
            known += len(job.rows) - len(fresh)
            for row, photo in fresh:
                taken.append(_take_in(stash, row, photo, usual))
        except OF_ONE_PHOTO as error:
            problems.append(Problem(job.photo, error.problem, error.remedy))
        report(done, len(jobs), job.photo.name)
    return Intake(
        pieces=tuple(taken),
        known=known,
        problems=tuple(problems),
        mistakes=mistakes,
        left_out=left,
        passed_over=found.passed_over,
    )


def _jobs(
    stash: Stash, folder: Path, photos: Sequence[Path], sizes: Path | None
) -> tuple[list[Job], tuple[Mistake, ...], tuple[Path, ...]]:
    """Return what to measure, the mistakes of the list, and the photos left out for them.

    While a list has mistakes, a photo that no good row names waits: its row may be a bad one.
    """
    listed = read_size_list(sizes, stash.measure) if sizes else None
    matched = match_rows(listed.rows, folder, photos) if listed else None
    mistakes = (*listed.mistakes, *matched.mistakes) if listed and matched else ()
    rows = matched.by_photo if matched else {}
    left = tuple(photo for photo in photos if photo not in rows) if mistakes else ()
    waiting = set(left)
    jobs = [
        Job(photo, rows.get(photo) or (_row_of_name(stash, photo),))
        for photo in photos
        if photo not in waiting
    ]
    return jobs, tuple(sorted(mistakes, key=lambda mistake: mistake.line)), left


def _row_of_name(stash: Stash, photo: Path) -> SizeRow:
    told = read_photo_name(photo, stash.measure)
    return SizeRow(line=0, photo=photo.name, size=told.size, name=told.name)


Fresh = list[tuple[SizeRow, MeasuredPhoto]]


def _measured(
    stash: Stash, jobs: Sequence[Job], workers: int | None
) -> Iterator[tuple[Job, "Future[Fresh]"]]:
    """Yield each job with what was measured in it, in order, a few photos ahead of the reader.

    Decoding and counting let other threads run, so threads are enough to use all cores.
    """
    with stash.reading() as session:
        known = regions_on_record(session)
    workers = workers or os.cpu_count() or 1
    waiting: deque[tuple[Job, Future[Fresh]]] = deque()
    pool = ThreadPoolExecutor(workers)
    try:
        for job in jobs:
            waiting.append((job, pool.submit(_measure, job, known)))
            if len(waiting) > 2 * workers:
                yield waiting.popleft()
        while waiting:
            yield waiting.popleft()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _measure(job: Job, known: set[tuple[str, str]]) -> Fresh:
    """Measure the rows of a photo that are not on record yet."""
    checksum = checksum_of(job.photo)
    fresh = [
        (row, crop)
        for row, crop in zip(job.rows, job.crops, strict=True)
        if (checksum, _stored(crop)) not in known
    ]
    if not fresh:
        return []
    photos = measure_file(job.photo, [crop for _, crop in fresh])
    return [(row, photo) for (row, _), photo in zip(fresh, photos, strict=True)]


def _stored(crop: Crop) -> str:
    return corners_text(corners_of_crop(crop.left, crop.top, crop.right, crop.bottom))


def _take_in(stash: Stash, row: SizeRow, photo: MeasuredPhoto, usual: Usual) -> TakenPiece:
    """Put one piece on record with its photo: one deed."""
    name = row.name or propose_name(photo.reading)
    with stash.deed("intake") as deed:
        refuse_known(deed, [photo])
        tags = (*row.tags, *usual.tags)
        fabric = add_fabric(deed, name=name, tags=tags)
        pieces = add_pieces(deed, fabric, row.count, **_details(deed, row, usual))
        put_on_record(stash, deed, [photo], fabric)
        deed.summary = f"Took in {titled(pieces[0].code, fabric.name)} from {photo.path.name}."
    return TakenPiece(
        pieces[0].code, fabric.name, photo.path.name, row.count, pieces[0].width is not None,
        photo.reading.lightness, family_of(photo.reading), photo.measurement.doubts,
    )  # fmt: skip


def _details(deed: Deed, row: SizeRow, usual: Usual) -> PieceDetails:
    typed = row.size or usual.size
    at = row.place or usual.at
    details: PieceDetails = {
        "squared": bool(row.squared),
        "washed": bool(row.washed),
        "notes": row.note or "",
        "place": place_at(deed, at) if at else None,
    }
    if typed is not None:
        details["size"] = typed.size
        details["basis"] = row.basis or typed.basis or Basis.MEASURED
        details["selvedges"] = typed.selvedges
    return details
