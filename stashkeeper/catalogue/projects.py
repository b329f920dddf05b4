"""Projects on record: keeping them, finding them, and which pieces they reserve."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from difflib import get_close_matches
from typing import Any

from sqlmodel import Session, col, func, select

from stashkeeper.catalogue.columns import now
from stashkeeper.catalogue.history import Deed, PastDeed, past_deeds
from stashkeeper.catalogue.names import clean_name, fold
from stashkeeper.catalogue.project_tables import Project, Reservation
from stashkeeper.catalogue.tables import Change, Event, Piece
from stashkeeper.errors import AlreadyThereError, BadRequestError, NotFoundError, quoted

type Plain = dict[str, Any]

LONGEST_NAME = 60
"""A project has a short name (ours)."""


@dataclass(frozen=True, slots=True)
class ProjectRow:
    """A project in a list: its row, and how many pieces are chosen for it."""

    project: Project
    pieces: int


@dataclass(frozen=True, slots=True)
class ReservedPiece:
    """A piece chosen for a role of a project, and for which set where the role has sets."""

    role: str
    set_number: int | None
    piece: Piece


def add_project(deed: Deed, name: str, layout: str, record: Plain) -> Project:
    """Keep a new project.

    Args:
        deed: the deed it belongs to.
        name: as typed.
        layout: the text of its layout file.
        record: what becomes of the layout, as plain values.

    Raises:
        BadNameError: the name is empty, too long, or cannot be shown.
        AlreadyThereError: another project has it.
    """
    cleaned = free_name(deed.session, name)
    return deed.add(Project(name=cleaned, folded=fold(cleaned), layout=layout, record=record))


def free_name(session: Session, name: str, of: Project | None = None) -> str:
    """Return a name cleaned that no project has, `of` aside.

    Raises:
        BadNameError: it is empty, too long, or cannot be shown.
        AlreadyThereError: another project has it.
    """
    cleaned = clean_name(name, "name of the project", LONGEST_NAME)
    found = _find(session, cleaned)
    if found is not None and (of is None or found.id != of.id):
        ended = ", and it is ended" if found.ended_at else ""
        raise AlreadyThereError(
            f"There is a project {quoted(found.name)} already{ended}.",
            "Give this one another name, or change that one.",
        )
    return cleaned


def rename_project(deed: Deed, project: Project, name: str) -> bool:
    """Give a project another name; return whether it really changed.

    Raises:
        BadNameError, AlreadyThereError: as `free_name`.
    """
    cleaned = free_name(deed.session, name, project)
    return deed.change(project, name=cleaned, folded=fold(cleaned))


def project_named(session: Session, name: str) -> Project:
    """Return the project with a name; letter case makes no difference.

    Raises:
        NotFoundError: there is none; near ones are named.
    """
    found = _find(session, name)
    if found is not None:
        return found
    known = {one.project.folded: one.project.name for one in list_projects(session)}
    near = get_close_matches(fold(name.strip()), known, n=3, cutoff=0.5)
    remedy = "`stashkeeper projects` shows the projects there are."
    if near:
        remedy = f"Did you mean {' or '.join(f'“{known[one]}”' for one in near)}?"
    elif not known:
        remedy = "There is no project yet: `stashkeeper project new` begins one."
    raise NotFoundError(
        f"There is no project {quoted(name)}.",
        remedy,
        on_page=remedy if near else "Look at the projects there are.",
    )


def list_projects(session: Session) -> list[ProjectRow]:
    """Return every project that was not taken back: those under way first, then by name."""
    chosen = (
        select(Reservation.project_id, func.count())
        .where(col(Reservation.voided).is_(False))
        .group_by(col(Reservation.project_id))
    )
    counts = dict(session.exec(chosen).all())
    standing = session.exec(select(Project).where(col(Project.voided).is_(False))).all()
    ordered = sorted(standing, key=lambda one: (one.ended_at is not None, one.folded))
    return [ProjectRow(one, counts.get(one.id, 0)) for one in ordered]


def end_project(deed: Deed, project: Project, at: datetime | None = None) -> bool:
    """End a project, so that it reserves nothing; return whether it was under way."""
    return deed.change(project, ended_at=at or now()) if project.ended_at is None else False


def pieces_of_project(session: Session, project: Project) -> list[ReservedPiece]:
    """Return the pieces chosen for a project, in the order they were chosen."""
    return [
        ReservedPiece(row.role, row.set_number, session.get_one(Piece, row.piece_id))
        for row in _standing(session, project)
    ]


def choose_pieces(
    deed: Deed, project: Project, chosen: Sequence[tuple[str, int | None, Piece]]
) -> bool:
    """Choose these pieces for a project and no others; return whether anything changed.

    Args:
        deed: the deed it belongs to.
        project: the project.
        chosen: role, set and piece of each, in order.

    Raises:
        BadRequestError: the project has ended, so that it reserves nothing.
    """
    if project.ended_at is not None:
        raise BadRequestError(
            f"Project {quoted(project.name)} has ended, and reserves no pieces.",
            "Undo that first if it was a mistake, or begin another project.",
        )
    wanted = {(role, number, piece.id): at for at, (role, number, piece) in enumerate(chosen)}
    changed, there = False, set[tuple[str, int | None, uuid.UUID]]()
    for row in _standing(deed.session, project):
        key = row.role, row.set_number, row.piece_id
        if key in wanted and key not in there:
            there.add(key)
            changed = deed.change(row, position=wanted[key]) or changed
        else:
            changed = deed.change(row, voided=True) or changed
    for key, position in wanted.items():
        if key not in there:
            role, number, piece_id = key
            changed = True
            deed.add(
                Reservation(
                    project_id=project.id,
                    piece_id=piece_id,
                    role=role,
                    set_number=number,
                    position=position,
                )
            )
    return changed


def history_of_project(session: Session, project: Project) -> list[PastDeed]:
    """Return every deed that touched a project or the pieces chosen for it, oldest first."""
    own = select(Reservation.id).where(Reservation.project_id == project.id)
    keys = [str(project.id), *map(str, session.exec(own))]
    touched = select(Change.event_id).where(
        col(Change.table_name).in_(("project", "reservation")), col(Change.row_key).in_(keys)
    )
    events = select(Event).where(col(Event.id).in_(touched)).order_by(col(Event.number))
    return past_deeds(session, list(session.exec(events)))


def reserved(session: Session) -> dict[uuid.UUID, tuple[str, ...]]:
    """Return the pieces that projects under way have chosen, with the names of those projects."""
    wanted = (
        select(Reservation.piece_id, Project.name)
        .join(Project, col(Reservation.project_id) == col(Project.id))
        .where(
            col(Reservation.voided).is_(False),
            col(Project.voided).is_(False),
            col(Project.ended_at).is_(None),
        )
        .order_by(col(Project.folded))
    )
    found: dict[uuid.UUID, dict[str, None]] = {}
    for piece_id, name in session.exec(wanted):
        found.setdefault(piece_id, {})[name] = None
    return {piece_id: tuple(names) for piece_id, names in found.items()}


def _find(session: Session, name: str) -> Project | None:
    folded = fold(" ".join(name.split(" ")).strip())
    wanted = select(Project).where(Project.folded == folded, col(Project.voided).is_(False))
    return session.exec(wanted).first()


def _standing(session: Session, project: Project) -> list[Reservation]:
    wanted = select(Reservation).where(
        Reservation.project_id == project.id, col(Reservation.voided).is_(False)
    )
    return list(session.exec(wanted.order_by(col(Reservation.position))))
