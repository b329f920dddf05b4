"""The cuts of a project's parts list, each from the pieces chosen for its role."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from stashkeeper.actions.cut_words import TypedCut
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash
from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.cloth.cut import Cut
from stashkeeper.errors import BadRequestError
from stashkeeper.lengths.length import Length
from stashkeeper.quilts.quilt import Quilt, parts


@dataclass(frozen=True, slots=True)
class ProjectCuts:
    """What a project needs to be cut.

    Attributes:
        project: its name.
        quilt: it is made as.
        cuts: the cuts of every role that has pieces, from that role.
        pieces: the codes of the pieces chosen, by role.
        told: which roles have no piece yet, in sentences.
    """

    project: str
    quilt: Quilt
    cuts: tuple[TypedCut, ...]
    pieces: Mapping[str, frozenset[str]]
    told: tuple[str, ...]

    def cuts_with(self, unit: Length) -> tuple[TypedCut, ...]:
        """Return the cuts with units of another finished side.

        Raises:
            BadSizeError: no quilt has such units.
        """
        return _cuts(_listed(replace(self.quilt, unit=unit)), self.pieces)


def cuts_of_project(stash: Stash, name: str) -> ProjectCuts:
    """Return the cuts of a project's parts list, each from the pieces chosen for its role.

    Raises:
        NotFoundError: there is no such project.
        BadRequestError: no piece is chosen for it yet.
    """
    with stash.reading() as session:
        project = load_project(stash, session, name)
    pieces = {role: frozenset(row.code for row in rows) for role, rows in project.cast().items()}
    listed = _listed(project.quilt)
    cuts = _cuts(listed, pieces)
    if not cuts:
        raise BadRequestError(
            f"No piece is chosen for project “{project.name}” yet.",
            f'Choose first: stashkeeper choose --project "{project.name}" --take 1',
            on_page="Choose its fabrics first.",
        )
    without = list(dict.fromkeys(role for role, _ in listed if role not in pieces))
    shown = ", ".join(without[:6]) + (" …" if len(without) > 6 else "")
    told = (f"Nothing is chosen yet for {shown}, so that is not planned.",) if without else ()
    return ProjectCuts(project.name, project.quilt, cuts, pieces, told)


def _listed(quilt: Quilt) -> list[tuple[str, Cut]]:
    return [(role_name(part.role), part.cut) for part in parts(quilt)]


def _cuts(listed: Sequence[tuple[str, Cut]], pieces: Container[str]) -> tuple[TypedCut, ...]:
    """Return the cuts of the roles that have pieces, each from its role."""
    return tuple(
        TypedCut(cut.name, cut.size, cut.count, cut.directional, role)
        for role, cut in listed
        if role in pieces
    )
