"""Each request that cannot be met has its sentence; what can be met in part is said in part."""

import pytest

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Keep, Need, in_sets
from stashkeeper.choosing.shelf import Candidate
from stashkeeper.errors import BadRequestError, NoChoiceError, StashkeeperError
from tests.choosing.shelves import (
    DARK,
    LIGHT,
    MEDIUM,
    SQUARES,
    counted,
    fabric,
    photographed,
    row,
)

SHELF = row([15, 30, 50, 70, 90])
NINE = {SQUARES: [9, 9, 9, 9, 9]}


def refused(
    needs: list[Need],
    shelf: list[Candidate] | None = None,
    squares: list[int] | None = None,
    keep: list[Keep] | None = None,
    leave_out: list[str] | None = None,
) -> StashkeeperError:
    """Return the error a request ends in."""
    with pytest.raises(StashkeeperError) as caught:
        choose(
            SHELF if shelf is None else shelf,
            NINE if squares is None else {SQUARES: squares},
            needs,
            keep=keep or [],
            leave_out=leave_out or [],
        )
    return caught.value


def test_an_empty_shelf() -> None:
    error = refused(counted(1, 1, 1), shelf=[], squares=[])
    assert isinstance(error, NoChoiceError)
    assert error.problem == "There is no piece to choose from."


def test_all_pieces_of_one_lightness() -> None:
    error = refused(counted(1, 1, 1), shelf=row([50, 50, 50, 50]), squares=[9] * 4)
    assert error.problem == (
        "All pieces have the same lightness, 50.0: nothing tells light from dark."
    )
    assert error.remedy == "Measure or add fabrics of another lightness."


def test_a_role_of_no_fabrics_is_left_away() -> None:
    best = choose(SHELF, NINE, counted(1, 0, 1)).best
    assert [one.role for one in best.chosen] == ["light", "dark"]


def test_a_role_of_no_cuts_is_left_away() -> None:
    needs = [*counted(1, 0, 1), Need("border", DARK, None, (CutsNeeded(SQUARES, 0),))]
    assert [one.role for one in choose(SHELF, NINE, needs).best.chosen] == ["light", "dark"]


@pytest.mark.parametrize(
    ("needs", "told"),
    [
        (counted(0, 0, 0), "No role asks for a fabric."),
        (counted(-1, 1, 1), "The role “light” asks for -1 fabrics."),
        (counted(10_001, 1, 1), "The role “light” asks for 10001 fabrics."),
        ([Need("sky", LIGHT, None)],
         "The role “sky” says neither how many fabrics nor how many cuts."),
        ([Need("sky", LIGHT), Need("sky", DARK)], "The role “sky” is there twice."),
        ([Need("sky", LIGHT, 1, (CutsNeeded(SQUARES, -2),))],
         "The role “sky” was to give -2 cuts."),
        ([Need("sky", LIGHT, None, (CutsNeeded(SQUARES, 2),), each=True)],
         "Every fabric for “sky” is to give all the cuts."),
        ([Need("sky", None, 1, set_number=1)], "The role “sky (set 1)” belongs to a set."),
        ([Need("sky", LIGHT, 1, set_number=0)], "There is no set 0."),
    ],
)  # fmt: skip
def test_needs_that_say_nothing_sensible(needs: list[Need], told: str) -> None:
    error = refused(needs)
    assert isinstance(error, BadRequestError)
    assert error.problem == told
    assert error.remedy


def test_more_sets_than_anybody_sews() -> None:
    with pytest.raises(BadRequestError, match="1001 sets were asked for"):
        in_sets(counted(1, 1, 1), 1001)


def test_too_few_fabrics_that_are_large_enough() -> None:
    error = refused(counted(1, 1, 2, squares=6), squares=[2, 9, 2, 2, 2])
    assert isinstance(error, NoChoiceError)
    assert error.problem == "For “dark” the shelf has 1 of 2 fabrics that are large enough."
    assert error.nearest == (error.problem,)


def test_large_enough_fabrics_that_lie_wrong() -> None:
    needs = [Need("star", DARK, 1, (CutsNeeded(SQUARES, 6),)), *counted(2, 2, 0)]
    error = refused(needs, squares=[2, 2, 9, 2, 2])
    assert error.problem == (
        "With the values in order the shelf gives about 50% at once: "
        "star 1 of 1 fabrics, light 1 of 2 fabrics, medium 1 of 2 fabrics."
    )


def test_too_few_cuts_on_the_whole_shelf() -> None:
    error = refused([Need("sky", LIGHT, None, (CutsNeeded(SQUARES, 60),)), Need("tree", DARK)])
    assert error.problem == "For “sky” the shelf gives 45 of 60 cuts."


def test_enough_for_each_role_but_not_for_all_at_once() -> None:
    needs = [
        Need(str(value), value, None, (CutsNeeded(SQUARES, 30),)) for value in (LIGHT, MEDIUM, DARK)
    ]
    error = refused(needs)
    assert error.problem == (
        "With the values in order the shelf gives about 30% at once: light 9 of 30 cuts, "
        "medium 9 of 30 cuts, dark 9 of 30 cuts."
    )


def test_more_sets_than_the_shelf_has() -> None:
    shelf = [fabric(f"P{at}", 15 + 9 * at, family="blue" if at < 6 else "red") for at in range(9)]
    error = refused(list(in_sets(counted(1, 1, 1), 4)), shelf=shelf, squares=[0] * 9)
    assert error.problem == "4 sets are asked for, and the shelf has 3: blue 2, red 1."


