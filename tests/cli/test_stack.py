"""`stack`: the same cuts from several pieces at once, on one squared corner."""

from contextlib import closing

import pypdfium2
import pytest

from tests.cli.terminal import Terminal


def test_pieces_are_cut_in_layers_and_flannel_in_fewer(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared | fibre   |
    | Moss | 20 x 18 | yes     |         |
    | Fern | 20 x 17 | yes     |         |
    | Sky  | 19 x 18 | yes     |         |
    | Dune | 21 x 18 | yes     |         |
    | Reed | 18 x 18 | yes     |         |
    | Tiny | 6 x 6   | yes     |         |
    | Fog  | 20 x 18 | yes     | flannel |
    | Mist | 20 x 18 | yes     | flannel |
    | Rain | 20 x 18 | yes     | flannel |
    """
    made = run.json("stack --cut '6 x 5 in square'")
    # Four layers of cotton, two of flannel (common practice).
    assert sorted(len(stack) for stack in made["stacks"]) == [1, 1, 2, 4]
    assert made["left_out"] == ["A6"]
    gives = {piece["code"]: piece["gives"] for piece in made["plan"]["pieces"]}
    assert gives == {f"A{number}": {"A": 6} for number in (1, 2, 3, 4, 5, 7, 8, 9)}
    told = run("steps 1")
    assert "on one another, the largest at the bottom" in told
    assert "from the left edge of the stack" in told
    # Each layer leaves its own.
    kept = next(one["keeps"] for one in made["plan"]["pieces"] if one["code"] == "A2")
    said = " ".join(run("steps 1").split())
    assert f"A2 keeps {kept[0]['width']['inches']:.0f} × " in said
    run("cut 1 A2")
    assert run.json("show A10")["size"] == kept[0]


def test_what_one_layer_keeps_is_not_called_waste(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 12 x 30 | yes     |
    | Fern | 18 x 10 | yes     |
    """
    # Two squares of 5 in across 12 in leave 2 in of the first, a scrap, but 8 in of the second.
    run("stack --cut '4 x 5 in square'")
    told = run("steps 1")
    assert "What is left over is waste." not in told
    assert "A2 keeps 8 × 5 in, 8 × 5 in." in told or "A2 keeps 8 × 10 in." in told


def test_the_printed_pages_say_what_is_cut_together(run: Terminal) -> None:
    """The shelf.

    | name | size    | squared |
    | Moss | 12 x 30 | yes     |
    | Fern | 18 x 10 | yes     |
    """
    run("stack --cut '4 x 5 in square'")
    run("diagram 1 plan.pdf")
    with closing(pypdfium2.PdfDocument("plan.pdf")) as document:
        pages = [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    assert "Stack 1: A1, A2. Square up each, lay them on one another" in pages[0]
    assert all("stack 1" in page for page in pages[1:])
    assert "8 × 10 in go back" not in pages[2]


def test_layers_as_set(run: Terminal) -> None:
    """The shelf.

    | name | size    |
    | Moss | 20 x 18 |
    | Fern | 20 x 18 |
    | Sky  | 20 x 18 |
    """
    run("settings layers 2")
    assert run.json("stack --cut '4 x 5 in square'")["stacks"] == [["A1", "A2"], ["A3"]]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("stack", "No cut was given."),
        ("stack --cut '90 x 5 in square'", "No piece gives all of these cuts."),
        ("stack --cut '2 x 5 in square from A1'", "a cut names no cloth"),
        ("stack tag:none --cut '2 x 5 in square'", "No piece gives all of these cuts."),
    ],
)
def test_what_cannot_be_stacked_is_refused(run: Terminal, words: str, said: str) -> None:
    """The shelf.

    | name | size    |
    | Moss | 20 x 18 |
    """
    assert said in run.refused(words)
