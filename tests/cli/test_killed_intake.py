"""An intake that is stopped, or killed, and started again: nothing lost, nothing twice."""

import random
import signal
from pathlib import Path

import pytest

from tests.cli.killing import (
    FABRICS_A_PHOTO,
    make_shots,
    must_be_whole,
    pieces_in,
    start,
    stop_midway,
)
from tests.cli.terminal import Terminal


def finish(run: Terminal, folder: Path, sizes: Path, photos: int) -> None:
    """Run the same again; check that everything is in, once."""
    run("intake", folder, "--sizes", sizes)
    must_be_whole(run.home)
    names = [piece["name"] for piece in run.json("list")["pieces"]]
    assert sorted(names) == sorted(
        f"{value} {number}" for value in ("Dark", "Light") for number in range(photos)
    )
    assert "Took in 0 fabrics" in run("intake", folder, "--sizes", sizes)


def test_a_killed_intake_goes_on_where_it_was(run: Terminal, tmp_path: Path) -> None:
    sizes = make_shots(tmp_path / "shots", 8)
    running = start(run.home, tmp_path / "shots", sizes)
    stop_midway(running, run.home, 3, signal.SIGKILL, random.Random(1))
    assert running.returncode == -signal.SIGKILL, "it was done before it could be killed"
    assert 3 <= pieces_in(run.home) < 8 * FABRICS_A_PHOTO
    must_be_whole(run.home)
    finish(run, tmp_path / "shots", sizes, 8)


def test_ctrl_c_stops_an_intake_in_words(run: Terminal, tmp_path: Path) -> None:
    sizes = make_shots(tmp_path / "shots", 8)
    running = start(run.home, tmp_path / "shots", sizes)
    words, errors = stop_midway(running, run.home, 2, signal.SIGINT, random.Random(2))
    assert running.returncode == 130, (words, errors)
    assert errors == "Stopped. What was finished before is kept; nothing is half done.\n"
    must_be_whole(run.home)
    finish(run, tmp_path / "shots", sizes, 8)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(20))
def test_killed_again_and_again_it_comes_to_the_same_end(
    run: Terminal, tmp_path: Path, seed: int
) -> None:
    chance = random.Random(seed)
    sizes = make_shots(tmp_path / "shots", 12)
    before = -1
    for _ in range(6):
        running = start(run.home, tmp_path / "shots", sizes)
        target = pieces_in(run.home) + chance.randrange(6)
        how = chance.choice((signal.SIGKILL, signal.SIGKILL, signal.SIGTERM, signal.SIGINT))
        stop_midway(running, run.home, target, how, chance)
        must_be_whole(run.home)
        assert pieces_in(run.home) >= before
        before = pieces_in(run.home)
    finish(run, tmp_path / "shots", sizes, 12)
