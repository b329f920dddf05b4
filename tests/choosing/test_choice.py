"""What decides between choices as far apart, what is said for them, and how cuts are proven."""

from stashkeeper.choosing.choose import choose
from stashkeeper.choosing.needs import CutsNeeded, Keep, Need, in_sets
from stashkeeper.choosing.reasons import Reason
from stashkeeper.choosing.score import Favour
from tests.choosing.shelves import (
    DARK,
    LIGHT,
    MEDIUM,
    SQUARES,
    counted,
    fabric,
    photographed,
    row,
    square_inches,
)

FAT_QUARTER, HALF_YARD, SCRAP = 378.0, 756.0, 60.0


def codes(chosen: object, role: str) -> set[str]:
    """Return the codes of the pieces chosen for a role."""
    return {code for one in chosen.chosen if one.role == role  # type: ignore[attr-defined]
            for code in one.codes}  # fmt: skip


def test_scraps_go_first_where_the_gap_is_the_same() -> None:
    shelf = [
        fabric("yardage", 10, area=HALF_YARD), fabric("scrap", 14, area=SCRAP),
        fabric("medium", 44), fabric("light", 74),
    ]  # fmt: skip
    best = choose(shelf, {SQUARES: [20, 3, 9, 9]}, counted(1, 1, 1, squares=3)).best
    assert best.gap == 30.0
    assert codes(best, "dark") == {"scrap"}


def test_harmony_decides_among_pieces_of_one_size() -> None:
    shelf = [
        fabric("red", 10, a=60.0, b=40.0), fabric("blue", 12, a=5.0, b=-40.0),
        fabric("sky", 50, a=-5.0, b=-30.0), fabric("ice", 88, a=-2.0, b=-10.0),
    ]  # fmt: skip
    assert codes(choose(shelf, {}, counted(1, 1, 1)).best, "dark") == {"blue"}


def test_certainty_decides_last() -> None:
    shelf = [photographed("photo", 10), fabric("typed", 12, a=0.0, b=0.0),
             fabric("M", 50, a=0.0, b=0.0), fabric("L", 88, a=0.0, b=0.0)]  # fmt: skip
    assert codes(choose(shelf, {}, counted(1, 1, 1)).best, "dark") == {"typed"}


def test_small_pieces_of_a_fabric_are_taken_before_its_yardage() -> None:
    shelf = [
        fabric("bolt", 10, fabric="navy", area=HALF_YARD),
        fabric("left", 10, fabric="navy", area=SCRAP),
        fabric("M", 50), fabric("L", 88),
    ]  # fmt: skip
    needs = counted(1, 1, 1, squares=3)
    assert codes(choose(shelf, {SQUARES: [20, 3, 9, 9]}, needs).best, "dark") == {"left"}
    kept = choose(shelf, {SQUARES: [20, 3, 9, 9]}, needs, keep=[Keep("bolt", "dark")]).best
    assert codes(kept, "dark") == {"bolt"}


def test_what_copies_give_adds_up() -> None:
    shelf = [fabric("one", 10, fabric="navy"), fabric("two", 10, fabric="navy"),
             fabric("other", 20), fabric("L", 88)]  # fmt: skip
    best = choose(shelf, {SQUARES: [2, 2, 3, 9]}, counted(1, 0, 1, squares=4)).best
    assert codes(best, "dark") == {"one", "two"}
    assert [one.gives[SQUARES] for one in best.chosen if one.role == "dark"] == [4]


def test_a_few_different_choices_say_what_they_favour() -> None:
    shelf = [
        fabric("D1", 10, area=HALF_YARD), fabric("D2", 12, area=SCRAP),
        fabric("M1", 50, area=HALF_YARD), fabric("M2", 51, area=SCRAP),
        fabric("L1", 90, area=HALF_YARD), fabric("L2", 88.5, area=SCRAP),
    ]  # fmt: skip
    answer = choose(shelf, {}, counted(1, 1, 1))
    assert answer.best.gap == 40.0 and codes(answer.best, "light") == {"L1"}
    favours = {choice.favour: choice for choice in answer.others}
    scraps = favours[Favour.SCRAPS]
    assert [codes(scraps, role) for role in ("light", "medium", "dark")] == [{"L2"}, {"M2"}, {"D2"}]
    assert scraps.gap == 37.5 and not scraps.proven
    assert len(choose(shelf, {}, counted(1, 1, 1), others=1).others) == 1


def test_other_fabrics_than_those_that_set_the_gap() -> None:
    answer = choose(row([10, 20, 50, 60, 90]), {}, counted(1, 1, 1))
    (other,) = [choice for choice in answer.others if choice.favour is Favour.OTHERS]
    assert answer.best.gap == 40.0 and other.gap == 30.0


def test_what_each_fabric_is_for_and_why() -> None:
    shelf = [fabric("D", 10), fabric("M", 50), fabric("L", 95), fabric("K", 97)]
    best = choose(shelf, {}, counted(2, 1, 1), keep=[Keep("K", "light")]).best
    told = {one.codes[0]: one.why for one in best.chosen}
    assert told["K"] == "You keep it."
    assert told["D"] == told["M"]
    assert told["D"] == "It sets the smaller gap: nothing better placed that gives enough is left."


def test_why_tempting_pieces_were_left_out() -> None:
    shelf = [
        fabric("black", 5), fabric("navy", 15), fabric("slate", 30), fabric("sage", 50),
        fabric("cream", 85), fabric("white", 93), fabric("mine", 3),
    ]  # fmt: skip
    squares = {SQUARES: [4, 9, 9, 9, 9, 9, 9]}
    answer = choose(shelf, squares, counted(1, 1, 1, squares=6), leave_out=["mine"])
    told = {one.codes[0]: (one.reason, one.told) for one in answer.left_out}
    assert told["black"] == (
        Reason.TOO_SMALL, "To serve as dark it is too small: it gives 4 of 6 cuts.",
    )  # fmt: skip
    assert told["slate"] == (
        Reason.BETWEEN,
        "It lies between dark and medium: with it that gap would be 20.0 at most, not 35.0.",
    )
    assert told["white"][0] is Reason.NOT_NEEDED or told["cream"][0] is Reason.NOT_NEEDED
    assert "mine" not in told


