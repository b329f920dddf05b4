"""A hushed library stays hushed, and no other is."""

import warnings

import pytest

from stashkeeper.luminance.quiet import hush


def remark(module: str) -> None:
    """Warn as a module does."""
    warnings.warn_explicit("mind", UserWarning, "there.py", 1, module=module)


def test_a_hushed_library_and_its_parts_say_nothing() -> None:
    hush("loom")
    remark("loom")
    remark("loom.warp")


@pytest.mark.parametrize("module", ["looms", "heirloom", "shuttle"])
def test_others_are_heard(module: str) -> None:
    hush("loom")
    with pytest.raises(UserWarning):  # every warning is an error in the tests
        remark(module)


def test_hushing_again_changes_nothing() -> None:
    hush("loom")
    before = list(warnings.filters)
    hush("loom")
    assert warnings.filters == before
