"""Where a layout comes from: a traditional one by its name, a file, or a text handed in."""

from pathlib import Path
from typing import Final

from stashkeeper.errors import BadRequestError, NotFoundError, quoted
from stashkeeper.quilts.layout_file import read_layout
from stashkeeper.quilts.layout_library import layout_text

MOST_BYTES: Final = 4_000_000
"""The largest layout file that is read (ours)."""


def read_source(typed: str) -> str:
    """Return the text of a layout file: a traditional one by its name, or a file by its.

    Raises:
        NotFoundError: there is no such layout, or the file cannot be read.
        BadFileError: the file holds mistakes; all are told with line and column.
    """
    file = Path(typed).expanduser()
    if not _looks_like_a_file(typed, file):
        return layout_text(typed)
    try:
        with file.open("rb") as opened:
            content = opened.read(MOST_BYTES + 1)
        text = content.decode("utf-8-sig")
    except (OSError, ValueError) as fault:
        why = fault.strerror if isinstance(fault, OSError) else "it is not a text file"
        raise NotFoundError(
            f"{quoted(typed)} cannot be read ({why}).",
            "Name a layout file, or a traditional layout such as pinwheel.",
        ) from fault
    if len(content) > MOST_BYTES:
        raise BadRequestError(
            f"{quoted(file.name)} is far too large to be a layout.", "Name a layout file."
        )
    return checked_layout(text, file.stem)


def text_of_layout(traditional: str, pasted: str) -> str | None:
    """Return the text of a layout chosen on a page; what was pasted goes first; None for neither.

    No file of this computer is opened for a page.

    Raises:
        NotFoundError: there is no traditional layout of that name.
        BadRequestError: what was pasted is far too large to be a layout.
    """
    if len(pasted) > MOST_BYTES:
        raise BadRequestError("This is far too large to be a layout.", "Paste the text of one.")
    if pasted.strip():
        return pasted
    return layout_text(traditional) if traditional.strip() else None


def checked_layout(text: str, name: str) -> str:
    """Return the text of a layout that reads well, with a name where it has none.

    Raises:
        BadFileError: it holds mistakes; all are told with line and column.
    """
    layout = read_layout(text, name)
    named = any(line.strip().casefold().startswith("layout:") for line in text.splitlines())
    return text if named else f"layout: {layout.name}\n{text}"


def _looks_like_a_file(typed: str, file: Path) -> bool:
    try:
        return file.suffix != "" or "/" in typed or "\\" in typed or file.is_file()
    except (OSError, ValueError):
        return False
