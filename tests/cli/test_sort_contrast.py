"""Value on the command line: sort, contrast, bands."""

import itertools
import random
import statistics

import pytest

from tests.cli.terminal import Terminal

GROUPS = ("light", "medium", "dark")


def test_json_of_sort_has_the_agreed_shape(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Slate | 50.25     |
    | Cream | 90        |
    | Navy  | 18        |
    | Sky   | 54.5      |
    | Plaid |           |
    """
    ranking = run.json("sort")
    assert {"pieces", "groups", "contrast"} <= set(ranking)
    assert ranking["pieces"] == [
        {"code": code, "name": name, "lightness": lightness, "uncertainty": 2.0, "value": value,
         "flags": []}
        for code, name, lightness, value in (
            ("A2", "Cream", 90.0, "light"), ("A4", "Sky", 54.5, "medium"),
            ("A1", "Slate", 50.25, "medium"), ("A3", "Navy", 18.0, "dark"),
        )
    ]  # fmt: skip
    assert list(ranking["groups"]) == list(GROUPS)
    assert ranking["groups"]["medium"] == {
        "count": 2, "pieces": ["A4", "A1"], "lightest": 54.5, "darkest": 50.25,
    }  # fmt: skip
    between = [judged["between"] for judged in ranking["contrast"]]
    assert between == [["light", "medium"], ["medium", "dark"]]
    for judged in ranking["contrast"]:
        assert {"between", "gap", "uncertainty", "verdict", "pairs"} <= set(judged)
    assert [judged["gap"] for judged in ranking["contrast"]] == [35.5, 32.25]
    assert ranking["contrast"][0]["uncertainty"] == pytest.approx(8**0.5, abs=1e-12)
    assert ranking["unmeasured"] == ["A5"]


@pytest.mark.parametrize("words", ["sort", "sort --by split", "sort tag:none", "contrast A1"])
def test_an_empty_group_has_no_gap(run: Terminal, words: str) -> None:
    """The shelf.

    | name  | lightness |
    | Slate | 50        |
    """
    contrast = run.json(words)["contrast"]
    assert len(contrast) == 2
    for judged in contrast:
        assert (judged["gap"], judged["uncertainty"]) == (None, None)
        assert (judged["verdict"], judged["pairs"]) == ("no pieces", [])


def test_sort_tells_the_weak_pair_and_what_cures_it(run: Terminal) -> None:
    """The shelf.

    | name        | lightness | tag    |
    | Cream linen | 88        | autumn |
    | Straw plaid | 67        | autumn |
    | Sage stripe | 63        | autumn |
    | Moss        | 40.5      | autumn |
    | Plum dots   | 31        | autumn |
    | Butter      | 80        |        |
    """
    assert run("sort tag:autumn").splitlines() == [
        "LIGHT  2 pieces, L* 88 to 67",
        "  A1    Cream linen                        88 ±2",
        "  A2    Straw plaid                        67 ±2",
        "",
        "MEDIUM  2 pieces, L* 63 to 40",
        "  A3    Sage stripe                        63 ±2",
        "  A4    Moss                               40 ±2",
        "",
        "DARK  1 piece, L* 31",
        "  A5    Plum dots                          31 ±2",
        "",
        "Light to medium: gap 4.0 ±3, weak: the two groups will run together.",
        "    A2 “Straw plaid” and A3 “Sage stripe” are 4.0 apart.",
        "    → Leave A3 “Sage stripe” out: the gap becomes 26.5 ±3, strong.",
        "    → Leave A2 “Straw plaid” out: the gap becomes 25.0 ±3, strong.",
        "    → Take A6 “Butter” instead of A2 “Straw plaid”: the gap becomes 17.0 ±3, clear.",
        "Medium to dark: gap 9.5 ±3, fair.",
    ]


def test_what_a_cure_promises_comes_true(run: Terminal) -> None:
    """The shelf.

    | name        | lightness | tag    |
    | Cream linen | 88        | autumn |
    | Straw plaid | 67        | autumn |
    | Sage stripe | 63        | autumn |
    | Moss        | 48        | autumn |
    | Plum dots   | 31        | autumn |
    | Butter      | 80        |        |
    | Slate       | 45        |        |
    """
    ranking = run.json("sort tag:autumn")
    groups = {value: set(ranking["groups"][value]["pieces"]) for value in GROUPS}
    cures = ranking["contrast"][0]["cures"]
    assert cures
    for cure in cures:
        instead = {
            value: (members - set(cure["leave_out"]))
            | ({cure["instead"]} if cure["instead"] and members & set(cure["leave_out"]) else set())
            for value, members in groups.items()
        }
        words = [",".join(sorted(instead[value])) for value in GROUPS]
        judged = run.json("contrast", *words)["contrast"][0]
        assert judged["gap"] == pytest.approx(cure["gap"])
        assert judged["verdict"] == cure["verdict"]
        assert judged["gap"] > ranking["contrast"][0]["gap"]


def test_pieces_of_one_fabric_are_no_weak_pair_of_their_own(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Slate | 50        |
    """
    run("add --fabric A1 --size fq")
    judged = run.json("contrast A1 A2")["contrast"][0]
    # Two pieces of one fabric have no difference at all, and that is known exactly.
    assert (judged["gap"], judged["uncertainty"], judged["verdict"]) == (0, 0, "weak")


def test_split_is_the_best_three_way_split(run: Terminal) -> None:
    numbers = [random.Random(4).uniform(5, 95) for _ in range(9)]
    for index, number in enumerate(numbers):
        run(f"add C{index} --size fq --lightness {number!r}")
    ranking = run.json("sort --by split")
    found = [[piece["lightness"] for piece in ranking["pieces"] if piece["value"] == value]
             for value in GROUPS]  # fmt: skip

    def cost(groups: list[list[float]]) -> float:
        return sum((number - statistics.fmean(group)) ** 2 for group in groups for number in group)

    ordered = sorted(numbers, reverse=True)
    # Brute force: every way to cut the ordered row in three (least squares within the groups).
    every = ([ordered[:i], ordered[i:j], ordered[j:]]
             for i, j in itertools.combinations(range(1, 9), 2))  # fmt: skip
    assert cost(found) == pytest.approx(min(map(cost, every)))


WAYS_TO_GIVE_GROUPS = [
    "A1,A2 A3,A4 A5",
    "'A1 A2' 'A3 A4' A5",
    "a1,a2 a3,a4 a05",
    "tag:pale tag:mid tag:deep",
    "value:light value:medium value:dark",
    "--light A1 --light A2 --medium A3,A4 --dark A5",
    "--dark tag:deep --light tag:pale --medium tag:mid",
    "A1,A2 --medium 'A3 A4' '' A5",
    "tag:pale --medium tag:mid --dark A5",
    "'Cream' --light Butter 'tag:mid' deep",
]


def test_groups_are_given_by_codes_or_words(run: Terminal, subtests: pytest.Subtests) -> None:
    """The shelf.

    | name   | lightness | tag  |
    | Cream  | 90        | pale |
    | Butter | 85        | pale |
    | Sage   | 60        | mid  |
    | Moss   | 55        | mid  |
    | Navy   | 20        | deep |
    """
    for words in WAYS_TO_GIVE_GROUPS:
        with subtests.test(words):
            ranking = run.json(f"contrast {words}")
            groups = [ranking["groups"][value]["pieces"] for value in GROUPS]
            assert groups == [["A1", "A2"], ["A3", "A4"], ["A5"]]
            assert [judged["gap"] for judged in ranking["contrast"]] == [25, 35]


def test_a_role_goes_before_the_bands(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Navy  | 20        |
    | Soot  | 10        |
    | Cream | 90        |
    """
    ranking = run.json("contrast A1 A2 A3")
    assert [piece["value"] for piece in ranking["pieces"]] == ["dark", "light", "medium"]
    first, second = ranking["contrast"]
    assert (first["gap"], first["verdict"]) == (10, "fair")
    # The darks are far lighter than the mediums: they overlap.
    assert (second["gap"], second["verdict"]) == (-80, "weak")
    assert "overlap by 80.0" in run("contrast A1 A2 A3")


def test_groups_typed_the_wrong_way_round_are_told_as_such(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Soot  | 10        |
    | Slate | 55        |
    | Cream | 90        |
    """
    said = run("contrast A1 A2 A3")
    assert "weak: the light group is the darker of the two, from end to end." in said
    assert "weak: the medium group is the darker of the two, from end to end." in said
    assert "run together" not in said and "weak in grey" not in said
    assert "from end to end" not in run("contrast A3 A2 A1")


def test_a_piece_without_lightness_takes_no_part_and_is_named(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 90        |
    | Plaid |           |
    """
    assert "Not measured yet, so left out (1): A2." in run("sort")
    assert run.json("contrast A1 A2")["unmeasured"] == ["A2"]


def test_a_stash_without_any_lightness_says_so(run: Terminal) -> None:
    assert run("sort") == (
        "No piece with a known lightness answers, so there is nothing to rank.\n"
        "Add a photo of a piece, or leave a search word away.\n"
    )


def test_bands_are_shared_and_change_every_value(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Sky   | 60        |
    | Slate | 45        |
    """
    assert run("bands").startswith("Dark is below 40, light from 65")
    assert run.json("bands --dark-below 50 --light-from 55") == {
        "dark_below": 50.0, "light_from": 55.0,
    }  # fmt: skip
    assert [piece["value"] for piece in run.json("sort")["pieces"]] == ["light", "dark"]
    assert run.codes("value:light") == ["A1"]
    run("undo")
    assert run.json("bands") == {"dark_below": 40.0, "light_from": 65.0}


def test_a_piece_on_a_limit_belongs_to_the_lighter_side(run: Terminal) -> None:
    """The shelf.

    | name | lightness |
    | On   | 65        |
    | Just | 64.999    |
    | At   | 40        |
    | Less | 39.999    |
    """
    values = [piece["value"] for piece in run.json("sort")["pieces"]]
    assert values == ["light", "medium", "medium", "dark"]


def test_ended_pieces_neither_rank_nor_serve_as_cures(run: Terminal) -> None:
    """The shelf.

    | name   | lightness |
    | Cream  | 67        |
    | Sage   | 63        |
    | Butter | 90        |
    """
    run("end A3 --how sold")
    assert [piece["code"] for piece in run.json("sort")["pieces"]] == ["A1", "A2"]
    cures = run.json("contrast A1 A2")["contrast"][0]["cures"]
    assert "A3" not in {cure["instead"] for cure in cures}
    # Named by its code it takes part all the same.
    assert run.json("contrast A3 A2")["contrast"][0]["gap"] == 27
