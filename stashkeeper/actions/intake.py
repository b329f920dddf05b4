"""Folder intake: every photo of a folder, measured on all cores, a piece each.

Each photo is one deed. A process killed in the middle leaves whole pieces and nothing else; started
again, it passes over the regions that are on record and goes on.
"""

import os
import uuid
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stashkeeper.actions.intake_answer import Intake, Problem, TakenPiece
from stashkeeper.actions.intake_jobs import Job, jobs_of
from stashkeeper.actions.measuring import MeasuredPhoto, measure_file, put_on_record, refuse_known
from stashkeeper.actions.piece_view import titled
from stashkeeper.actions.reading_view import family_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import corners_text
from stashkeeper.catalogue.fabrics import add_fabric, fabric_by_id
from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.names import clean_tags
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.catalogue.photos import corners_of_crop, regions_on_record
from stashkeeper.catalogue.pieces import PieceDetails, add_pieces, pieces_of
from stashkeeper.catalogue.places import names_of, place_at
from stashkeeper.errors import (
    AlreadyThereError,
    BadCropError,
    BadNameError,
    BadPhotoError,
    NotFoundError,
)
from stashkeeper.lengths.basis import Basis
from stashkeeper.lengths.parse import parse_piece_size
from stashkeeper.lengths.size import TypedSize
from stashkeeper.luminance.naming import propose_name
from stashkeeper.luminance.region import Crop
from stashkeeper.transfer.photo_folder import find_photos
from stashkeeper.transfer.size_list import SizeRow

Report = Callable[[int, int, str], None]
"""Called with how many photos are done, how many there are, and the name of the last one."""

