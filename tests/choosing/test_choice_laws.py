"""Laws every choice keeps, whatever the shelf."""

from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.choosing.choice import Choice
from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Keep, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.errors import BadRequestError, NoChoiceError
from tests.choosing.shelves import DARK, LIGHT, MEDIUM, SQUARES, counted, fabric

FAMILIES = ["red", "blue", None]
PIECES = st.lists(
    st.tuples(st.integers(0, 100), st.integers(0, 9), st.integers(10, 900),
              st.sampled_from(FAMILIES)),
    min_size=4, max_size=24,
)  # fmt: skip
NEEDS = st.one_of(
    st.just(counted(2, 1, 2, squares=3)),
    st.just([
        Need("sky", LIGHT, None, (CutsNeeded(SQUARES, 12),)),
        Need("star", DARK, 1, (CutsNeeded(SQUARES, 4),)),
        Need("border", DARK, 2, (CutsNeeded(SQUARES, 9),)),
    ]),
    st.just([*in_sets(counted(1, 1, 1), 2), Need("ground", LIGHT, 2)]),
)  # fmt: skip

Drawn = tuple[int, int, int, str | None]


def shelf_of(pieces: list[Drawn]) -> tuple[list[Candidate], list[int]]:
    """Return candidates and how many squares each gives."""
    shelf = [
        fabric(f"P{number}", lightness, area=area, family=family)
        for number, (lightness, _, area, family) in enumerate(pieces)
    ]
    return shelf, [squares for _, squares, _, _ in pieces]


def best_of(
    shelf: list[Candidate],
    squares: list[int],
    needs: list[Need],
    keep: list[Keep] | None = None,
    leave_out: list[str] | None = None,
) -> Choice | None:
    """Return the best choice, or None where there is none."""
    try:
        answer = choose(
            shelf, {SQUARES: squares}, needs, keep=keep or [], leave_out=leave_out or [], others=0
        )
    except (NoChoiceError, BadRequestError):
        return None
    return answer.best


def aim(choice: Choice | None) -> float:
    """Return the gap that was made large; below all gaps where there is no choice."""
    return -1.0 if choice is None or choice.aim is None else choice.aim


def holds(choice: Choice, shelf: list[Candidate], squares: list[int], needs: list[Need]) -> bool:
    """Tell whether every role has what it asks for, from fabrics that play one role each."""
    gives: dict[str, int] = {}
    for one, count in zip(shelf, squares, strict=True):
        gives[one.fabric] = gives.get(one.fabric, 0) + count
    fabrics = [one.fabric for one in choice.chosen]
    assert len(set(fabrics)) == len(fabrics)
    for need in needs:
        mine = [one for one in choice.chosen if one.role == need.name]
        assert need.fabrics in {None, len(mine)}
        for cut in need.cuts:
            alone = need.each or need.fabrics == 1
            given_ = [gives[one.fabric] for one in mine]
            assert min(given_) >= cut.count if alone else sum(given_) >= cut.count
            taken = sum(one.gives[cut.key] for one in mine)
            assert taken >= cut.count
    for number in {need.set_number for need in needs} - {None}:
        assert len({one.family for one in choice.chosen if one.set_number == number}) == 1
    return True


@settings(deadline=None, max_examples=60)
@given(PIECES, NEEDS)
def test_a_choice_holds_what_it_promises(pieces: list[Drawn], needs: list[Need]) -> None:
    shelf, squares = shelf_of(pieces)
    try:
        answer = choose(shelf, {SQUARES: squares}, needs)
    except NoChoiceError as error:
        assert error.problem and error.remedy
        return
    for choice in (answer.best, *answer.others):
        assert holds(choice, shelf, squares, needs)
        assert choice.aim is not None and choice.aim > 0 and choice.bound is not None
        assert choice.aim <= choice.bound + 1e-6
        assert choice.aim <= aim(answer.best) + 1e-6
        if choice.inside is None:
            assert choice.gap == min(one.gap for one in choice.contrast if one.gap is not None)


@settings(deadline=None, max_examples=40)
@given(PIECES, NEEDS, st.randoms(use_true_random=False))
def test_the_order_of_the_shelf_makes_no_difference(
    pieces: list[Drawn], needs: list[Need], dice: object
) -> None:
    shelf, squares = shelf_of(pieces)
    order = list(range(len(shelf)))
    dice.shuffle(order)  # type: ignore[attr-defined]
    mixed = [shelf[number] for number in order], [squares[number] for number in order]
    assert best_of(shelf, squares, needs) == best_of(*mixed, needs)


@settings(deadline=None, max_examples=40)
@given(PIECES, NEEDS, st.integers(0, 100), st.integers(0, 9), st.sampled_from(FAMILIES))
def test_one_more_fabric_never_narrows_the_best_gap(
    pieces: list[Drawn], needs: list[Need], lightness: int, gives: int, family: str | None
) -> None:
    before = best_of(*shelf_of(pieces), needs)
    after = best_of(*shelf_of([*pieces, (lightness, gives, 100, family)]), needs)
    if after is None or after.proven:
        assert aim(after) >= aim(before)


@settings(deadline=None, max_examples=40)
@given(PIECES, NEEDS, st.data())
def test_keeping_or_leaving_out_never_widens_the_best_gap(
    pieces: list[Drawn], needs: list[Need], data: st.DataObject
) -> None:
    shelf, squares = shelf_of(pieces)
    free = best_of(shelf, squares, needs)
    code = data.draw(st.sampled_from(shelf)).code
    role = data.draw(st.sampled_from([None, *{need.role for need in needs}]))
    kept = best_of(shelf, squares, needs, keep=[Keep(code, role)])
    without = best_of(shelf, squares, needs, leave_out=[code])
    if free is None or free.proven:
        assert aim(kept) <= aim(free)
        assert aim(without) <= aim(free)
    if kept is not None:
        assert code in {code for one in kept.chosen if one.kept for code in one.codes}
    if without is not None:
        assert code not in {code for one in without.chosen for code in one.codes}


@settings(deadline=None, max_examples=30)
@given(PIECES, NEEDS, st.integers(1, 3))
def test_copies_of_a_fabric_are_one_fabric(
    pieces: list[Drawn], needs: list[Need], parts: int
) -> None:
    shelf, squares = shelf_of(pieces)
    apart, shares = [], []
    for one, count in zip(shelf, squares, strict=True):
        for part in range(parts):
            apart.append(
                Candidate(f"{one.code}/{part}", one.fabric, one.reading, one.area, one.family)
            )
            shares.append(count if not part else 0)
    assert aim(best_of(apart, shares, needs)) == aim(best_of(shelf, squares, needs))


def test_two_values_have_one_gap() -> None:
    shelf = [fabric("A", 20), fabric("B", 55), fabric("C", 90)]
    best = best_of(shelf, [0, 0, 0], counted(1, 0, 1))
    assert best is not None
    assert [one.between for one in best.contrast] == [(LIGHT, DARK)]
    assert best.gap == 70.0


def test_what_is_asked_first_is_told_first() -> None:
    shelf = [fabric("A", 20), fabric("B", 55), fabric("C", 90), fabric("D", 88)]
    best = best_of(shelf, [0] * 4, counted(2, 1, 1))
    assert best is not None
    assert [(one.role, one.codes) for one in best.chosen] == [
        ("light", ("C",)), ("light", ("D",)), ("medium", ("B",)), ("dark", ("A",)),
    ]  # fmt: skip
    assert [one.between for one in best.contrast] == [(LIGHT, MEDIUM), (MEDIUM, DARK)]
