"""`choose` where the shelf cannot: what is missing is told in the sizes a shop can be asked for."""

from tests.cli.terminal import Terminal


def test_the_missing_fabric_is_told_with_its_sizes(run: Terminal) -> None:
    """The shelf; a square of 5 in gives no square of 6½ in (geometry).

    | name | size    | squared | lightness |
    | Snow | 40 x 40 | yes     | 90        |
    | Moss | 5 x 5   | yes     | 30        |
    """
    said = run.refused("choose --need 'light: 1' --need 'dark: 1, each 3 x 6 1/2 in square'")
    assert "large enough for 3 cuts 6½ × 6½ in, would help most" in said
