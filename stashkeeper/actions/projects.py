"""Projects: a quilt to be, and the pieces chosen for it; begun, shown, changed, ended."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from stashkeeper.actions.layout_source import checked_layout, read_source
from stashkeeper.actions.making import Making, Wish, quilt_of, wishes_of
from stashkeeper.actions.project_view import ChosenPiece, ProjectView, project_view
from stashkeeper.actions.project_words import ProjectWords, read_making, read_wishes
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.columns import End
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.project_tables import Project
from stashkeeper.catalogue.projects import (
    add_project,
    end_project,
    pieces_of_project,
    project_named,
    rename_project,
    reserved,
)
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.choosing.needs import Need
from stashkeeper.errors import BadRequestError, ChangedMeanwhileError
from stashkeeper.lengths.length import Measure
from stashkeeper.quilts.quilt import Quilt, parts


@dataclass(frozen=True, slots=True)
class LoadedProject:
    """A project with all that is known of it now.

    Attributes:
        name: what it is called.
        ended: whether it is ended.
        version: of its row.
        text: of its layout file.
        making: what becomes of its layout.
        quilt: the quilt that results.
        wishes: for every role of the quilt, by its name.
        chosen: the pieces chosen, in order.
    """

    name: str
    ended: bool
    version: int
    text: str
    making: Making
    quilt: Quilt
    wishes: Mapping[str, Wish]
    chosen: tuple[ChosenPiece, ...]

    def cast(self) -> dict[str, tuple[PieceRow, ...]]:
        """Return the rows of the pieces chosen for each role, set included."""
        found: dict[str, list[PieceRow]] = {}
        for one in self.chosen:
            found.setdefault(one.role, []).append(one.row)
        return {role: tuple(rows) for role, rows in found.items()}

    def view(self, measure: Measure) -> ProjectView:
        """Return it as faces show it."""
        head = self.name, self.ended, self.version, self.text
        return project_view(head, self.quilt, self.making, self.wishes, self.chosen, measure)


@dataclass(frozen=True, slots=True)
class ProjectDone:
    """What was done to a project: the project as it is now, and what to tell."""

    project: ProjectView
    sentences: tuple[str, ...]


def new(
    stash: Stash, name: str, words: ProjectWords, layout_text: str | None = None
) -> ProjectDone:
    """Begin a project.

    Args:
        stash: the open stash.
        name: a short one that no other project has.
        words: its layout, sizes, borders and wishes, as typed.
        layout_text: the text of a layout file where it was not named but handed in.

    Raises:
        BadFileError: the layout holds mistakes; all are told with line and column.
        StashkeeperError: a word cannot be read, or the name is taken; then nothing was kept.
    """
    if layout_text is None and not (words.layout or "").strip():
        raise BadRequestError(
            "Which layout it is was not said.",
            "Name one, as in --layout pinwheel, or a layout file.",
            on_page="Choose a layout, or paste the text of a layout file.",
        )
    text = _layout(words, layout_text, name)
    making = _with_wishes(stash, text, read_making(words, None, stash.measure), words.roles)
    with stash.deed("project") as deed:
        row = add_project(deed, name, text, making.to_plain())
        deed.summary = sentence = f"Began project “{row.name}”."
    return ProjectDone(show(stash, row.name), (sentence,))


def change(
    stash: Stash,
    name: str,
    words: ProjectWords,
    *,
    new_name: str | None = None,
    layout_text: str | None = None,
    version: int | None = None,
) -> ProjectDone:
    """Change a project; what was not typed stays as it is.

    Args:
        stash: the open stash.
        name: of the project.
        words: what is to be another way.
        new_name: what it is to be called.
        layout_text: the text of a layout file, where another is handed in.
        version: of the project as the person saw it, for pages that lie open a while.

    Raises:
        BadFileError: the layout holds mistakes; all are told with line and column.
        StashkeeperError: nothing to change, a word cannot be read, or somebody else changed it
            meanwhile; then nothing was changed.
    """
    if words == ProjectWords() and new_name is None and layout_text is None:
        raise BadRequestError(
            "Nothing was given to change.",
            'Say what, as in --unit "3 in".',
            on_page="Change something, then send it.",
        )
    with stash.deed("project") as deed:
        row = project_named(deed.session, name)
        _must_be(row, version)
        text = row.layout
        if layout_text is not None or words.layout is not None:
            text = _layout(words, layout_text, row.name)
        typed = read_making(words, Making.from_plain(row.record), stash.measure)
        making = _with_wishes(stash, text, typed, words.roles)
        changed = deed.change(row, layout=text, record=making.to_plain())
        if new_name is not None:
            changed = rename_project(deed, row, new_name) or changed
        told = "Changed" if changed else "Nothing new for"
        deed.summary = sentence = f"{told} project “{row.name}”."
        called = row.name
    return ProjectDone(show(stash, called), (sentence,))


def show(stash: Stash, name: str) -> ProjectView:
    """Return a project with its sizes, units, parts and pieces.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.reading() as session:
        return load_project(stash, session, name).view(stash.measure)


