"""Where the marks of the value rule stand on a page."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stashkeeper.pictures.value_rule import BEADS, Bead, Bracket, Mark, Stretch
from stashkeeper.pictures.web_rule import MOST_BEADS, TICKS, css_grey, place_value_rule, span_of

lightnesses = st.floats(0.0, 100.0)


@pytest.mark.parametrize(
    ("lightness", "colour"),
    # L* of a grey by CIE 15 and its sRGB code by IEC 61966-2-1: the mid grey 777777 has L* 50.03.
    [(0, "#000000"), (100, "#ffffff"), (50.03, "#777777")],
)
def test_a_grey_is_written_by_its_lightness(lightness: float, colour: str) -> None:
    assert css_grey(lightness) == colour


@given(st.lists(st.tuples(lightnesses, st.sampled_from(Mark)), max_size=400))
@settings(deadline=None, max_examples=60)
def test_every_fabric_is_on_the_rule_once(fabrics: list[tuple[float, Mark]]) -> None:
    rule = place_value_rule([Bead(*fabric) for fabric in fabrics], (), ())
    if len(fabrics) <= MOST_BEADS:
        assert [bead.down for bead in rule.beads] == [100 - lightness for lightness, _ in fabrics]
        assert rule.bars == ()
    else:
        assert sum(bar.count for bar in rule.bars) == len(fabrics)
        assert rule.beads == ()


@given(st.lists(st.tuples(lightnesses, st.sampled_from(Mark)), min_size=161, max_size=400))
@settings(deadline=None, max_examples=30)
def test_bars_are_as_long_as_they_count(fabrics: list[tuple[float, Mark]]) -> None:
    bars = place_value_rule([Bead(*fabric) for fabric in fabrics], (), ()).bars
    lengths = {bar.count: sum(width for _left, width, _mark in bar.parts) for bar in bars}
    longest = max(lengths)
    assert lengths[longest] == pytest.approx(BEADS)
    assert all(
        length / lengths[longest] == pytest.approx(count / longest)
        for count, length in lengths.items()
    )


@given(lightnesses, lightnesses)
def test_spans_lie_on_the_rule(one: float, other: float) -> None:
    span = span_of(max(one, other), min(one, other))
    assert span.down >= 0 and span.high >= 0
    assert span.down + span.high == pytest.approx(100 - min(one, other))


def test_gaps_and_stretches_are_to_scale() -> None:
    gap = Bracket(70.0, 62.0, "8.0", "±3", ("fair", "A1 · B2"), weak=False)
    rule = place_value_rule([], [Stretch(70.0, 90.0)], [gap])
    assert (rule.stretches[0].down, rule.stretches[0].high) == (10.0, 20.0)
    assert (rule.brackets[0].span.down, rule.brackets[0].span.high) == (30.0, 8.0)


def test_labels_of_close_gaps_do_not_overlap() -> None:
    close = [
        Bracket(upper, upper - 0.5, "0.5", "±3", ("weak", ""), weak=True) for upper in (51, 50)
    ]
    first, second = place_value_rule([], (), close).brackets
    assert second.label - first.label >= 10.0  # 60 px of 600


def test_the_ruler_has_a_tick_for_every_whole_lightness_between_its_ends() -> None:
    assert TICKS.count("M") == 99