def test_sets_that_share_a_colour_keep_their_values_apart_inside() -> None:
    shelf = [fabric(f"r{at}", light, family="red") for at, light in enumerate([20, 40, 60])]
    shelf += [fabric(f"b{at}", light, family="blue") for at, light in enumerate([45, 65, 85])]
    shelf += [fabric("g1", 50, family="green"), fabric("none", 55)]
    answer = choose(shelf, {}, in_sets(counted(1, 1, 1), 2))
    best = answer.best
    assert (best.inside, best.gap) == (20.0, -5.0)
    assert {one.family for one in best.chosen if one.set_number == 1} == {"blue"}
    over_all, unknown = answer.remarks
    assert over_all == (
        "Taken over all sets together, neighbouring groups overlap by 5.0; inside every set they "
        "stay apart."
    )
    assert unknown == "1 fabric has no known colour and could join no set."
    told = {one.codes[0]: one.told for one in answer.left_out}
    assert told["g1"] == "No set is green: other colours keep the values further apart."
    assert told["none"] == "Its colour is not known, so it can join no set."


def test_among_sets_as_good_inside_all_darks_stay_clear_of_all_lights() -> None:
    red = [fabric(f"r{at}", light, family="red") for at, light in enumerate([10, 40, 70])]
    blue = [
        fabric(f"b{at}", light, family="blue") for at, light in enumerate([12, 42, 72, 30, 60, 90])
    ]
    best = choose([*red, *blue], {}, in_sets(counted(1, 1, 1), 2)).best
    assert best.inside == 30.0
    assert best.gap == 28.0


def test_further_pieces_of_one_value_beside_sets() -> None:
    shelf = [fabric(f"r{at}", light, family="red") for at, light in enumerate([10, 50, 90])]
    shelf += [fabric("g1", 88, family="green"), fabric("g2", 60, family="green"), fabric("x", 86)]
    needs = [*in_sets(counted(1, 1, 1), 1), Need("ground", LIGHT, 2)]
    best = choose(shelf, {}, needs).best
    assert best.inside == 40.0
    assert codes(best, "ground") == {"g1", "x"}


def test_a_set_of_a_named_family_and_a_kept_piece() -> None:
    shelf = [fabric(f"r{at}", light, family="red") for at, light in enumerate([10, 50, 90])]
    shelf += [fabric(f"b{at}", light, family="blue") for at, light in enumerate([30, 50, 70, 40])]
    needs = [
        Need(str(value), value, set_number=1, family="blue") for value in (LIGHT, MEDIUM, DARK)
    ]
    assert choose(shelf, {}, needs).best.inside == 20.0
    free = in_sets(counted(1, 1, 1), 1)
    assert choose(shelf, {}, free).best.inside == 40.0
    assert choose(shelf, {}, free, keep=[Keep("b3", "dark")]).best.inside == 10.0


def test_a_role_for_which_any_value_will_do() -> None:
    shelf = row([10, 40, 50, 90])
    needs = [*counted(1, 1, 1), Need("border", None, 1)]
    best = choose(shelf, {}, needs).best
    assert best.gap == 40.0 and codes(best, "border") == {"P1"}
    large = [*counted(1, 1, 1), Need("border", None, 1, (CutsNeeded(SQUARES, 5),))]
    best = choose(shelf, {SQUARES: [9, 1, 1, 1]}, large[:2] + large[3:]).best
    assert best.gap == 50.0 and codes(best, "border") == {"P0"}


def test_several_sizes_out_of_one_cloth_are_proven_by_the_cutting_room() -> None:
    needs = [
        Need(str(value), value, 1, (CutsNeeded("large", 2), CutsNeeded("small", 4)),
             area=square_inches(200))
        for value in (LIGHT, DARK)
    ]  # fmt: skip
    shelf = row([10, 20, 80, 90])
    gives = {"large": [4, 4, 4, 4], "small": [9, 9, 9, 9]}
    asked: list[tuple[str, ...]] = []

    def prove(need: Need, pieces: tuple[str, ...]) -> bool:
        asked.append(pieces)
        return pieces != ("P0",)

    best = choose(shelf, gives, needs, prove=prove, others=0).best
    assert codes(best, "dark") == {"P1"} and codes(best, "light") == {"P3"}
    assert (best.gap, best.bound, best.proven, best.cuts_proven) == (70.0, 80.0, False, True)
    assert ("P0",) in asked and ("P1",) in asked
    unasked = choose(shelf, gives, needs, others=0)
    assert not unasked.best.cuts_proven and unasked.best.gap == 80.0
    assert "no cutting plan has proven" in unasked.remarks[-1]


def test_where_a_sum_of_several_sizes_does_not_come_out_more_cloth_is_taken() -> None:
    cuts = (CutsNeeded("large", 6), CutsNeeded("small", 8))
    needs = [Need("dark", DARK, None, cuts), Need("light", LIGHT)]
    shelf = row([10, 12, 14, 16, 18, 90])
    gives = {"large": [3] * 6, "small": [4] * 6}
    best = choose(shelf, gives, needs, prove=lambda _, pieces: len(pieces) >= 4, others=0).best
    assert codes(best, "dark") == {"P0", "P1", "P2", "P3"} or len(codes(best, "dark")) >= 4
    assert best.cuts_proven and best.bound == 78.0
