"""A project as the fields of the form that changes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.making_fields import fields_of
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import AlreadyThereError, BadFileError, StashkeeperError

_LOOKED_AT: Final = (
    "unit", "columns", "rows", "borders", "sash", "cornerstones", "on_point", "between", "roles",
    "exchange", "seam", "name", "layout",
)  # fmt: skip
"""The fields of a project's form, those first that an error is likelier to be about."""


@dataclass(frozen=True, slots=True)
class ProjectFields:
    """What stands in the fields of a project.

    Attributes:
        name: what it is called.
        version: of its row, for the page that changes it.
        fields: the text of each field, by its name.
        roles: the names of its roles.
        layout: the text of its layout file.
        exchanged: pairs of roles that have changed places, in words.
    """

    name: str
    version: int
    fields: Mapping[str, str]
    roles: tuple[str, ...]
    layout: str
    exchanged: tuple[str, ...]


def field_of_project(error: StashkeeperError, typed: Mapping[str, str]) -> str:
    """Return the field of a project's form that an error is about; empty for the whole of it."""
    if isinstance(error, BadFileError):
        return "layout_text"
    if isinstance(error, AlreadyThereError):
        return "name"
    for name in ("layout", "unit"):
        if "was not said" in error.problem and f" {name} " in error.problem:
            return name
    words = {name: typed[name] for name in _LOOKED_AT if name in typed}
    return field_about(error, words, ("columns", "rows"))


def project_fields(stash: Stash, name: str) -> ProjectFields:
    """Return what stands in the fields of a project.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.reading() as session:
        project = load_project(stash, session, name)
    return ProjectFields(
        project.name,
        project.version,
        fields_of(project.making, project.wishes, stash.measure),
        tuple(project.wishes),
        project.text,
        tuple(f"{one} and {other}" for one, other in project.making.exchanged),
    )
