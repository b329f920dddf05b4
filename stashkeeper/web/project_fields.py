"""The fields of a form that say what becomes of a layout, read into words for the actions."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.web.forms import BLANK, Form
from stashkeeper.web.piece_fields import whole_number

CARRIED: Final = ("layout", "unit", "columns", "rows", "turn", "mirror", "exchange")
"""What is kept where a layout that was looked at becomes a project."""

FITTED: Final = ("unit", "columns", "rows", "borders")
"""What a fit changes."""

TURNS: Final = (
    ("0", "as drawn"), ("1", "a quarter turn"), ("2", "half a turn"), ("3", "three quarter turns"),
)  # fmt: skip
HALF_SQUARES: Final = (("2", "two at a time"), ("4", "four at a time"), ("8", "eight at a time"))
GEESE: Final = (("1", "one at a time"), ("4", "four at a time"))


@dataclass(frozen=True, slots=True)
class Changed:
    """What a form says otherwise than its fields said before.

    Attributes:
        form: as sent.
        was: what stood in each field; nothing for a new project.
    """

    form: Form
    was: Mapping[str, str] = field(default_factory=dict)

    def given(self, name: str) -> str | None:
        """Return a field; None where it is empty or as it was."""
        said = self.form.given(name)
        return None if said == self.was.get(name) else said

    def text(self, name: str) -> str | None:
        """Return a field as `given`, but `none` where it was emptied."""
        said = self.form.text(name)
        return None if said == self.was.get(name, "") else said or "none"

    def lines(self, name: str) -> tuple[str, ...]:
        """Return the lines of a field; none where they are as they were, `none` if emptied."""
        said = tuple(line.strip() for line in self.form.text(name).splitlines() if line.strip())
        return () if said == tuple(self.was.get(name, "").splitlines()) else said or ("none",)

    def number(self, name: str, what: str) -> int | None:
        """Return a whole number; None where the field is empty or as it was."""
        return whole_number(self.given(name), what, 9)

    def flag(self, name: str) -> bool | None:
        """Return whether a box is ticked; None where it is as it was."""
        now = self.form.flag(name)
        return None if now == bool(self.was.get(name)) else now

    def between(self) -> str | None:
        """Return the role between blocks on point; emptied, it is that of the triangles."""
        if self.form.given("between") or not self.was.get("between"):
            return self.given("between")
        return self.form.given("on_point")

    def cornerstones(self) -> str | None:
        """Return the role of cornerstones; where the sashing goes, they go with it."""
        sashed = self.form.given("sash") is not None
        return self.text("cornerstones") if sashed else self.given("cornerstones")


def begun_fields(sent: Mapping[str, str]) -> dict[str, str]:
    """Return the fields of a new project from what pages of layouts, previews and fits send."""
    names = (*CARRIED, "borders", "layout_text")
    kept = {name: sent[name] for name in names if sent.get(name, "").strip()}
    if sent.get("text", "").strip():
        kept["layout_text"] = sent["text"].replace("\r\n", "\n")
    if sent.get("border", "").strip():
        kept["borders"] = "\n".join(one.strip() for one in sent["border"].split(";"))
    return kept


def fitted_fields(sent: Mapping[str, str], now: Mapping[str, str]) -> dict[str, str]:
    """Return the fields of a project that is to be changed to what a page of fits sends.

    Args:
        sent: what a link says; nothing comes of a link that says nothing.
        now: what stands in the fields.
    """
    fitted = {name: sent[name] for name in FITTED if name in sent}
    return {**now, **fitted} if fitted else {}


def project_words(form: Form, was: Mapping[str, str] = BLANK) -> ProjectWords:
    """Return what a form says of a project; a field as it was says nothing.

    Args:
        form: as sent.
        was: what stood in each field before, where a project is changed.

    Raises:
        BadRequestError: a number cannot be read.
    """
    sent = Changed(form, was)
    return ProjectWords(
        unit=sent.given("unit"),
        columns=sent.number("columns", "number of columns"),
        rows=sent.number("rows", "number of rows"),
        turn=sent.number("turn", "number of quarter turns"),
        mirror=sent.flag("mirror"),
        exchange=tuple(one for one in sent.lines("exchange") if one != "none"),
        sash=sent.text("sash"),
        cornerstones=sent.cornerstones(),
        frame=sent.flag("frame"),
        on_point=sent.text("on_point"),
        between=sent.between(),
        borders=sent.lines("borders"),
        roles=tuple(one for one in sent.lines("roles") if one != "none"),
        half_squares=sent.number("half_squares", "number of triangles"),
        geese=sent.number("geese", "number of geese"),
        exact=sent.flag("exact"),
        seam=sent.given("seam"),
    )
