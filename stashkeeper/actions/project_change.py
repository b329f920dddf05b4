"""A project as the fields of the form that changes it."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.actions.making_fields import fields_of
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash


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
