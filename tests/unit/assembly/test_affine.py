"""Lengths as sums of named contributors."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.assembly.affine import Affine, Draws, combine, exactly, plus_minus

names = st.sampled_from("abcde")
lengths = st.builds(Affine, st.floats(-50, 50), st.dictionaries(names, st.floats(-1, 1), max_size=5))


def test_a_shared_contributor_cancels_in_a_difference_and_doubles_in_a_sum():
    plate = plus_minus(5.0, 0.25, "plate")
    over, under = plate + plus_minus(2.0, 0.1, "deck"), plate + plus_minus(3.0, 0.2, "spacer")
    assert (over - under).nominal == -1.0
    assert (over - under).worst == pytest.approx(0.1 + 0.2)
    assert (plate + plate).worst == pytest.approx(0.5)
    assert (plate - plate).terms == {}


def test_worst_case_adds_and_root_sum_square_does_not():
    stack = plus_minus(2, 0.3, "a") + plus_minus(2, 0.4, "b")
    assert (stack.low, stack.high) == pytest.approx((3.3, 4.7))
    assert stack.rss == pytest.approx(0.5)  # 3, 4, 5


def test_minus_turns_nominal_and_signs():
    assert (-plus_minus(2, 0.1, "a")).terms == {"a": -0.1}
    assert combine(((0.5, exactly(4)), (0.5, plus_minus(2, 0.2, "a")))) == Affine(3.0, {"a": 0.1})


@given(lengths)
def test_root_sum_square_never_exceeds_the_worst_case(length):
    assert length.rss <= length.worst + 1e-12


@given(lengths, lengths)
def test_a_difference_is_never_worse_than_both_together(one, other):
    assert (one - other).worst <= one.worst + other.worst + 1e-9


@given(lengths)
def test_draws_stay_within_the_worst_case(length):
    drawn = Draws(200, seed=7).of(length)
    assert drawn.min() >= length.low - 1e-9
    assert drawn.max() <= length.high + 1e-9


def test_draws_repeat_and_share_contributors():
    a, both = plus_minus(1, 0.3, "a"), plus_minus(1, 0.3, "a") + plus_minus(2, 0.1, "b")
    first, second = Draws(500, seed=3), Draws(500, seed=3)
    later = second.of(both)  # asked in another order
    assert np.array_equal(first.of(a), second.of(a))
    assert np.array_equal(first.of(both), later)
    assert np.corrcoef(first.of(a), first.of(both))[0, 1] > 0.9  # 0.3 of 0.316 in common
    assert not np.array_equal(Draws(500, seed=4).of(a), first.of(a))


def test_a_third_of_the_half_width_is_the_standard_deviation():
    """The distribution is cut off at three sigma, which narrows it by 1.3 % (normal table); 4000 draws add 1.1 %."""
    drawn = Draws().of(plus_minus(0, 0.3, "a"))
    assert drawn.std() == pytest.approx(0.1, rel=0.04)
    assert math.isclose(drawn.mean(), 0, abs_tol=0.005)
