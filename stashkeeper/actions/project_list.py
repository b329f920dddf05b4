"""The list of projects."""

from dataclasses import dataclass

from stashkeeper.actions.making import Making, quilt_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.projects import list_projects
from stashkeeper.lengths.format import format_size
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.quilt import finished_size


@dataclass(frozen=True, slots=True)
class ListedProject:
    """A project in the list: its layout, finished size, how many pieces it has, whether ended."""

    name: str
    layout: str
    finished: Size
    pieces: int
    ended: bool


@dataclass(frozen=True, slots=True)
class ProjectList:
    """All projects, those under way first."""

    projects: tuple[ListedProject, ...]
    _measure: Measure

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("project", "layout", "finished", "pieces", "standing")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each project."""
        return [
            (
                one.name,
                one.layout,
                format_size(one.finished, self._measure, Rounding.UP),
                f"{one.pieces}",
                "ended" if one.ended else "under way",
            )
            for one in self.projects
        ]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What to tell where there is none."""
        return () if self.projects else ("There is no project yet.",)


def list_all(stash: Stash) -> ProjectList:
    """Return every project, those under way first."""
    strip = stash.settings.allowances.usable_width
    found = []
    with stash.reading() as session:
        for one in list_projects(session):
            row = one.project
            quilt = quilt_of(row.layout, Making.from_plain(row.record), strip)
            size, ended = finished_size(quilt), row.ended_at is not None
            found.append(ListedProject(row.name, quilt.layout.name, size, one.pieces, ended))
    return ProjectList(tuple(found), stash.measure)


def names_under_way(stash: Stash) -> tuple[str, ...]:
    """Return the names of the projects that are not ended, to choose from."""
    with stash.reading() as session:
        rows = [one.project for one in list_projects(session)]
        return tuple(row.name for row in rows if row.ended_at is None)
