"""Cures for weak contrast, against trying every change and judging it anew."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.choosing.cures import Cure, clearing, cures
from stashkeeper.cloth.value import BOUNDARIES, Value
from stashkeeper.luminance.contrast import Contrast, Entry, Verdict, judge
from tests.luminance.made import photographed, typed

L, M, D = Value.LIGHT, Value.MEDIUM, Value.DARK
LIGHT_MEDIUM, MEDIUM_DARK = BOUNDARIES

Groups = dict[Value, list[Entry]]


def judged(groups: Groups, between: tuple[Value, Value]) -> Contrast:
    return judge(groups[between[0]], groups[between[1]], between)


SHELF = [typed("s92", 92), typed("s70", 70), typed("s50", 50), typed("s20", 20)]


def crowded() -> Groups:
    """Return three groups of which light and medium come too close, at l63 and m62."""
    return {
        L: [typed("l90", 90), typed("l80", 80), typed("l63", 63)],
        M: [typed("m62", 62), typed("m50", 50), typed("m45", 45)],
        D: [typed("d20", 20), typed("d15", 15)],
    }


def test_the_piece_to_leave_out_is_named_and_what_the_gap_becomes() -> None:
    groups = crowded()
    found = cures(groups, judged(groups, LIGHT_MEDIUM), [])
    assert [(cure.leave_out, cure.instead, cure.gap, cure.verdict) for cure in found] == [
        (("l63",), None, 18, Verdict.CLEAR),
        (("m62",), None, 13, Verdict.CLEAR),
    ]


def test_a_cure_promises_no_more_than_all_pairs_allow() -> None:
    """Without a5, a4 and c are 25 ±9 apart, in one photo; but b, of another one, 28 ±35."""
    groups = {
        L: [photographed("b", (83, 0, 0), "p2"), photographed("a4", (80, 0, 0), "p1"),
            photographed("a5", (56, 0, 0), "p1")],
        M: [photographed("c", (55, 0, 0), "p1")],
        D: [],
    }  # fmt: skip
    (found,) = cures(groups, judged(groups, LIGHT_MEDIUM), [])
    assert (found.leave_out, found.gap, found.verdict) == (("a5",), 25, Verdict.CANNOT_TELL)
    cleared = clearing(groups, judged(groups, LIGHT_MEDIUM))
    assert cleared is not None
    assert cleared.verdict is Verdict.CANNOT_TELL


def test_a_better_piece_of_the_shelf_comes_before_doing_without() -> None:
    groups = crowded()
    first, second, *_ = cures(groups, judged(groups, LIGHT_MEDIUM), SHELF)
    assert (first.leave_out, first.group, first.instead, first.gap) == (("l63",), L, "s92", 18)
    assert (second.leave_out, second.instead) == (("l63",), None)


def test_of_pieces_that_serve_equally_the_nearest_in_colour_is_taken() -> None:
    groups: Groups = {
        L: [photographed("white", (95, 0, 0), "p"), photographed("rose", (60, 30, 5), "p")],
        M: [photographed("stone", (58, 2, 5), "p")],
        D: [],
    }
    shelf = [photographed("sky", (96, -8, -20), "p"), photographed("blush", (96, 20, 5), "p")]
    best = cures(groups, judged(groups, LIGHT_MEDIUM), shelf)[0]
    assert (best.leave_out, best.instead) == (("rose",), "blush")


def test_every_copy_of_a_fabric_has_to_go() -> None:
    groups = crowded()
    groups[L] += [typed("l63b", 63, "l63")]
    best = cures(groups, judged(groups, LIGHT_MEDIUM), [])[0]
    assert best.leave_out == ("l63", "l63b")


def test_a_fabric_that_is_in_use_is_not_offered() -> None:
    groups = crowded()
    shelf = [typed("another m50", 50, "m50"), typed("another l90", 90, "l90")]
    found = cures(groups, judged(groups, LIGHT_MEDIUM), shelf)
    assert all(cure.instead is None for cure in found)


def test_the_last_of_a_group_is_replaced_but_never_just_left_out() -> None:
    groups: Groups = {L: [typed("l63", 63)], M: [typed("m62", 62)], D: [typed("d20", 20)]}
    found = cures(groups, judged(groups, LIGHT_MEDIUM), SHELF)
    assert all(cure.instead for cure in found)
    assert found[0].instead == "s92"


def test_a_cure_does_not_make_the_other_boundary_worse() -> None:
    """A medium of 22 would widen the gap to light, and close the one to dark."""
    groups = crowded()
    groups[M] = [typed("m62", 62)]
    found = cures(groups, judged(groups, LIGHT_MEDIUM), [typed("s22", 22)])
    assert all(cure.instead is None for cure in found)


def test_nothing_cures_an_empty_group() -> None:
    groups = crowded()
    groups[M] = []
    assert cures(groups, judged(groups, LIGHT_MEDIUM), SHELF) == ()
    assert clearing(groups, judged(groups, LIGHT_MEDIUM)) is None


def test_the_fewest_fabrics_to_leave_out_of_a_crowd() -> None:
    groups = crowded()
    groups[L] += [typed("l64", 64), typed("l66", 66)]
    found = clearing(groups, judged(groups, LIGHT_MEDIUM))
    assert found is not None
    assert (found.leave_out, found.gap, found.verdict) == (("m62",), 13, Verdict.CLEAR)
    groups[M] += [typed("m61", 61), typed("m60", 60), typed("m59", 59)]
    found = clearing(groups, judged(groups, LIGHT_MEDIUM))
    assert found is not None
    assert (found.leave_out, found.gap) == (("l63", "l64", "l66"), 18)


def test_a_wide_gap_needs_no_clearing() -> None:
    groups = crowded()
    assert clearing(groups, judged(groups, MEDIUM_DARK)) is None


LIGHTNESS = st.integers(0, 100).map(float)


def entries(name: str, largest: int) -> st.SearchStrategy[list[Entry]]:
    """Return groups of pieces, some of them copies of one fabric, some measured in one photo."""
    made = st.lists(st.tuples(LIGHTNESS, st.booleans(), st.integers(1, 2)), max_size=largest)
    return made.map(
        lambda found: [
            Entry(
                f"{name}{number}.{copy}",
                (
                    photographed(f"{name}{number}", (light, 0, 0), "p")
                    if photo
                    else typed(f"{name}{number}", light)
                ).reading,
                f"{name}{number}",
            )
            for number, (light, photo, copies) in enumerate(found)
            for copy in range(copies)
        ]
    )


def every_change(groups: Groups, between: tuple[Value, Value], shelf: list[Entry]) -> list[Cure]:
    """Return every single change of one fabric that widens the gap and spoils nothing."""
    before = {one: judged(groups, one) for one in BOUNDARIES}
    now = before[between].gap
    found = []
    for group in between:
        for fabric in {entry.fabric for entry in groups[group]}:
            left = [entry for entry in groups[group] if entry.fabric != fabric]
            gone = tuple(entry.code for entry in groups[group] if entry.fabric == fabric)
            for instead in (None, *shelf):
                changed = groups | {group: left + ([instead] if instead else [])}
                after = {one: judged(changed, one) for one in BOUNDARIES}
                result = after[between]
                spoilt = any(
                    after[one].verdict.rank < before[one].verdict.rank
                    for one in BOUNDARIES
                    if one != between and before[one].gap is not None
                )
                if result.gap is None or now is None or result.gap <= now or spoilt:
                    continue
                assert result.uncertainty is not None
                found.append(
                    Cure(
                        gone,
                        group,
                        instead.code if instead else None,
                        result.gap,
                        result.uncertainty,
                        result.verdict,
                    )
                )
    return found


@given(entries("l", 4), entries("m", 4), entries("d", 4), entries("s", 5))
@settings(deadline=None, max_examples=80)
def test_no_single_change_is_better(
    lights: list[Entry], mediums: list[Entry], darks: list[Entry], shelf: list[Entry]
) -> None:
    groups: Groups = {L: lights, M: mediums, D: darks}
    for between in BOUNDARIES:
        contrast = judged(groups, between)
        found = cures(groups, contrast, shelf)
        possible = every_change(groups, between, shelf)
        assert bool(found) is bool(possible)
        known = {(one.leave_out, one.instead, one.gap, one.uncertainty) for one in possible}
        for cure in found:
            assert (cure.leave_out, cure.instead, cure.gap, cure.uncertainty) in known
        if possible:
            best = max((cure.verdict.rank, cure.gap) for cure in possible)
            assert (found[0].verdict.rank, found[0].gap) == best
            at_least_fair = [cure.verdict.rank >= Verdict.FAIR.rank for cure in found]
            assert all(at_least_fair) or not any(at_least_fair)


@given(entries("l", 3), entries("m", 3))
@settings(deadline=None, max_examples=80)
def test_no_smaller_clearing_exists(lights: list[Entry], mediums: list[Entry]) -> None:
    groups: Groups = {L: lights, M: mediums, D: []}
    contrast = judged(groups, LIGHT_MEDIUM)
    found = clearing(groups, contrast)
    fabrics = sorted({entry.fabric for entry in (*lights, *mediums)})
    enough = [
        size
        for size in range(len(fabrics) + 1)
        for gone in itertools.combinations(fabrics, size)
        if (gap := judged(without(groups, set(gone)), LIGHT_MEDIUM).gap) is not None and gap >= 5
    ]
    if found is None:
        assert not enough or enough[0] == 0
        return
    assert len(found.leave_out) == enough[0]
    gone = {code.split(".")[0] for code in found.leave_out}
    assert judged(without(groups, gone), LIGHT_MEDIUM).gap == pytest.approx(found.gap)


def without(groups: Groups, fabrics: set[str]) -> Groups:
    return {
        value: [entry for entry in group if entry.fabric not in fabrics]
        for value, group in groups.items()
    }
