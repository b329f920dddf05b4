"""Perspective between planes, against scikit-image and closed forms."""

import numpy as np
import pytest

from stashkeeper.luminance.perspective import is_convex, perspective_through

SQUARE = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
TILTED = np.array([(120.0, 80.0), (900.0, 140.0), (840.0, 700.0), (60.0, 610.0)])


def test_it_is_the_projective_transform_of_scikit_image() -> None:
    transform = pytest.importorskip("skimage.transform", reason="scikit-image is not installed")
    other = transform.ProjectiveTransform.from_estimate(SQUARE, TILTED)
    points = np.random.default_rng(1).random((50, 2))
    assert perspective_through(SQUARE, TILTED)(points) == pytest.approx(other(points), abs=1e-6)


def test_the_middle_goes_to_where_the_diagonals_cross() -> None:
    # Lines stay lines under perspective, so the crossing of diagonals is kept.
    a, b, c, d = TILTED
    t = np.linalg.solve(np.column_stack([c - a, b - d]), b - a)[0]
    assert perspective_through(SQUARE, TILTED)([(0.5, 0.5)])[0] == pytest.approx(a + t * (c - a))


def test_the_way_back_leads_back() -> None:
    there = perspective_through(SQUARE, TILTED)
    assert there.back(there(SQUARE)) == pytest.approx(SQUARE, abs=1e-9)


def test_with_more_points_noise_is_evened_out() -> None:
    random = np.random.default_rng(3)
    points = random.random((200, 2))
    there = perspective_through(SQUARE, TILTED)
    noisy = there(points) + random.normal(0, 1.0, points.shape)
    assert np.abs(perspective_through(points, noisy)(SQUARE) - TILTED).max() < 1.5


def test_corners_that_cross_are_no_quadrilateral() -> None:
    assert is_convex(TILTED)
    assert not is_convex(TILTED[[0, 2, 1, 3]])
