"""`scraps`: bags with strips by width, squares by size, crumbs by weight, counted in and out."""

import pytest

from tests.cli.terminal import Terminal


def bag(run: Terminal, code: str = "A1") -> list[tuple[str, float, int]]:
    """Return kind, side in inches and count of everything that can be found in a bag."""
    (found,) = [one for one in run.json("scraps")["bags"] if one["code"] == code]
    return [(one["kind"], one["side"]["inches"], one["count"]) for one in found["scraps"]]


def test_scraps_are_counted_in_and_out(run: Terminal) -> None:
    run("scraps --new 'Blue bits' --at 'Shelf 2' --put '3 x 2 1/2 in strip' --crumbs '150 g'")
    run("scraps A1 --put '12 x 3 in square' --put '1 1/2 in strip' --put '2 x 2 1/2 in strip'")
    assert bag(run) == [("strip", 1.5, 1), ("strip", 2.5, 5), ("square", 3, 12)]
    run("scraps A1 --take '4 x 2 1/2 in strip' --crumbs '5 oz'")
    assert bag(run) == [("strip", 1.5, 1), ("strip", 2.5, 1), ("square", 3, 12)]
    (told,) = run.json("scraps")["bags"]
    # 5 oz of 28.349523125 g (avoirdupois ounce, International Agreement of 1959).
    assert told["crumbs"] == pytest.approx(141.748, abs=0.001)
    assert told["place"] == "Shelf 2"
    assert "1 × 2½ in strip" in run("scraps")
    assert "holds     1 × 1½ in strip, 1 × 2½ in strip, 12 × 3 in square, 141 g of" in run(
        "show A1"
    )
    before = run("history")
    assert run("scraps A1").startswith("A1  Blue bits")  # nothing was counted, and nothing is told
    assert run("history") == before
    run("undo")
    assert bag(run)[1] == ("strip", 2.5, 5)


def test_an_irregular_leftover_counts_as_its_largest_rectangle(run: Terminal) -> None:
    run("scraps --new Bits --put '4 x 5 x 7 in' --put '3 x 14 in'")
    # Shorter than a strip of 10 in it is a 5 in square; the other is a strip.
    assert bag(run) == [("strip", 3, 1), ("square", 5, 4)]


def test_find_looks_into_bags(run: Terminal) -> None:
    """The shelf.

    | name | size    |
    | Moss | 40 x 36 |
    """
    run("scraps --new Bits --put '6 x 2 1/2 in strip' --put '9 x 3 in square'")
    # A strip of 10 in gives four squares of 2½ in, a square of 3 in gives one: 24 + 9.
    found = run.json("find '2 1/2 in square' --count 33")["pieces"]
    assert next((piece["code"], piece["holds"], piece["certain"]) for piece in found) == (
        "A2",
        33,
        False,
    )
    assert [piece["code"] for piece in run.json("find '2 1/2 in square' --count 34")["pieces"]] == [
        "A1"
    ]
    # Nobody knows the grain of a scrap.
    assert [piece["code"] for piece in run.json("find '2 x 2' --directional")["pieces"]] == ["A1"]


def test_a_bag_that_holds_too_few_comes_nearest(run: Terminal) -> None:
    run("scraps --new Bits --put '6 x 2 1/2 in strip' --put '7 x 3 in square'")
    # Four 2½ in squares from each strip of 10 in, and one from each square: 24 + 7.
    said = run("find '2 1/2 in square' --count 40")
    assert "Nearest: A1 “Bits”, a bag, probably holds 31." in said
    assert "There is no cloth" not in said


def test_plans_leave_bags_alone(run: Terminal) -> None:
    run("scraps --new Bits --put '90 x 5 in square'")
    assert "The cloth is short" in run.refused("plan --cut '2 x 3 in square'")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("scraps A1 --take '5 x 3 in square'", "4 "),
        ("scraps A1 --take '1 x 9 in square'", "0 of that size"),
        ("scraps A1 --put '0 x 3 in square'", "no scrap at all"),
        ("scraps A1 --put blue", "“blue”"),
        ("scraps A1 --crumbs blue", "“blue” is not a weight."),
        ("scraps A1 --crumbs=-5", "is not a weight."),
        ("scraps A2 --put '3 in square'", "A2 is no bag of scraps"),
        ("scraps Z9 --put '3 in square'", "No piece has the code"),
        ("scraps --put '3 in square'", "Which bag is meant"),
        ("scraps A1 --new Bits", "either new or has a code"),
    ],
)
def test_what_cannot_be_counted_is_refused(run: Terminal, words: str, said: str) -> None:
    run("scraps --new Bits --put '4 x 3 in square'")
    run("add Moss --size fq")
    assert said in run.refused(words)


def test_no_bag_yet(run: Terminal) -> None:
    assert run("scraps").startswith("There is no bag of scraps yet")
