"""A bag of scraps is counted in and out."""

import pytest

from stashkeeper.cutting.fit import counts
from stashkeeper.cutting.scraps import Bag, ScrapKind
from stashkeeper.cutting.shelf import Shelf
from stashkeeper.errors import BadCutError
from tests.cutting.inches import length, size

STRIP, SQUARE = ScrapKind.STRIP, ScrapKind.SQUARE


def test_what_goes_in_comes_out() -> None:
    bag = Bag().put_in(STRIP, length(2.5), 4).put_in(SQUARE, length(5), 3)
    assert bag.strips == {length(2.5): 4}
    assert bag.take_out(STRIP, length(2.5), 4).strips == {}
    assert bag.take_out(SQUARE, length(5)).squares == {length(5): 2}


@pytest.mark.parametrize("count", [0, -1, 5])
def test_no_more_comes_out_than_is_in(count: int) -> None:
    bag = Bag().put_in(STRIP, length(2.5), 4)
    with pytest.raises(BadCutError, match="4 of that size are in it"):
        bag.take_out(STRIP, length(2.5), count)


@pytest.mark.parametrize("grams", [-1, float("nan"), float("inf")])
def test_crumbs_have_a_weight(grams: float) -> None:
    assert Bag().weigh(120.5).crumbs == 120.5
    with pytest.raises(BadCutError, match="is not a weight of crumbs"):
        Bag().weigh(grams)


def test_a_bag_is_found_by_what_its_strips_and_squares_hold() -> None:
    bag = Bag().put_in(STRIP, length(2.5), 4).put_in(SQUARE, length(5), 3)
    offers = bag.cloths("B1", "mixed")
    shelf = Shelf.of([cloth for cloth, _ in offers])
    # A 5 in square holds four 2 1/2 in squares, a 10 in strip of that width as many (geometry).
    assert counts(shelf, size(2.5, 2.5)).tolist() == [4, 4]
    assert [count for _, count in offers] == [4, 3] or [count for _, count in offers] == [3, 4]
    assert not any(cloth.certain for cloth, _ in offers)
