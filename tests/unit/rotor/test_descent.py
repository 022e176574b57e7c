import itertools
import math

import pytest

from platewright.rotor.descent import descent_margin, descent_range


def test_ends_of_the_region():
    assert descent_range(0.0, 8.0) == pytest.approx((3.6, 12.0))
    assert descent_range(0.95 * 8.0, 8.0) is None
    low, high = descent_range(0.949 * 8.0, 8.0)
    assert high - low < 0.5


def test_the_region_narrows_with_speed():
    ranges = [descent_range(v, 8.0) for v in (0.0, 2.0, 4.0, 6.0)]
    assert all(a[0] < b[0] and a[1] > b[1] for a, b in itertools.pairwise(ranges))


def test_margin_is_negative_inside_and_endless_beyond():
    assert descent_margin(0.0, 5.0, 8.0) == pytest.approx(-1.4)
    assert descent_margin(0.0, 13.0, 8.0) == math.inf
    assert descent_margin(9.0, 5.0, 8.0) == math.inf
