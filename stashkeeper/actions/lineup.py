"""A line-up: several fabrics side by side in one photo, split into strips, looked at, then kept."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.lineup_ties import tie_together
from stashkeeper.actions.lineup_view import ClosePair, LineUp, LineUpKept, Strip
from stashkeeper.actions.measuring import MeasuredPhoto, put_on_record, refuse_known
from stashkeeper.actions.reading_view import doubt_sentences
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.codes import normalise_code
from stashkeeper.catalogue.fabrics import fabric_by_id
from stashkeeper.catalogue.photo_files import checksum_of
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.cloth.reading import difference_uncertainty
from stashkeeper.errors import AlreadyThereError, BadRequestError, quoted
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.lineup import MOST, Split, find_split, parse_lines
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.region import WHOLE_FRAME, parse_crop

NOBODY = "-"
"""Typed in place of a code: this strip is of no fabric on the shelf."""


def propose(
    stash: Stash,
    file: Path,
    codes: Sequence[str] = (),
    *,
    lines: str | None = None,
    lying: bool = False,
    count: int | None = None,
    crop: str | None = None,
) -> LineUp:
    """Return how a photo of a line-up is split and ranked; nothing is written.

    Args:
        stash: the open stash.
        file: the photo.
        codes: of the pieces as they lie, "-" for one not on the shelf; empty only ranks.
        lines: how far across each line is, "0.05 0.3 0.52/0.54 0.9"; found where None.
        lying: whether those lines lie across the photo.
        count: how many fabrics there are, where no codes say it.
        crop: the part of the photo in which they lie.

    Raises:
        StashkeeperError: the photo is bad, there are more or fewer codes than strips, a code is
            unknown or stands twice, a fabric stands twice, or the lines cannot be read.
    """
    named = _named(stash, codes)
    wanted = _wanted(len(codes), count)

    def look() -> tuple[Split, tuple[MeasuredPhoto, ...]]:
        photo = open_photo(file)
        if lines is None:
            split = _found(photo, wanted, len(codes), crop)
        else:
            split = parse_lines(lines, lying=lying)
            _refuse_other_count(len(codes), split.count, "the lines make")
            _refuse_contradiction(count or split.count, split.count, "strips come of the lines")
        return split, _measured(photo, file, split)

    split, measured = in_turn(look)
    named = named or [("", "")] * split.count
    strips = tuple(map(_strip, range(1, split.count + 1), named, measured))
    ranked = sorted(strips, key=lambda strip: -strip.lightness)
    numbers = tuple(strip.number for strip in ranked)
    return LineUp(file.name, split, strips, numbers, tuple(_close(ranked)), file)


def keep(stash: Stash, seen: LineUp) -> LineUpKept:
    """Put a line-up on record, and tie it to others that share fabrics with it.

    Raises:
        StashkeeperError: the split is not sure and no lines were given, fewer than two strips bear
            a code, a part of the photo is on record for another fabric, or the stash cannot be
            written; then nothing was changed.
    """
    chosen = [strip for strip in seen.strips if strip.code]
    if not seen.sure:
        raise BadRequestError(
            f"The split of {quoted(seen.file_name)} is not sure: {'; '.join(seen.split.doubts)}.",
            "Look at it with --picture OUT.png, then give its lines with --lines.",
            on_page="Look at the lines, drag those that are wrong, then keep it.",
        )
    if len(chosen) < 2:
        raise BadRequestError(
            "Nobody said which fabrics these strips are.",
            f"Give the code of each from left to right, {NOBODY} for one that is not on the shelf.",
        )
    with stash.deed("lineup") as deed:
        pieces = pieces_by_codes(deed.session, [strip.code for strip in chosen])
        for piece, strip in zip(pieces, chosen, strict=True):
            fabric = fabric_by_id(deed.session, piece.fabric_id)
            refuse_known(deed, [strip.measured], but=fabric)
            put_on_record(stash, deed, [strip.measured], fabric, piece)
        tied = tie_together(deed, checksum_of(seen.file), seen.split)
        names = ", ".join(piece.code for piece in pieces)
        deed.summary = sentence = f"Kept a line-up of {len(pieces)} fabrics: {names}."
    return LineUpKept(tied.readings, tied.photos, tied.known, (sentence, *tied.sentences))


def _wanted(codes: int, typed: int | None) -> int | None:
    """Return the count of fabrics that was given, by their codes or as a number.

    Raises:
        BadRequestError: no line-up has so many, or the two do not agree.
    """
    count = codes or typed
    if codes and typed is not None:
        _refuse_contradiction(typed, codes, "codes were given")
    if count is not None and not 2 <= count <= MOST:
        raise BadRequestError(
            f"A line-up has 2 to {MOST} fabrics, not {count}.",
            "For a single fabric use `photo`; take more photos of fewer fabrics otherwise.",
            on_page="Add a single fabric by itself; take more photos of fewer fabrics otherwise.",
        )
    return count


def _named(stash: Stash, codes: Sequence[str]) -> list[tuple[str, str]]:
    """Return code and name of each strip.

    Raises:
        NotFoundError: a code is unknown.
        AlreadyThereError: a code or a fabric stands twice.
    """
    wanted = [code for code in codes if code != NOBODY]
    twice = [code for code in wanted if _times(code, wanted) > 1]
    if twice:
        raise AlreadyThereError(
            f"{twice[0]} stands in the line-up twice.",
            "Give each fabric once, in the order they lie.",
        )
    with stash.reading() as session:
        found = {}
        fabrics: dict[object, str] = {}
        for piece in pieces_by_codes(session, wanted):
            fabric = fabric_by_id(session, piece.fabric_id)
            first = fabrics.setdefault(fabric.id, piece.code)
            if first != piece.code:
                raise AlreadyThereError(
                    f"{first} and {piece.code} are pieces of one fabric, {quoted(fabric.name)}.",
                    f"Give {NOBODY} for one of them, or another code.",
                )
            found[piece.code] = piece.code, fabric.name
    return [found.get(normalise_code(code), ("", "")) for code in codes]


def _times(code: str, codes: Sequence[str]) -> int:
    return sum(normalise_code(code) == normalise_code(other) for other in codes)


def _found(photo: Photo, wanted: int | None, codes: int, crop: str | None) -> Split:
    """Return the split that the photo shows.

    Raises:
        BadRequestError: it surely shows another number of strips than there are codes.
    """
    part = WHOLE_FRAME if crop is None else parse_crop(crop)
    split = find_split(photo, wanted, part)
    if codes and not split.sure:
        free = find_split(photo, None, part)
        if free.sure:
            _refuse_other_count(codes, free.count, "the photo shows")
    return split


def _refuse_other_count(codes: int, strips: int, shown: str) -> None:
    if codes and codes != strips:
        more = (
            "Leave out those that are not in it"
            if codes > strips
            else f"Put {NOBODY} for a strip that is not on the shelf"
        )
        raise BadRequestError(
            f"{codes} codes were given, but {shown} {strips} strips.",
            f"{more}, or draw the lines yourself with --lines.",
            on_page=f"{more}, or move the lines.",
        )


def _refuse_contradiction(count: int, found: int, what: str) -> None:
    if count != found:
        raise BadRequestError(
            f"{count} fabrics were said to lie side by side, but {found} {what}.",
            "Leave the count out, or let it agree.",
        )


def _measured(photo: Photo, file: Path, split: Split) -> tuple[MeasuredPhoto, ...]:
    checksum = checksum_of(file)
    return tuple(
        MeasuredPhoto(
            file,
            checksum,
            photo.format,
            photo.width,
            photo.height,
            photo.exposure,
            measure(photo, crop),
        )
        for crop in split.crops()
    )


def _strip(number: int, named: tuple[str, str], measured: MeasuredPhoto) -> Strip:
    reading = measured.reading
    doubts = doubt_sentences(reading.doubts)
    return Strip(number, *named, reading.lightness, reading.uncertainty, doubts, measured)


def _close(ranked: Sequence[Strip]) -> Iterator[ClosePair]:
    for lighter, darker in pairwise(ranked):
        one, other = lighter.measured.reading, darker.measured.reading
        gap, uncertainty = one.lightness - other.lightness, difference_uncertainty(one, other)
        if gap < uncertainty:
            yield ClosePair(lighter.number, darker.number, gap, uncertainty)
