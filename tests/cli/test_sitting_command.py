"""Sittings and learnt phones on the command line, by a simulated phone.

The phone is that of tests/simulated_phone/snapped.py: it shows how the program behaves, nothing
of real phones.
"""

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from sample_photos import phone as camera
from tests.cli.terminal import Terminal
from tests.simulated_phone.snapped import Cloth, Shot, alone, snapped_file

NOON = datetime(2026, 5, 3, 12, 0)
TRUE = {"Moss": 35.0, "Cream": 86.0, "Slate": 55.0}


def plain(lightness: float) -> Cloth:
    light = np.full((180, 220, 3), ((lightness + 16) / 116) ** 3, dtype=np.float32)
    return Cloth(light, lightness)


def snapped(name: str, lightness: float, minutes: float = 0.0, brighter: float = 0.0) -> Path:
    """Write a photo of plain cloth, taken so many minutes after noon."""
    taken_at = NOON + timedelta(minutes=minutes)
    shot = Shot(brighter=brighter, seed=len(name))
    file = snapped_file(alone(plain(lightness)), shot, taken_at=taken_at)
    Path(name).write_bytes(file.getvalue())
    return Path(name)


def shelf_of_one_sitting(run: Terminal) -> None:
    for minute, (name, lightness) in enumerate(TRUE.items()):
        snapped(f"{name}.jpg", lightness, minute, brighter=0.3 * minute)
        run(f"add {name} --size '10 x 10' --photo {name}.jpg")


def lightness(run: Terminal, code: str) -> float:
    return float(run.json(f"show {code}")["reading"]["lightness"])


def test_one_photo_of_paper_sets_the_scale_of_all(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    before = [abs(lightness(run, f"A{n}") - true) for n, true in enumerate(TRUE.values(), 1)]
    said = run(f"sitting {snapped('paper.jpg', 94.0, 5, brighter=-0.5)}")
    assert "3 photos of this sitting" in said
    assert "experiment" in said
    after = [abs(lightness(run, f"A{n}") - true) for n, true in enumerate(TRUE.values(), 1)]
    assert np.mean(after) < 4.0
    assert np.mean(after) < np.mean(before)
    reading = run.json("show A1")["reading"]
    assert (reading["method"], reading["provisional"]) == ("sitting", False)


def test_to_look_keeps_nothing_and_undo_takes_it_back(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    paper = snapped("paper.jpg", 94.0, 5, brighter=-0.5)
    before = run.all_of_it()
    run(f"sitting {paper} --look")
    assert run.all_of_it() == before
    run(f"sitting {paper}")
    run("undo")
    assert run.json("show A1")["reading"]["method"] == "photo"


def test_in_one_sitting_fabrics_compare_better_than_each_is_known(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    run(f"sitting {snapped('paper.jpg', 94.0, 5, brighter=-0.5)}")
    (light_medium, _) = run.json("contrast A2 A3 A1")["contrast"]
    alone_ones = [run.json(f"show {code}")["reading"]["uncertainty"] for code in ("A2", "A3")]
    assert light_medium["uncertainty"] < np.hypot(*alone_ones)


def test_a_learnt_phone_makes_it_surer(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    paper = snapped("paper.jpg", 94.0, 5, brighter=-0.5)
    run(f"sitting {paper}")
    before = run.json("show A1")["reading"]["uncertainty"]
    assert "No phone was learnt" in run("phone")
    metered = camera.expose(alone(plain(50.0)))
    for number, stops in enumerate(np.linspace(-2.6, 1.6, 7)):
        shot = Shot(brighter=float(stops), seed=number)
        file = snapped_file(alone(plain(50.0)), shot, metered, NOON)
        Path(f"step{number}.jpg").write_bytes(file.getvalue())
    steps = " ".join(f"step{number}.jpg" for number in range(7))
    assert "Learnt how Brindlewick Two bends tones" in run(f"phone learn {steps}")
    assert "its tone curve is known" in run("phone")
    run(f"sitting {paper}")
    assert run.json("show A1")["reading"]["uncertainty"] < before


def test_a_photo_of_another_time_is_no_part_of_it(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    late = snapped("late.jpg", 94.0, 300, brighter=-0.5)
    assert "within 40 minutes" in run.refused(f"sitting {late}")


def test_a_dark_photo_is_not_taken_for_white_paper(run: Terminal) -> None:
    """By it, even Moss (L* 35) would reflect more than white does."""
    shelf_of_one_sitting(run)
    before = run.all_of_it()
    said = run.refused(f"sitting {snapped('dark.jpg', 20.0, 5)}")
    assert "A1 “Moss” would be lighter than white" in said
    assert run.all_of_it() == before
    run("sitting dark.jpg --lightness 20")
    assert lightness(run, "A2") == pytest.approx(86, abs=6)


def test_paper_that_does_not_fill_the_photo_must_be_pointed_out(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    table = np.full((210, 250, 3), ((30 + 16) / 116) ** 3, dtype=np.float32)
    table[70:140, 80:170] = ((94 + 16) / 116) ** 3
    file = snapped_file(table, Shot(brighter=-0.3), taken_at=NOON + timedelta(minutes=6))
    Path("small.jpg").write_bytes(file.getvalue())
    assert "not only paper" in run.refused("sitting small.jpg")
    run("sitting small.jpg --crop 0.4,0.4,0.6,0.6")
    assert lightness(run, "A1") == pytest.approx(TRUE["Moss"], abs=4)


def test_a_fabric_known_better_that_comes_out_far_off_is_left_out(run: Terminal) -> None:
    shelf_of_one_sitting(run)
    run("lightness A1 75")
    said = run(f"sitting {snapped('paper.jpg', 94.0, 5, brighter=-0.5)}")
    assert "A1 “Moss” is left out" in said
    assert lightness(run, "A1") == 75


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("phone learn", "No photo was given"),
        ("phone teach a.jpg", "nothing to do with a phone"),
        ("phone learn paper.jpg paper.jpg", "too narrow"),
        ("sitting paper.jpg --lightness 120", "lightness"),
        ("sitting burnt.jpg", "burnt out"),
        ("sitting gone.jpg", "no file"),
    ],
)
def test_what_makes_no_sense_is_told(run: Terminal, words: str, told: str) -> None:
    snapped("paper.jpg", 94.0, 5, brighter=-0.5)
    snapped("burnt.jpg", 94.0, 5, brighter=4)
    assert told in run.refused(words)
