"""Making many objects: the search for garbage rests meanwhile, and goes on afterwards."""

import gc
from collections.abc import Iterator

import pytest

from stashkeeper.catalogue.bulk import many_objects


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    """Leave the search as it was."""
    yield
    gc.enable()


def test_garbage_is_looked_for_again_afterwards() -> None:
    with many_objects():
        assert not gc.isenabled()
        with many_objects():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_it_is_looked_for_again_after_an_error() -> None:
    with pytest.raises(ZeroDivisionError), many_objects():
        _ = 1 / 0
    assert gc.isenabled()


def test_who_turned_it_off_keeps_it_off() -> None:
    gc.disable()
    with many_objects():
        pass
    assert not gc.isenabled()
