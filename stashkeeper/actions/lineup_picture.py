"""The split of a line-up as a picture, to be looked at before it is kept."""

import io
from pathlib import Path

from PIL import Image

from stashkeeper.actions.decoding import in_turn
from stashkeeper.actions.lineup_view import LineUp
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.luminance.decode import open_photo
from stashkeeper.pictures.lineup import Points, draw_lineup
from stashkeeper.whole_file import write_whole

KINDS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG"}


def lineup_picture(seen: LineUp, out: Path) -> tuple[str, ...]:
    """Draw the split of a line-up over its photo, write it to a file and tell where it is.

    Raises:
        BadRequestError: the file's name does not end in .png or .jpg.
        CannotWriteError: it cannot be written; what was there stays.
    """
    kind = KINDS.get(out.suffix.lower())
    if kind is None:
        raise BadRequestError(
            f"{quoted(out.name)} does not end in .png or .jpg.", "Name it like split.png."
        )
    file = io.BytesIO()
    drawn_over(seen).save(file, kind)
    write_whole(out, [file.getvalue()])
    return (f"Drew the split: {out}",)


def drawn_over(seen: LineUp) -> Image.Image:
    """Return the photo of a line-up with its split drawn over it."""
    photo = in_turn(lambda: open_photo(seen.file).image)
    lines: list[Points] = []
    for line in seen.split.lines:
        ends = (line.start, 0.0), (line.end, 1.0)
        lines.append(tuple((y, x) for x, y in ends) if seen.split.lying else ends)
    parts = [crop.corners for crop in seen.split.crops()]
    names = [f"{strip.number} {strip.code}".strip() for strip in seen.strips]
    return draw_lineup(photo, lines, parts, names)
