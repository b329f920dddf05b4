"""What a form sent, read field by field; nothing typed is lost when something is wrong with it."""

from collections.abc import AsyncIterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Final, Self

from fastapi import Depends
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from stashkeeper.errors import BadRequestError, StashkeeperError
from stashkeeper.web.limits import FIELDS, FILES, FOLDER_FILES, FORM

BLANK: Final[Mapping[str, str]] = {}


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with a form: which field it is about (empty: the whole), and the sentences."""

    field: str
    problem: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Form:
    """The fields of a form, as typed.

    Attributes:
        typed: the text of every field, the last one where several bear one name.
        trouble: what is wrong with it; None while nothing is.
    """

    typed: Mapping[str, str] = field(default_factory=dict)
    trouble: Trouble | None = None
    _sent: FormData = field(default_factory=FormData, repr=False)

    def text(self, name: str) -> str:
        """Return a field, blanks at its ends taken off; empty where it was not sent."""
        return self.typed.get(name, "").strip()

    def given(self, name: str) -> str | None:
        """Return a field as `text`; None where it was left empty or not sent."""
        return self.text(name) or None

    def flag(self, name: str) -> bool:
        """Return whether a box was ticked."""
        return self.text(name) not in {"", "0", "no"}

    def many(self, name: str) -> tuple[str, ...]:
        """Return the text of every field of this name, empty ones left out."""
        texts = [one for one in self._sent.getlist(name) if isinstance(one, str)]
        return tuple(text.strip() for text in texts if text.strip())

    def files(self, name: str) -> tuple[UploadFile, ...]:
        """Return the files chosen in a field; they are gone when the request is answered."""
        return tuple(
            one
            for one in self._sent.getlist(name)
            if isinstance(one, UploadFile) and (one.filename or one.size)
        )

    def version(self) -> tuple[int, int] | None:
        """Return the versions of piece and fabric that a page showed; None where it sent none.

        Raises:
            BadRequestError: the field `version` is not two numbers with a dot between.
        """
        sent = self.given("version")
        if sent is None:
            return None
        piece, dot, fabric = sent.partition(".")
        numbers = (piece, fabric)
        if not dot or not all(one.isascii() and one.isdigit() and len(one) < 10 for one in numbers):
            raise BadRequestError(
                "The form lost its version on the way.", "Open the page again and repeat it."
            )
        return int(piece), int(fabric)

    def with_trouble(self, error: StashkeeperError, fields: Mapping[str, str] = BLANK) -> Self:
        """Return the form as it is shown again: all that was typed, and what is wrong.

        Args:
            error: what went wrong.
            fields: the field that an error is about, by the error's code: `{"bad-size": "size"}`.
        """
        about = fields.get(error.code, "")
        return type(self)(self.typed, Trouble(about, error.problem, error.on_page), self._sent)


async def read_form(request: Request) -> AsyncIterator[Form]:
    """Read the form of a request; its files are closed after the answer."""
    async with request.form(max_files=FILES, max_fields=FIELDS, max_part_size=FORM) as sent:
        yield Form({name: one for name, one in sent.items() if isinstance(one, str)}, None, sent)


async def read_folder(request: Request) -> AsyncIterator[Form]:
    """Read the form of a request that may bring a whole folder of photos."""
    async with request.form(max_files=FOLDER_FILES, max_fields=FIELDS, max_part_size=FORM) as sent:
        yield Form({name: one for name, one in sent.items() if isinstance(one, str)}, None, sent)


FolderForm = Annotated[Form, Depends(read_folder)]
"""A form with a folder of photos: the type of a parameter of its endpoint."""

SentForm = Annotated[Form, Depends(read_form)]
"""The form that a page was sent: the type of a parameter of its endpoint."""
