"""Words that cannot be meant: each with its sentence, and the stash as it was."""

from pathlib import Path

import pytest

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal

REFUSED = [
    ("add", "A piece needs a size."),
    ("add Moss", "A piece needs a size."),
    ("add Moss --size ''", "A piece needs a size."),
    ("add --size fq", "A fabric without a photo needs a name."),
    ("add '  ' --size fq", "The name is empty."),
    ("add Moss --size '-5 x 10'", "“-5 x 10” is less than nothing."),
    ("add Moss --size '0 x 10'", "“0 x 10”"),
    ("add Moss --size '10 km x 3'", "“10 km x 3”"),
    ("add Moss --size '1e9 x 10'", "“1e9 x 10” is not a size."),
    ("add Moss --size '99999999 x 10'", "“99999999 x 10”"),
    ("add Moss --size 18", "“18” is one measurement, and cloth has two."),
    ("add Moss --size '9 7/0 x 4'", "“9 7/0"),
    ("add Moss --size nonsense", "“nonsense” is not a size."),
    ("add Moss --size fq --about --nominal", "A size is either a guess or as bought"),
    ("add Moss --size fq --count 0", "0 pieces cannot be added at once."),
    ("add Moss --size fq --count -3", "-3 pieces cannot be added at once."),
    ("add Moss --size fq --count 100000", "100000 pieces cannot be added at once."),
    ("add Moss --size fq --lightness 101", "101 is not a lightness."),
    ("add Moss --size fq --lightness=-1", "-1 is not a lightness."),
    ("add Moss --size fq --lightness nan", "nan is not a lightness."),
    ("add Moss --size fq --lightness grey", "“grey” is not a lightness."),
    ("add Moss --size fq --cost much", "“much” is not a cost."),
    ("add Moss --size fq --cost=-5", "“-5” is not a cost."),
    ("add Moss --size fq --repeat often", "“often” is not a length."),
    ("add Moss --size fq --direction sideways", "“sideways” is no direction of a print."),
    ("add Moss --size fq --tag ''", "The tag is empty."),
    ("add Moss --size fq --at ///", "The place is empty."),
    ("add Moss --size fq --crop 0,0,1,1", "A crop is part of a photo, and none was given."),
    ("add --size fq --fabric Q7", "No piece has the code “Q7”."),
    ("add --size fq --fabric ''", "No piece has the code “”."),
    ("add Moss --size fq --fabric A1", "Name and tags belong to the fabric"),
    ("add --size fq --cost 3 --fabric A1", "Name and tags belong to the fabric"),
    ("show Q7", "No piece has the code “Q7”."),
    ("show ''", "No piece has the code “”."),
    ("""show "'; DROP TABLE piece; --" """, "No piece has the code “'; DROP TABLE piece; --”."),
    ("change A1", "Nothing was given to change."),
    ("change Q7 --at 'Shelf 1'", "No piece has the code “Q7”."),
    ("change A1 --name ''", "The name is empty."),
    ("change A1 --size ''", "No size was typed."),
    ("end A1", "How it ended is missing."),
    ("end A1 --how vanished", "“vanished” is no way a piece ends."),
    ("end Q7 --how sold", "No piece has the code “Q7”."),
    ("photo Q7 nothing.jpg", "No piece has the code “Q7”."),
    ("photo A1 nothing.jpg", "There is no file nothing.jpg."),
    ("lightness A1 -5", "-5 is not a lightness."),
    ("lightness A1 inf", "inf is not a lightness."),
    ("lightness A1 light", "“light” is not a lightness."),
    ("lightness Q7 50", "No piece has the code “Q7”."),
    ("bands --dark-below 70", "Dark below 70 and light from 65"),
    ("bands --light-from nan", "Dark below 40 and light from nan"),
    ("list mood:happy", "“mood:happy” begins with no key there is."),
    ("list value:bright", "“value:bright”: value cannot be “bright”."),
    ("list size:huge", "“huge” is not a size."),
    ("list at:Attic", "There is no place “Attic”."),
    ("list tag:", "“tag:” lacks its value."),
    ("sort colour:beigeish", "“colour:beigeish”"),
    ("contrast", "No group was given."),
    ("contrast ''", "No group was given."),
    ("contrast A1 A1 ''", "A1 is in two groups, light and medium."),
    ("contrast A1 '' '' A1", "4 groups were given; there are three"),
    ("contrast A1 Q7", "No piece has the code “Q7”."),
    ("sheet shelf.svg", "A sheet is a PDF or a PNG, and “shelf.svg” is neither."),
    ("sheet shelf", "A sheet is a PDF or a PNG, and “shelf” is neither."),
    ("sheet shelf.pdf tag:none", "No piece answers, so there is nothing to draw."),
    ("sheet shelf.pdf --paper foolscap", "“foolscap” is no paper."),
    ("places Attic", "There is no place “Attic”."),
    ("places --rename Attic", "Which place is meant was not given."),
    ("places Attic --into Loft", "There is no place “Attic”."),
    ("history Q7", "No piece has the code “Q7”."),
    ("settings size 3", "“size” is not a setting."),
    ("settings measure ells", "“ells” is not a measure."),
    ("settings selvedge wide", "“wide”"),
    ("intake nowhere", "“nowhere” is not there."),
]  # fmt: skip


