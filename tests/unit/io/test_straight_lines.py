import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.io.straight_lines import joined, uncovered


def on_line(turn, shift, spans):
    """Segments along one line: turned by `turn`, `shift` away from the origin."""
    c, s = math.cos(turn), math.sin(turn)
    return [tuple((c * t - s * shift, s * t + c * shift) for t in span) for span in spans]


def length(segments):
    return sum(math.dist(p, q) for p, q in segments)


@pytest.mark.parametrize("turn_deg", [0, 90, 180, 270, 30, 135, 179.9999, 0.0001])
def test_pieces_in_any_direction_become_one(turn_deg):
    pieces = on_line(math.radians(turn_deg), 7.0, [(0, 2), (5, 2), (1, 4)])
    assert len(joined(pieces)) == 1
    assert length(joined(pieces)) == pytest.approx(5)


def test_gap_stays_a_gap():
    assert len(joined(on_line(0.3, 1.0, [(0, 2), (2.01, 4)]))) == 2


def test_parallel_lines_stay_apart():
    segments = [*on_line(0.3, 1.0, [(0, 2)]), *on_line(0.3, 1.01, [(0, 2)])]
    assert len(joined(segments)) == 2
    assert uncovered(segments[:1], segments[1:]) == segments[:1]


def test_covered_whole_leaves_nothing():
    assert uncovered(on_line(1, 2, [(1, 2), (4, 3)]), on_line(1, 2, [(0, 5)])) == []


spans = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)).filter(lambda s: s[0] != s[1]), max_size=8)


@given(spans, spans, st.floats(-4, 4), st.integers(-50, 50))
def test_lengths_are_those_of_sets_of_unit_steps(inner, cover, turn, shift):
    def steps(items):
        return {k for a, b in items for k in range(min(a, b), max(a, b))}

    first, second = on_line(turn, shift, inner), on_line(turn, shift, cover)
    assert length(joined(first)) == pytest.approx(len(steps(inner)), abs=1e-6)
    assert length(uncovered(first, second)) == pytest.approx(len(steps(inner) - steps(cover)), abs=1e-6)
