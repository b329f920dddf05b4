"""The projects with their quilts in small, as the page of all projects shows them."""

from dataclasses import dataclass

from stashkeeper.actions.project_list import list_all
from stashkeeper.actions.project_page import DrawnQuilt, drawn_quilt
from stashkeeper.actions.projects import load_project
from stashkeeper.actions.stash import Stash

MOST_DRAWN = 48
"""So many projects are drawn; of the others the words tell (ours)."""


@dataclass(frozen=True, slots=True)
class ProjectCard:
    """A project in the list: its layout and size in words, its quilt in greys.

    Attributes:
        name: what it is called.
        layout, finished: of its layout and its finished size, in words.
        chosen: how many pieces are chosen.
        ended: whether it is ended.
        quilt: in greys; None where it is not drawn small.
    """

    name: str
    layout: str
    finished: str
    chosen: int
    ended: bool
    quilt: DrawnQuilt | None


def project_cards(stash: Stash) -> tuple[ProjectCard, ...]:
    """Return every project, those under way first."""
    listed = list_all(stash)
    found = []
    with stash.reading() as session:
        for at, (one, words) in enumerate(zip(listed.projects, listed.rows(), strict=True)):
            drawn = at < MOST_DRAWN
            quilt = drawn_quilt(load_project(stash, session, one.name)) if drawn else None
            found.append(ProjectCard(one.name, words[1], words[2], one.pieces, one.ended, quilt))
    return tuple(found)
