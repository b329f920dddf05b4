"""The cuts of a project's parts list, each from the pieces chosen for its role."""

from collections.abc import Mapping
from dataclasses import dataclass

from stashkeeper.actions.cut_words import TypedCut
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash
from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.errors import BadRequestError
from stashkeeper.quilts.quilt import parts


@dataclass(frozen=True, slots=True)
class ProjectCuts:
    """What a project needs to be cut.

    Attributes:
        project: its name.
        cuts: the cuts of every role that has pieces, from that role.
        pieces: the codes of the pieces chosen, by role.
        told: which roles have no piece yet, in sentences.
    """

    project: str
    cuts: tuple[TypedCut, ...]
    pieces: Mapping[str, frozenset[str]]
    told: tuple[str, ...]


def cuts_of_project(stash: Stash, name: str) -> ProjectCuts:
    """Return the cuts of a project's parts list, each from the pieces chosen for its role.

    Raises:
        NotFoundError: there is no such project.
        BadRequestError: no piece is chosen for it yet.
    """
    with stash.reading() as session:
        project = load_project(stash, session, name)
    pieces = {role: frozenset(row.code for row in rows) for role, rows in project.cast().items()}
    listed = [(role_name(part.role), part.cut) for part in parts(project.quilt)]
    cuts = tuple(
        TypedCut(cut.name, cut.size, cut.count, cut.directional, role)
        for role, cut in listed
        if role in pieces
    )
    if not cuts:
        raise BadRequestError(
            f"No piece is chosen for project “{project.name}” yet.",
            f'Choose first: stashkeeper choose --project "{project.name}" --take 1',
            on_page="Choose its fabrics first.",
        )
    without = list(dict.fromkeys(role for role, _ in listed if role not in pieces))
    shown = ", ".join(without[:6]) + (" …" if len(without) > 6 else "")
    told = (f"Nothing is chosen yet for {shown}, so that is not planned.",) if without else ()
    return ProjectCuts(project.name, cuts, pieces, told)
