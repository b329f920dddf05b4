"""The cloth that cuts must come from, as typed, settled on the shelf there is."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.cloths import cloth_of
from stashkeeper.actions.cut_words import TypedCut
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.codes import is_code, normalise_code
from stashkeeper.catalogue.filters import Search, parse_search
from stashkeeper.catalogue.pieces import piece_by_code, pieces_by_codes
from stashkeeper.catalogue.plans import spoken_for
from stashkeeper.catalogue.projects import reserved
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cloth.value import Value
from stashkeeper.luminance.ranking import Bands

_VALUES: Final = {word: value for value in Value for word in (value.value, f"value:{value.value}")}


@dataclass(frozen=True, slots=True)
class Table:
    """What lies on the cutting table: cuts, and the cloths they may come from.

    Attributes:
        cuts: what is needed, without spares.
        cloths: what there is.
        rows: the row of each cloth, by the code of the piece.
        spoken: pieces left out because a plan already begun needs them, with its number.
        reserved: pieces that projects under way reserve, with the names of those projects.
    """

    cuts: tuple[Cut, ...]
    cloths: tuple[Cloth, ...]
    rows: dict[str, PieceRow]
    spoken: dict[str, int]
    reserved: dict[str, tuple[str, ...]]


def lay_out_table(
    stash: Stash,
    typed: Sequence[TypedCut],
    words: Sequence[str],
    chosen: Mapping[str, Collection[str]] | None = None,
) -> Table:
    """Return the cuts and the cloths for them.

    Args:
        stash: the open stash.
        typed: the cuts as typed, each with a name.
        words: search words that narrow the shelf.
        chosen: the codes of the pieces chosen for roles that cuts come from, by role.

    Raises:
        NotFoundError, BadSearchError, BadSizeError: the words for some cloth cannot be read.
    """
    search = parse_search(words, stash.measure)
    with stash.reading() as session:
        limits = thresholds(session)
        rows = select_pieces(session, search, limits)
        taken, kept = spoken_for(session), reserved(session)
        cuts, roles = _settled(stash, session, typed, chosen or {})
    bands = Bands(limits.dark_below, limits.light_from)
    found: list[tuple[PieceRow, Cloth]] = []
    for row in rows:
        answers = [role for role, pieces in roles.items() if row.piece_id in pieces]
        cloth = cloth_of(row, stash.settings.allowances, bands, answers)
        if cloth is not None and row.piece_id not in taken:
            found.append((row, cloth))
    return Table(
        cuts,
        tuple(cloth for _, cloth in found),
        {row.code: row for row, _ in found},
        {row.code: taken[row.piece_id] for row in rows if row.piece_id in taken},
        {row.code: kept[row.piece_id] for row, _ in found if row.piece_id in kept},
    )


def check_source(stash: Stash, cut: TypedCut, roles: Collection[str] = ()) -> None:
    """Refuse a cut whose cloth cannot be read or is not there.

    Args:
        stash: the open stash.
        cut: as typed.
        roles: the roles of a project, which a cut may come from as well.

    Raises:
        NotFoundError, BadSearchError, BadSizeError: as for the whole table.
    """
    if cut.source not in roles:
        with stash.reading() as session:
            _source(stash, session, cut.source)


def _settled(
    stash: Stash,
    session: Session,
    typed: Sequence[TypedCut],
    chosen: Mapping[str, Collection[str]],
) -> tuple[tuple[Cut, ...], dict[str, set[object]]]:
    """Return the cuts, and for each search they come from the pieces that answer to it."""
    cuts, roles = list[Cut](), dict[str, set[object]]()
    for each, codes in chosen.items():
        roles[each] = {piece.id for piece in pieces_by_codes(session, codes)}
    for one in typed:
        fabric, value, role = None, None, one.source or None
        if one.source not in chosen:
            fabric, value, search = _source(stash, session, one.source)
            if search is None:
                role = None
            else:
                answering = select_pieces(session, search, thresholds(session))
                roles[one.source] = {row.piece_id for row in answering}
        cuts.append(Cut(one.name, one.size, one.count, one.directional, fabric, value, role))
    return tuple(cuts), roles


def _source(
    stash: Stash, session: Session, source: str
) -> tuple[str | None, Value | None, Search | None]:
    """Return the one fabric, the value or the search that the words for some cloth mean."""
    if not source:
        return None, None, None
    if value := _VALUES.get(source.casefold()):
        return None, value, None
    if is_code(code := normalise_code(source)):
        return str(piece_by_code(session, code).fabric_id), None, None
    return None, None, parse_search(source, stash.measure)
