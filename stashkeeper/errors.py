"""One family of errors, each made for a person to read.

Every error is one sentence on what is wrong, one on what to do next, and a short code that the
manual explains (docs/reference/errors.md is written from the docstrings below). Faces turn them
into an exit status or an HTTP status in one place each; nothing below a face prints.
"""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar


def quoted(text: str, longest: int = 40) -> str:
    """Return what a person typed, in quotation marks and fit for one line of a sentence.

    Text over `longest` characters is shortened at its end, and signs that cannot be seen or that
    turn the line around (control, format, bidirectional, unpaired surrogates) are spelled out.
    """
    shown = text if len(text) <= longest else text[: longest - 1] + "…"
    return f"“{''.join(_visible(sign) for sign in shown)}”"


def _visible(sign: str) -> str:
    category = unicodedata.category(sign)
    hidden = category.startswith("C") or category in {"Zl", "Zp"}
    return f"<U+{ord(sign):04X}>" if hidden else sign


class StashkeeperError(Exception):
    """Something a person can put right.

    Attributes:
        code: a short, stable name for this kind of error, explained in the manual.
        http_status: the status a page answers with.
        problem: one sentence: what is wrong.
        remedy: one sentence: what to do next.
        on_page: the same for a page, where nobody types commands; the remedy unless given.
    """

    code: ClassVar[str] = "error"
    http_status: ClassVar[int] = 400

    def __init__(self, problem: str, remedy: str, *, on_page: str | None = None) -> None:
        super().__init__(f"{problem} {remedy}")
        self.problem = problem
        self.remedy = remedy
        self.on_page = on_page or remedy


class BadSizeError(StashkeeperError):
    """A size or length could not be read, or is not one that cloth can have."""

    code = "bad-size"


class BadCropError(StashkeeperError):
    """A crop is not four fractions left,top,right,bottom between 0 and 1 that leave some cloth."""

    code = "bad-crop"


class BadPhotoError(StashkeeperError):
    """A photo cannot be opened, is cut off, is no photo at all, or is too large to be one."""

    code = "bad-photo"


class BadReferenceError(StashkeeperError):
    """The card, chart, paper or record that should set a photo right cannot do it."""

    code = "bad-reference"


class BadLightnessError(StashkeeperError):
    """A lightness is not a number from 0 (black) to 100 (white)."""

    code = "bad-lightness"


class BadNameError(StashkeeperError):
    """A name, tag or note is empty, too long, or holds signs that cannot be shown."""

    code = "bad-name"


class BadCutError(StashkeeperError):
    """A cut is not one that can be planned: its count, its size, or a name used twice."""

    code = "bad-cut"


@dataclass(frozen=True, slots=True)
class Smaller:
    """What the cloth at hand gives all of, where it does not give what was asked for.

    Attributes:
        size: of the longest finished side, or of a project's units, in words: 5½ in.
        cuts: to be asked for instead, as a person types them.
        unit: of the project, as a person types it; empty where no project is to change.
        commands: what to type for it.
    """

    size: str
    cuts: tuple[str, ...]
    unit: str
    commands: tuple[str, ...]


class NoPlanError(StashkeeperError):
    """The cloth at hand does not give everything that was asked for.

    Attributes:
        smaller: what it would give instead; None where nothing is known.
    """

    code = "no-plan"
    http_status = 409

    def __init__(self, problem: str, remedy: str, smaller: Smaller | None = None) -> None:
        super().__init__(problem, remedy)
        self.smaller = smaller


class NoChoiceError(StashkeeperError):
    """The shelf cannot fill every role with the values in order; it says how near it gets.

    Attributes:
        nearest: in sentences, how much of each role the shelf gives.
        cuts: what the fabric must give that the remedy calls missing: how many of which size.
    """

    code = "no-choice"
    http_status = 409

    def __init__(
        self,
        problem: str,
        remedy: str,
        nearest: Sequence[str] = (),
        cuts: Sequence[tuple[int, object]] = (),
    ) -> None:
        super().__init__(problem, remedy)
        self.nearest = tuple(nearest)
        self.cuts = tuple(cuts)


class UnprovenPlanError(StashkeeperError):
    """A plan did not pass its proof, so it is not shown: cloth does not grow back."""

    code = "unproven-plan"
    http_status = 500


class BadSearchError(StashkeeperError):
    """A search word has the form `key:value`, but the value is not one the key takes."""

    code = "bad-search"


class BadSettingError(StashkeeperError):
    """A setting does not exist, or its value is not one it takes."""

    code = "bad-setting"


class BadRequestError(StashkeeperError):
    """The words typed do not go together, or one that is needed is missing."""

    code = "bad-request"


class NotFoundError(StashkeeperError):
    """No piece, place, file or folder answers to what was typed."""

    code = "not-found"
    http_status = 404


class AlreadyThereError(StashkeeperError):
    """The very same thing is on record already, so nothing was added a second time."""

    code = "already-there"
    http_status = 409


class ChangedMeanwhileError(StashkeeperError):
    """Somebody else changed the same row after it was read; nothing was overwritten."""

    code = "changed-meanwhile"
    http_status = 409


class CannotUndoError(StashkeeperError):
    """There is nothing to undo, or something later was built on what would be undone."""

    code = "cannot-undo"
    http_status = 409


class NewerStashError(StashkeeperError):
    """The stash was written by a newer Stashkeeper, and this one leaves it alone."""

    code = "newer-stash"
    http_status = 503


class StashUnavailableError(StashkeeperError):
    """The stash cannot be opened: the database does not answer, is damaged, or is busy."""

    code = "stash-unavailable"
    http_status = 503


class CannotWriteError(StashkeeperError):
    """A file or folder cannot be written: no permission, a read-only place, or a full disk."""

    code = "cannot-write"
    http_status = 507


class NotLetInError(StashkeeperError):
    """A page was asked for by a device that is not let in, or from a page that is not ours."""

    code = "not-let-in"
    http_status = 403


class TooManyTriesError(StashkeeperError):
    """Too many wrong keys came from one device of the home network."""

    code = "too-many-tries"
    http_status = 429


class TooLargeError(StashkeeperError):
    """What was sent to a page is larger than it takes; nothing of it was kept."""

    code = "too-large"
    http_status = 413


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake of a file: its line number (from 1; 0 for the file as a whole) and a sentence."""

    line: int
    text: str


class BadFileError(StashkeeperError):
    """A file holds mistakes; all of them are told at once, each with its line number.

    Attributes:
        mistakes: every mistake found, in line order.
    """

    code = "bad-file"

    def __init__(
        self,
        problem: str,
        remedy: str,
        mistakes: Sequence[Mistake] = (),
        *,
        on_page: str | None = None,
    ) -> None:
        super().__init__(problem, remedy, on_page=on_page)
        self.mistakes = tuple(mistakes)