OF_ONE_PHOTO: Final = (AlreadyThereError, BadCropError, BadNameError, BadPhotoError, NotFoundError)
"""What spoils one photo, or one row of it, and not the intake."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What holds for every piece that says nothing of its own."""

    size: TypedSize | None
    at: str | None
    tags: tuple[str, ...]


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
        size: of the pieces that have none of their own; `at` likewise.
        at: the place.
        tags: for all of them.
        report: is told after each photo.
        workers: threads that measure; as many as there are cores where None.

    Raises:
        NotFoundError, BadFileError: of the folder or the list.
        BadSizeError, BadNameError: of what is usual.
        CannotWriteError, StashUnavailableError: what was taken in before stays.
    """
    usual = usual_of(stash, size, at, tags)
    found = find_photos(folder)
    jobs, mistakes, left = jobs_of(stash, folder, found.photos, sizes)
    so_far = _recorded(stash, jobs, usual, report, workers)
    return Intake(
        pieces=tuple(so_far.taken),
        known=so_far.known,
        problems=tuple(so_far.problems),
        mistakes=mistakes,
        left_out=left,
        passed_over=found.passed_over,
    )


def _recorded(
    stash: Stash, jobs: Sequence[Job], usual: Usual, report: Report, workers: int | None
) -> "_SoFar":
    """Put the jobs on record one by one, and return what came of them."""
    so_far = _SoFar({}, [], [])
    for done, (job, answer) in enumerate(_measured(stash, jobs, workers), start=1):
        rows: Answers = []
        with so_far.going_on_after(job.photo):
            rows = answer.result()
        for one in rows:
            with so_far.going_on_after(job.photo):
                _record(stash, one, usual, so_far)
        report(done, len(jobs), job.photo.name)
    return so_far


def usual_of(stash: Stash, size: str | None, at: str | None, tags: Sequence[str]) -> Usual:
    """Read what holds for all; a mistake in it is told once, not with every photo.

    Raises:
        BadSizeError, BadNameError: a word cannot be read.
    """
    if at:
        names_of(at)
    return Usual(parse_piece_size(size, stash.measure) if size else None, at, clean_tags(tags))


@dataclass(slots=True)
class _SoFar:
    """An intake under way: the fabrics that bear a name of the list, and what came of the rows."""

    fabrics: dict[str, uuid.UUID]
    taken: list[TakenPiece]
    problems: list[Problem]
    known: int = 0

    @contextmanager
    def going_on_after(self, photo: Path) -> Iterator[None]:
        """Note what spoils a photo, or one row of it, and go on with the next."""
        try:
            yield
        except OF_ONE_PHOTO as error:
            self.problems.append(Problem(photo, error.problem, error.remedy))

    def remember(self, row: SizeRow, fabric: uuid.UUID) -> None:
        """Remember which fabric bears a name of the list: a name given twice is one fabric."""
        if row.line and row.name:
            self.fabrics.setdefault(row.name.casefold(), fabric)

    def fabric_of(self, row: SizeRow) -> uuid.UUID | None:
        """Return the fabric that an earlier row of the list gave the same name."""
        return self.fabrics.get(row.name.casefold()) if row.line and row.name else None


@dataclass(frozen=True, slots=True)
class Known:
    """A row whose region is on record already, and the fabric it shows."""

    row: SizeRow
    fabric: uuid.UUID


@dataclass(frozen=True, slots=True)
class Fresh:
    """A row whose region was measured now."""

    row: SizeRow
    photo: MeasuredPhoto


Answers = list[Known | Fresh]


def _measured(
    stash: Stash, jobs: Sequence[Job], workers: int | None
) -> Iterator[tuple[Job, "Future[Answers]"]]:
    """Yield each job with what was measured in it, in order, a few photos ahead of the reader.

    Decoding and counting let other threads run, so threads are enough to use all cores.
    """
    with stash.reading() as session:
        known = regions_on_record(session)
    workers = workers or os.cpu_count() or 1
    waiting: deque[tuple[Job, Future[Answers]]] = deque()
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


def _measure(job: Job, on_record: Mapping[tuple[str, str], uuid.UUID]) -> Answers:
    """Measure the rows of a photo that are not on record yet; a photo that is, is not decoded."""
    checksum = checksum_of(job.photo)
    fabrics = [on_record.get((checksum, _stored(crop))) for crop in job.crops]
    fresh = [crop for crop, fabric in zip(job.crops, fabrics, strict=True) if fabric is None]
    photos = iter(measure_file(job.photo, fresh, checksum) if fresh else [])
    return [
        Known(row, fabric) if fabric is not None else Fresh(row, next(photos))
        for row, fabric in zip(job.rows, fabrics, strict=True)
    ]


def _stored(crop: Crop) -> str:
    return corners_text(corners_of_crop(crop.left, crop.top, crop.right, crop.bottom))


def _record(stash: Stash, one: "Known | Fresh", usual: Usual, so_far: _SoFar) -> None:
    """Put one row on record, unless it is there already."""
    if isinstance(one, Known):
        so_far.known += 1
        so_far.remember(one.row, one.fabric)
    else:
        so_far.taken.append(_take_in(stash, one, usual, so_far))


def _take_in(stash: Stash, one: Fresh, usual: Usual, so_far: _SoFar) -> TakenPiece:
    """Put one piece on record with its photo: one deed.

    A further row of the list with the name of an earlier one is one more photo of that fabric,
    and one more piece of it where it gives a size.
    """
    row, photo = one.row, one.photo
    known = so_far.fabric_of(row)
    with stash.deed("intake") as deed:
        _refuse_a_copy(deed, photo)
        if known is None:
            name = row.name or propose_name(photo.reading)
            fabric = add_fabric(deed, name=name, tags=(*row.tags, *usual.tags))
        else:
            fabric = fabric_by_id(deed.session, known)
        if known is None or row.size:
            pieces = add_pieces(deed, fabric, row.count, **_details(deed, row, usual))
        else:
            pieces = pieces_of(deed.session, fabric.id)
        put_on_record(stash, deed, [photo], fabric)
        deed.summary = f"Took in {titled(pieces[0].code, fabric.name)} from {photo.path.name}."
    so_far.remember(row, fabric.id)
    return TakenPiece(
        code=pieces[0].code,
        name=fabric.name,
        photo=photo.path.name,
        count=row.count,
        sized=pieces[0].width is not None,
        lightness=photo.reading.lightness,
        colour_family=family_of(photo.reading),
        doubts=photo.measurement.doubts,
    )


def _refuse_a_copy(deed: Deed, photo: MeasuredPhoto) -> None:
    """Refuse a photo that lies in the folder twice, in words for somebody taking in a folder."""
    try:
        refuse_known(deed, [photo])
    except AlreadyThereError as known:
        raise AlreadyThereError(
            known.problem,
            "It is a copy of the very same photo; for another fabric in it, give each a crop "
            "in the list of sizes.",
        ) from None


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