def test_sets_that_leave_too_little_for_the_other_roles() -> None:
    shelf = [fabric(f"P{at}", 15 + 9 * at, family="blue") for at in range(7)]
    needs = [*in_sets(counted(1, 1, 1), 2), Need("ground", LIGHT, 3)]
    error = refused(needs, shelf=shelf, squares=[0] * 7)
    assert error.problem == "With every other role filled, 1 of the 2 sets can be had."


def test_sets_from_fabrics_whose_colour_nobody_knows() -> None:
    error = refused(list(in_sets(counted(1, 1, 1), 1)))
    assert error.problem == "1 set is asked for, and the shelf has none."


def test_a_kept_piece_that_is_too_small() -> None:
    error = refused(counted(1, 1, 1, squares=6), squares=[2, 9, 9, 9, 9], keep=[Keep("P0", "dark")])
    assert isinstance(error, BadRequestError)
    assert error.problem == (
        "P0 is kept for “dark”, but is too small for it: it gives 2 of 6 cuts."
    )


def test_a_kept_piece_that_is_too_small_for_every_role() -> None:
    error = refused(counted(1, 1, 1, squares=6), squares=[2, 9, 9, 9, 9], keep=[Keep("P0")])
    assert "P0 is kept for" in error.problem and "too small" in error.problem


@pytest.mark.parametrize(
    ("keep", "out", "told"),
    [
        ([Keep("X9")], [], "“X9” is not among the pieces to choose from."),
        ([], ["X9"], "“X9” is not among the pieces to choose from."),
        ([Keep("P0")], ["P0"], "P0 is to be kept, but its fabric is to be left out."),
        ([Keep("P0", "moon")], [], "P0 is kept for “moon”, which is no role."),
        ([Keep("P0", "dark"), Keep("P1", "dark")], [],
         "2 fabrics are kept for “dark”, which takes 1."),
        ([Keep("P0", "light"), Keep("P4", "dark")], [],
         "The kept pieces do not go from dark to light in the roles they are kept for."),
        ([Keep("P0", "light"), Keep("P0", "dark")], [],
         "P0 is kept for “dark”, but another piece of its fabric is kept for another role."),
    ],
)  # fmt: skip
def test_kept_and_left_out_pieces_that_do_not_go_together(
    keep: list[Keep], out: list[str], told: str
) -> None:
    assert refused(counted(1, 1, 1), keep=keep, leave_out=out).problem == told


def test_two_colours_kept_for_one_set() -> None:
    shelf = [fabric("R", 20, family="red"), fabric("B", 50, family="blue"),
             fabric("C", 80, family="blue")]  # fmt: skip
    keep = [Keep("R", "dark (set 1)"), Keep("B", "medium (set 1)")]
    error = refused(list(in_sets(counted(1, 1, 1), 1)), shelf=shelf, squares=[0] * 3, keep=keep)
    assert error.problem == "Set 1 cannot have one colour family: blue and red."


@pytest.mark.parametrize("sets", [1, 2])
def test_a_kept_fabric_whose_colour_gives_no_set_is_named(sets: int) -> None:
    shelf = [fabric("K", 20, family="black"), fabric("A", 30, family="blue"),
             fabric("B", 50, family="blue"), fabric("C", 80, family="blue")]  # fmt: skip
    error = refused(list(in_sets(counted(1, 1, 1), sets)), shelf=shelf, squares=[0] * 4,
                    keep=[Keep("K")])  # fmt: skip
    assert error.problem == (
        "With K a set is black, and wants 2 more black fabrics; the shelf has none for it."
    )


def test_a_kept_fabric_whose_colour_does_not_keep_the_values_in_order() -> None:
    shelf = [fabric("A", 30, family="blue"), fabric("B", 50, family="blue"),
             fabric("C", 80, family="blue")]  # fmt: skip
    error = refused(list(in_sets(counted(1, 1, 1), 1)), shelf=shelf, squares=[0] * 3,
                    keep=[Keep("B", "light (set 1)")])  # fmt: skip
    assert error.problem == (
        "With B a set is blue, and wants 2 more blue fabrics; those there are do not keep the "
        "values in order with it."
    )


def test_two_colours_kept_without_a_role_go_to_two_sets() -> None:
    shelf = [fabric("R", 20, family="red"), fabric("S", 80, family="red"),
             fabric("B", 30, family="blue"), fabric("C", 85, family="blue")]  # fmt: skip
    needs = list(in_sets([Need("dark", DARK, 1), Need("light", LIGHT, 1)], 2))
    answer = choose(shelf, {}, needs, keep=[Keep("R"), Keep("C")])
    assert answer.best.aim == 55.0  # 85 - 30, the nearer of the two pairs there are
    assert {code for one in answer.best.chosen for code in one.codes} == {"R", "S", "B", "C"}


def test_all_readings_provisional() -> None:
    shelf = [photographed(f"P{at}", light) for at, light in enumerate([15, 50, 85])]
    answer = choose(shelf, {}, counted(1, 1, 1))
    assert answer.best.all_provisional
    (remark,) = answer.remarks
    assert remark == (
        "Every lightness here is provisional, from photos with nothing of known lightness in "
        "them: photograph the chosen fabrics side by side before you cut."
    )


def test_a_weak_best_says_how_near_it_is() -> None:
    answer = choose(row([50, 53, 56]), {}, counted(1, 1, 1))
    assert answer.best.gap == 3.0
    (remark,) = answer.remarks
    assert remark == (
        "This is as near as the shelf gets: a gap of 3.0 between the groups. That is weak, and "
        "the values will run together."
    )