def test_it_is_refused_and_nothing_changes(run: Terminal, subtests: pytest.Subtests) -> None:
    """The shelf.

    | name | lightness |
    | Moss | 50        |
    """
    for words, problem in REFUSED:
        with subtests.test(words):
            assert problem in run.refused(words)


@pytest.mark.parametrize(
    ("name", "problem"),
    [
        ("x" * 10_000, "is 10,000 signs long; at most 200 fit."),
        ("two\nlines", "The name holds a sign that cannot be shown (U+000A)."),
        ("turned \u202e round", "The name holds a sign that cannot be shown (U+202E)."),
        ("bell \x07", "The name holds a sign that cannot be shown (U+0007)."),
        ("\u200b", "The name is empty."),
    ],
)
def test_a_name_that_cannot_be_shown_is_refused(run: Terminal, name: str, problem: str) -> None:
    said = run.refused("add --size fq --", name)
    assert problem in said
    assert len(said) < 300, "what was typed is not thrown back at a person whole"


def test_a_long_text_is_quoted_short_wherever_it_is_typed(run: Terminal) -> None:
    """The shelf.

    | name | lightness |
    | Moss | 50        |
    """
    long = "x" * 10_000
    for words in (
        ["show", long], ["list", f"at:{long[:900]}"], ["change", "A1", "--at", long],
        ["end", "A1", "--how", long], ["add", "Fog", "--size", long], ["places", long],
        ["add", "Fog", "--size", "fq", "--cost", long], ["list", f"mood:{long[:900]}"],
        ["change", "A1", "--tag", long], ["lightness", "A1", long], ["settings", long, "1"],
        ["add", "Fog", "--size", "fq", "--photo", f"{long}.jpg"], ["intake", long],
    ):  # fmt: skip
        said = run.refused(words[0], *words[1:])
        assert len(said) < 500, words[:-1]


def test_what_is_not_a_command_or_an_option_is_named(run: Terminal) -> None:
    for words, named in (
        ("frobnicate", "frobnicate"),
        ("add Moss --siz fq", "--siz"),
        ("list --tag:blue", "--tag:blue"),
        ("sort --by colour", "colour"),
        ("add Moss --size fq --count many", "--count"),
        ("add Moss --size fq --count many", "“many” is no whole number. Type one such as"),
        ("add Moss --size fq --selvedges 3", "“3” is too many. Type 2 at most."),
        ("bands --dark-below dim", "“dim” is no number. Type one such as 2.5."),
        ("sort --by colour", "'--by': 'colour' is not one of 'bands', 'split'."),
        ("show", "CODE"),
    ):
        answer = run.type(words)
        assert answer.status == 2
        assert named in answer.errors
        assert "Traceback" not in answer.errors


def test_a_mistake_after_a_photo_keeps_nothing_of_it(run: Terminal) -> None:
    photo_of(Path("grey.png"), 50)
    run.refused("add Moss --size fq --photo grey.png --at ///")
    run.refused("add Moss --size fq --photo grey.png --tag ''")
    run.refused("add --size fq --photo grey.png --fabric Q7")
    assert run.codes() == []


def test_a_size_without_its_quotation_marks_is_told_to_need_them(run: Terminal) -> None:
    """A shell hands `--size fat quarter` on as the size `fat` and one word more for the name."""
    for line, whole in (
        ("add Moss --size fat quarter", "fat quarter"),
        ("add Moss --size 18 x 21", "18 x 21"),
        ("add --size 9 7/8 x 10 Moss", "9 7/8 x 10"),
        ("add Moss --size half yard --tag green", "half yard"),
    ):
        said = run.refused(line)
        assert said.endswith(
            f'Put quotation marks around a size of several words, as in --size "{whole}".\n'
        )
    assert "quotation marks" not in run.refused("add Fat quarter fair --size 18 in")


@pytest.mark.parametrize("line", ["project new X --layout pinwheel --unit 4 in", "show A1 A2"])
def test_words_too_many_are_told_to_need_quotation_marks(run: Terminal, line: str) -> None:
    said = run.type(line)
    assert said.status == 2
    assert " ".join(said.errors.replace("│", " ").split()).count("Put quotation marks around") == 1
