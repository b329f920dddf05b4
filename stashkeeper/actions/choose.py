"""Choose: which fabrics of the shelf keep the values of a quilt apart, and why."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stashkeeper.actions.choice_answer import ChoiceAnswer, LeftOutView, in_sizes, missing_view
from stashkeeper.actions.choice_view import ChoiceView, choice_view
from stashkeeper.actions.choosing_shelf import ChoosingShelf, CuttingRoom, choosing_shelf
from stashkeeper.actions.need_words import EXAMPLE, read_codes, read_keeps, read_needs
from stashkeeper.actions.project_needs import needs_of_project
from stashkeeper.actions.projects import LoadedProject, load_project
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import explain, parse_search
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.projects import choose_pieces, project_named
from stashkeeper.catalogue.shelf import rows_of
from stashkeeper.choosing.choice import Choice
from stashkeeper.choosing.choose import Answer, choose
from stashkeeper.choosing.needs import Keep, Need, loosened, role_and_set
from stashkeeper.errors import BadRequestError, NoChoiceError

OTHERS = 3
"""So many other choices are shown (ours)."""


@dataclass(frozen=True, slots=True)
class ChooseWords:
    """What was typed about a choice.

    Attributes:
        project: the project it is for; empty for none.
        needs: what is asked for, `light: 4, each 10 x 6 1/2 in square` each; of every set, where
            there are sets.
        sets: how many sets that share a colour family each.
        further: what is asked for outside the sets.
        keep: pieces that must be in it, `A7,B2` or `A7 for star`.
        leave_out: codes whose fabrics must not be.
        words: search words that narrow the shelf.
        free: whether to leave out what other projects reserve.
    """

    project: str = ""
    needs: Sequence[str] = ()
    sets: int = 0
    further: Sequence[str] = ()
    keep: Sequence[str] = ()
    leave_out: Sequence[str] = ()
    words: Sequence[str] = ()
    free: bool = False


def choose_fabrics(stash: Stash, words: ChooseWords, take: int | None = None) -> ChoiceAnswer:
    """Choose fabrics for a project or for needs typed, and keep one choice where wished.

    Args:
        stash: the open stash.
        words: what was typed.
        take: the number of the choice to keep in the project; None for none.

    Raises:
        NoChoiceError: the shelf does not fill every role; it tells how near it gets.
        StashkeeperError: a word cannot be read, or pieces kept or left out do not go together.
    """
    if take is not None and not words.project:
        raise BadRequestError(
            "A choice is kept in a project, and none was named.",
            "Name it, as in --project Harbour, or begin one.",
            on_page="Choose for a project, or begin one first.",
        )
    search = parse_search(words.words, stash.measure)
    keep, out = read_keeps(words.keep), read_codes(words.leave_out)
    with stash.reading() as session:
        project = load_project(stash, session, words.project) if words.project else None
        called = project.name if project else ""
        codes = [one.code for one in keep]
        shelf = choosing_shelf(stash, session, search, called, words.free, codes)
        pieces_by_codes(session, out)
    there = {one.code for one in shelf.candidates}
    out = tuple(code for code in out if code in there)
    needs = loosened(_needs(stash, words, project))
    keep = _spread(keep, needs)
    with CuttingRoom(stash, shelf) as room:
        try:
            answer = choose(
                shelf.candidates, shelf.gives(needs), needs, keep=keep, leave_out=out,
                prove=room.prove, others=OTHERS,
            )  # fmt: skip
        except NoChoiceError as error:
            told = _explained(error, needs, shelf, explain(search), called)
            remedy = in_sizes(error.remedy, error.cuts, stash.measure)
            raise NoChoiceError(told.problem, remedy, told.nearest) from error
    found = _answer(stash, called, answer, needs, shelf, room)
    return found if take is None else _kept(stash, found, take)


def keep_choice(
    stash: Stash, project: str, chosen: Sequence[tuple[str, int | None, str]]
) -> tuple[str, ...]:
    """Choose these pieces for a project and no others; return what to tell.

    Args:
        stash: the open stash.
        project: its name.
        chosen: role (without its set), set and code of each piece.

    Raises:
        NotFoundError: there is no such project or piece.
    """
    with stash.deed("choose") as deed:
        row = project_named(deed.session, project)
        rows = {one.code: one for one in pieces_by_codes(deed.session, [it[2] for it in chosen])}
        pieces = [(role, number, rows[code]) for role, number, code in chosen]
        changed = choose_pieces(deed, row, pieces)
        codes = ", ".join(dict.fromkeys(code for _, _, code in chosen))
        told = f"Chose {codes} for project “{row.name}”."
        deed.summary = told if changed else f"Nothing new for project “{row.name}”."
        told = deed.summary
    return (told,)


def _needs(stash: Stash, words: ChooseWords, project: LoadedProject | None) -> tuple[Need, ...]:
    """Return what the project asks for, and what was typed besides."""
    strip = stash.settings.allowances.usable_width
    typed = read_needs(words.needs, words.sets, words.further, stash.measure, strip)
    if project is None and not typed:
        raise _nothing_asked(words)
    if project is None:
        return typed
    return (*needs_of_project(project), *typed)


def _nothing_asked(words: ChooseWords) -> BadRequestError:
    """Return the error for neither a project nor a need; search words may be a project's name."""
    name = " ".join(words.words) or "Harbour"
    return BadRequestError(
        "Nothing was asked for.",
        f'Name a project, as in --project "{name}", or say what you need, as in '
        f'--need "{EXAMPLE}".',
        on_page=f"Choose a project, or type what you need, such as {EXAMPLE}.",
    )


