"""Campaign: a stash survives being killed at any moment, again and again."""

import random
import subprocess
import sys
import time

import pytest
from sqlalchemy import func
from sqlmodel import col, select

from stashkeeper.catalogue.database import open_catalogue, reading
from stashkeeper.catalogue.tables import Change, Event, Fabric, Piece
from tests.catalogue.made import codes

ADDING = """
import sys
from stashkeeper.catalogue.database import open_catalogue
from tests.catalogue.made import add, type_lightness

stash = open_catalogue(sys.argv[1], None)
print("ready", flush=True)
while True:
    for code in add(stash, "Blue dots", 3):
        type_lightness(stash, code, 40)
"""


@pytest.mark.campaign
def test_a_stash_killed_at_any_moment_is_whole(url: str) -> None:
    chance = random.Random(20261124)
    for _ in range(20):
        killed = subprocess.Popen([sys.executable, "-c", ADDING, url], stdout=subprocess.PIPE)
        assert killed.stdout is not None
        assert killed.stdout.readline() == b"ready\n"
        time.sleep(chance.uniform(0.0, 0.4))
        killed.kill()
        killed.communicate()
        must_be_whole(url)


def must_be_whole(url: str) -> None:
    """Check that every deed is there as a whole: its rows, its record, its codes in a row."""
    stash = open_catalogue(url, None)
    with reading(stash) as session:
        orders = session.exec(select(Piece.code_order).order_by(col(Piece.code_order))).all()
        assert list(orders) == list(range(1, len(orders) + 1))
        assert len(orders) == 3 * session.exec(select(func.count()).select_from(Fabric)).one()
        numbers = session.exec(select(Event.number).order_by(col(Event.number))).all()
        assert list(numbers) == list(range(1, len(numbers) + 1))
        assert set(session.exec(select(Change.event_id))) == set(session.exec(select(Event.id)))
    assert len(codes(stash)) == len(orders)
    stash.close()
