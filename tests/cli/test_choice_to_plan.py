"""From a choice to a plan: what is chosen for a project can really be cut from it.

The plan is proven by the independent checker of the cutting room, which knows nothing of choosing.
"""

import random
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from stashkeeper.actions.choose import ChooseWords, choose_fabrics
from stashkeeper.actions.cutting import plan_pieces
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.projects import change, load_project, new
from stashkeeper.actions.seams import seams
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.errors import NoChoiceError
from stashkeeper.settings.load import load_settings
from tests.catalogue.made import add, inches, type_lightness

LAYOUTS = (
    "pinwheel", "churn dash", "ohio star", "sawtooth star", "flying geese", "nine patch",
    "friendship star", "shoo fly", "hourglass", "rail fence", "scrappy pinwheel",
)  # fmt: skip
SIZES = ((10, 10), (18, 21), (20, 9), (40, 18), (40, 9), (30, 27), (12, 16))


@contextmanager
def shelf(home: Path, dice: random.Random) -> Iterator[Stash]:
    """Open a stash with invented fabrics of known lightness, some of them several pieces."""
    with open_stash(load_settings(home, {})) as stash:
        for number in range(dice.randint(6, 16)):
            times, squared = dice.choice((1, 1, 2)), dice.random() < 0.7
            size = inches(*dice.choice(SIZES))
            codes = add(stash.catalogue, f"Cloth {number}", times, size=size, squared=squared)
            type_lightness(stash.catalogue, codes[0], round(dice.uniform(8, 96), 1))
        yield stash


def tried(home: Path, seed: int) -> bool:
    """Choose for a random quilt and plan it; return whether the shelf had a choice for it."""
    dice = random.Random(seed)
    with shelf(home, dice) as stash:
        words = ProjectWords(
            layout=dice.choice(LAYOUTS),
            unit=f"{dice.choice((1, 1.5, 2, 3))} in",
            borders=[f"edge: {dice.choice((1, 2))} in"] if dice.random() < 0.5 else (),
            exact=dice.random() < 0.3,
        )
        made = new(stash, "Quilt", words).project
        # Any number of fabrics of one role, and one of another, where a set does not forbid it.
        free = [role.role for role in made.roles if not role.sets and dice.random() < 0.6]
        if free:
            change(stash, "Quilt", ProjectWords(roles=[f"{role}: any number" for role in free]))
        try:
            answer = choose_fabrics(stash, ChooseWords(project="Quilt"), take=1)
        except NoChoiceError as error:
            assert error.nearest or error.remedy
            return False
        assert answer.best.cuts_proven
        with stash.reading() as session:
            project = load_project(stash, session, "Quilt")
        assert all(len(rows) for rows in project.cast().values())
        judged = seams(stash, "Quilt").seams
        assert all(one.gap is not None for one in judged)
        plan = plan_pieces(stash, project="Quilt", spare=0, seconds=0.8).plans[0]
        codes = {one.row.code for one in project.chosen}
        assert {piece.code for piece in plan.pieces} <= codes
    return True


def test_what_is_chosen_can_be_cut(empty_stash: Path, tmp_path: Path) -> None:
    assert many(empty_stash, tmp_path, range(4)) >= 2


@pytest.mark.campaign
def test_what_is_chosen_can_be_cut_on_many_shelves(empty_stash: Path, tmp_path: Path) -> None:
    assert many(empty_stash, tmp_path, range(100, 160)) >= 40


def many(empty_stash: Path, folder: Path, seeds: range) -> int:
    """Return on how many shelves there was a choice, each of which could be cut."""
    had = 0
    for seed in seeds:
        home = folder / f"{seed}"
        shutil.copytree(empty_stash, home)
        had += tried(home, seed)
    return had