def end(stash: Stash, name: str) -> ProjectDone:
    """End a project: it stays on record, and its pieces are reserved no longer.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.deed("end-project") as deed:
        row = project_named(deed.session, name)
        ended = end_project(deed, row)
        sentence = f"Ended project “{row.name}”; its pieces are reserved no longer."
        sentence = sentence if ended else f"Project “{row.name}” was ended before."
        deed.summary = sentence
        called = row.name
    return ProjectDone(show(stash, called), (sentence,))


def project_quilt(stash: Stash, name: str) -> Quilt:
    """Return the quilt of a project.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.reading() as session:
        return load_project(stash, session, name).quilt


def chosen_rows(stash: Stash, name: str) -> dict[str, tuple[PieceRow, ...]]:
    """Return the rows of the pieces chosen for each role of a project.

    Roles in sets are named as in a choice, `blade (set 2)`; a role without a piece is left out.

    Raises:
        NotFoundError: there is none with this name.
    """
    with stash.reading() as session:
        return load_project(stash, session, name).cast()


def load_project(stash: Stash, session: Session, name: str) -> LoadedProject:
    """Return a project with all that is known of it now.

    Raises:
        NotFoundError: there is none with this name.
    """
    row = project_named(session, name)
    making = Making.from_plain(row.record)
    quilt = quilt_of(row.layout, making, stash.settings.allowances.usable_width)
    pieces = pieces_of_project(session, row)
    codes = tuple(one.piece.code for one in pieces)
    search = Search((Term("code", codes), Term("ended", ("any", End.MISTAKE.value))))
    found = select_pieces(session, search, thresholds(session)) if codes else []
    rows = {one.code: one for one in found}
    taken = reserved(session)
    chosen = tuple(
        ChosenPiece(
            Need(one.role, None, set_number=one.set_number).name,
            rows[one.piece.code],
            tuple(other for other in taken.get(one.piece.id, ()) if other != row.name),
        )
        for one in pieces
    )
    ended, wishes = row.ended_at is not None, wishes_of(quilt, making)
    head = row.name, ended, row.version, row.layout
    return LoadedProject(*head, making, quilt, wishes, chosen)


def _must_be(row: Project, version: int | None) -> None:
    if version is not None and version != row.version:
        raise ChangedMeanwhileError(
            f"“{row.name}” was changed by somebody else after it was read.",
            "Look at it again, then repeat the change if it is still wanted.",
        )


def _layout(words: ProjectWords, layout_text: str | None, name: str) -> str:
    if layout_text is not None:
        return checked_layout(layout_text, name)
    return read_source((words.layout or "").strip())


def _with_wishes(stash: Stash, text: str, making: Making, typed: Sequence[str]) -> Making:
    """Return a making with the wishes typed, tried: a quilt comes of it, and it has the roles."""
    quilt = quilt_of(text, replace(making, wishes={}), stash.settings.allowances.usable_width)
    usual = wishes_of(quilt, replace(making, wishes={}))
    kept = {role: wish for role, wish in making.wishes.items() if role in usual}
    made = replace(making, wishes={**kept, **read_wishes(typed, {**usual, **kept})})
    wishes_of(quilt, made)
    parts(quilt)
    return made
