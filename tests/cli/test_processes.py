"""Whole processes: `python -m`, completion, two at once, odd folders, pipes."""

import contextlib
import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal

pytestmark = pytest.mark.campaign  # each starts Python again and again


def process(*words: str | Path, **environment: str) -> subprocess.Popen[str]:
    """Start `python -m stashkeeper` with these words."""
    return subprocess.Popen(
        [sys.executable, "-m", "stashkeeper", *map(str, words)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
        env={**os.environ, "NO_COLOR": "1", **environment},
    )  # fmt: skip


def said(running: subprocess.Popen[str]) -> str:
    """Return what a process that must succeed says."""
    words, errors = running.communicate(timeout=120)
    assert (running.returncode, errors) == (0, ""), errors
    return words


def test_two_at_once_lose_nothing(run: Terminal) -> None:
    photo_of(Path("one.png"), 50)
    photo_of(Path("two.png"), 60)
    adding = [
        process("add", name, "--size", "fq", "--photo", f"{name}.png", "--count", "20", "--json")
        for name in ("one", "two")
    ]
    pieces = [json.loads(said(running)) for running in adding]
    codes = run.codes()
    assert len(codes) == len(set(codes)) == 40
    for piece in pieces:
        assert len(piece["alike"]) == 19
    assert run("history A1").count("Added") == 1


def test_the_same_photo_added_by_two_at_once_is_added_once(run: Terminal) -> None:
    photo_of(Path("one.png"), 50)
    adding = [process("add", name, "--size", "fq", "--photo", "one.png") for name in "ab"]
    ends = [(running.communicate(timeout=120), running.returncode) for running in adding]
    assert sorted(status for _, status in ends) == [0, 1], ends
    assert len(run.codes()) == 1


def test_two_intakes_of_one_folder_at_once_take_each_photo_once(run: Terminal) -> None:
    Path("shots").mkdir()
    for number in range(6):
        photo_of(Path(f"shots/{number}.png"), 30 + 5 * number)
    for running in [process("intake", "shots"), process("intake", "shots")]:
        running.communicate(timeout=120)
        assert running.returncode == 0
    assert len(run.codes()) == 6
    assert len({piece["lightness"] for piece in run.json("list")["pieces"]}) == 6


def test_paths_with_blanks_and_any_letters(run: Terminal, tmp_path: Path) -> None:
    folder = tmp_path / "Mes étoffes à coudre" / "藍 & 紅's"
    folder.mkdir(parents=True)
    photo_of(folder / "ein Foto.png", 50)
    stash = folder / "der Stash"
    said(process("--stash", stash, "intake", folder))
    assert "ein Foto" in said(process("list", STASHKEEPER_HOME=str(stash)))
    told = said(process("sheet", folder / "das Blatt.pdf", "--stash", stash))
    assert told.startswith("Drew 1 fabric") and (folder / "das Blatt.pdf").is_file()


@pytest.mark.parametrize(
    ("asked", "offered"),
    [
        ({"_STASHKEEPER_COMPLETE": "source_bash"}, {"complete", "-F"}),
        ({"_STASHKEEPER_COMPLETE": "source_zsh"}, {"#compdef"}),
        ({"_STASHKEEPER_COMPLETE": "source_fish"}, {"complete", "--command"}),
        (
            {"_STASHKEEPER_COMPLETE": "complete_bash", "COMP_WORDS": "stashkeeper s",
             "COMP_CWORD": "1"},
            {"show", "sort", "sheet", "settings"},
        ),
    ],
)  # fmt: skip
def test_a_shell_completes_the_words(
    run: Terminal, asked: dict[str, str], offered: set[str]
) -> None:
    command = Path(sys.executable).with_name("stashkeeper")
    told = subprocess.run(
        [command], env={**os.environ, **asked}, capture_output=True, text=True, check=True
    )
    assert offered <= set(told.stdout.split())


def test_an_answer_may_be_cut_short_by_a_pipe(run: Terminal) -> None:
    run("add Moss --size fq --count 900")
    listing = process("list")
    assert listing.stdout is not None and listing.stderr is not None
    listing.stdout.read(10)
    listing.stdout.close()
    assert "Traceback" not in listing.stderr.read()
    listing.wait(timeout=60)
    listing.stderr.close()


def test_a_terminal_sees_how_far_an_intake_is(run: Terminal) -> None:
    Path("shots").mkdir()
    for number in range(3):
        photo_of(Path(f"shots/{number}.png"), 30 + 5 * number)
    ours, theirs = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "100"}
    environment.pop("NO_COLOR")
    running = subprocess.Popen(
        [sys.executable, "-m", "stashkeeper", "intake", "shots"],
        stdout=subprocess.PIPE, stderr=theirs, text=True, env=environment,
    )  # fmt: skip
    os.close(theirs)
    seen = b""
    with contextlib.suppress(OSError):  # the end of a terminal that nobody writes to any more
        while part := os.read(ours, 4096):
            seen += part
    os.close(ours)
    words, _ = running.communicate(timeout=120)
    assert "Took in 3 fabrics from 3 photos." in words
    # The bar with its count; it is wiped off when all is done.
    assert b"Measuring" in seen and b"3/3" in seen
    assert "Measuring" not in words


def test_words_come_out_whole_whatever_the_terminal_speaks(run: Terminal) -> None:
    run("add 'Čeština 藍 🧵' --size '9 7/8 x 10'")
    words = said(process("list", LC_ALL="C"))
    assert "Čeština 藍 🧵" in words and "9⅞ × 10 in" in words