def _spread(keep: Sequence[Keep], needs: Sequence[Need]) -> tuple[Keep, ...]:
    """Return kept pieces, those for a role of several sets given to one of them each."""
    apart = [need.role for need in needs if need.set_number is None and "(" in need.role]
    free = {
        base: iter([role for role in apart if role_and_set(role)[0] == base])
        for base in {role_and_set(role)[0] for role in apart}
    }
    return tuple(
        replace(one, role=next(free[one.role.casefold()], one.role))
        if one.role and one.role.casefold() in free
        else one
        for one in keep
    )


def _answer(
    stash: Stash,
    project: str,
    answer: Answer,
    needs: Sequence[Need],
    shelf: ChoosingShelf,
    room: CuttingRoom,
) -> ChoiceAnswer:
    by_name = {need.name: need for need in needs}
    with stash.reading() as session:
        rows = rows_of(session, _told(answer))

    def view(number: int, choice: Choice) -> ChoiceView:
        taken = {
            (one.role, one.fabric): room.needed(one.role, one.codes)
            for one in choice.chosen
            if len(one.codes) > 1 and not one.kept
        }
        return choice_view(number, choice, by_name, rows, shelf.elsewhere, taken)

    others = tuple(view(number, choice) for number, choice in enumerate(answer.others, 2))
    left = tuple(
        LeftOutView(one.codes, rows[one.codes[0]].name, one.reason, one.role, one.told)
        for one in answer.left_out
    )
    told = (*answer.remarks, *_any_value(needs, project), *_took_no_part(shelf))
    missing = missing_view(answer.missing, stash.measure)
    best = view(1, answer.best)
    return ChoiceAnswer(project, best, others, left, missing, None, told, stash.measure)


def _told(answer: Answer) -> list[str]:
    """Return the codes of all pieces that an answer speaks of."""
    chosen = [one.codes for choice in (answer.best, *answer.others) for one in choice.chosen]
    return [code for codes in (*chosen, *(one.codes for one in answer.left_out)) for code in codes]


def _kept(stash: Stash, found: ChoiceAnswer, take: int) -> ChoiceAnswer:
    choice = next((one for one in found.choices if one.number == take), None)
    if choice is None:
        raise BadRequestError(
            f"There is no choice {take}.", f"Take one from 1 to {len(found.choices)}."
        )
    chosen = [(*role_and_set(one.role), code) for one in choice.chosen for code in one.codes]
    told = keep_choice(stash, found.project, chosen)
    return ChoiceAnswer(
        found.project,
        found.best,
        found.others,
        found.left_out,
        found.missing,
        take,
        (*found.remarks, *told),
        stash.measure,
    )


def _any_value(needs: Sequence[Need], project: str) -> tuple[str, ...]:
    """Tell which roles are kept apart from no other, because any value will do."""
    free = list(dict.fromkeys(need.role for need in needs if need.value is None))
    if not free or len(free) == len(needs):
        return ()
    told = f"Any value will do for {_few(free)}, so nothing keeps that apart from the rest"
    wish = f"{free[0]}: light" if project else f"{free[0]} light: 1"
    return (f"{told}: wish one, such as “{wish}”.",)


def _took_no_part(shelf: ChoosingShelf) -> tuple[str, ...]:
    told = []
    if shelf.unmeasured:
        told.append(f"Not measured yet, so left out: {_few(shelf.unmeasured)}.")
    if shelf.bags:
        told.append(f"Bags of scraps are not chosen from: {_few(shelf.bags)}.")
    if shelf.spoken:
        listed = [f"{code} (plan {number})" for code, number in shelf.spoken.items()]
        told.append(f"Left out, for a plan already begun needs it: {_few(listed)}.")
    return tuple(told)


def _explained(
    error: NoChoiceError, needs: Sequence[Need], shelf: ChoosingShelf, searched: str, project: str
) -> NoChoiceError:
    """Return the error with what else a quilter may do about it."""
    more = [one for one in error.nearest if one != error.problem]
    if not shelf.candidates:
        more.append(f"Looked among: {searched}")
        more += _took_no_part(shelf)
    one = [need.role for need in needs if need.fabrics == 1 and need.cuts]
    short = any("enough" in said or " gives " in said for said in (error.problem, *more))
    if one and short:
        way = (
            f"let a role take more: “{one[0]}: any number”"
            if project
            else "leave the number of fabrics away: “sky light: 20 x 5 in square”"
        )
        more.append(f"Where one fabric does not give enough, {way}.")
    return NoChoiceError(error.problem, error.remedy, more)


def _few(codes: Sequence[str], most: int = 12) -> str:
    return ", ".join(codes[:most]) + (f" and {len(codes) - most} more" * (len(codes) > most))
