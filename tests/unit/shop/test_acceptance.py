"""Single sampling plans: both risks are kept, and no smaller sample keeps them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.shop.acceptance import acceptance_probability, sampling_plan, sampling_plan_of_lot


@given(st.floats(0.001, 0.03), st.floats(2.5, 12), st.floats(0.01, 0.2), st.floats(0.01, 0.2))
@settings(max_examples=30, deadline=None)
def test_a_plan_keeps_both_risks_and_one_piece_less_does_not(p1: float, factor: float, alpha: float, beta: float):
    p2 = p1 * factor
    plan = sampling_plan(p1, alpha, p2, beta)
    assert 1 - acceptance_probability(plan.sample_size, plan.acceptance_number, p1) == pytest.approx(plan.supplier_risk)
    assert plan.supplier_risk <= alpha
    assert acceptance_probability(plan.sample_size, plan.acceptance_number, p2) == pytest.approx(plan.buyer_risk)
    assert plan.buyer_risk <= beta
    fewer = plan.sample_size - 1
    for number in range(min(plan.acceptance_number + 2, fewer)):
        kept = (
            1 - acceptance_probability(fewer, number, p1) <= alpha and acceptance_probability(fewer, number, p2) <= beta
        )
        assert not kept


def test_the_chance_is_the_sum_of_the_binomial():
    p, n, c = 0.07, 12, 3
    direct = sum(math.comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(c + 1))
    assert acceptance_probability(n, c, p) == pytest.approx(direct, rel=1e-12)


def test_a_small_lot_is_measured_whole():
    plan = sampling_plan(0.01, 0.05, 0.10, 0.10)
    small = sampling_plan_of_lot(plan, 8)
    assert (small.sample_size, small.acceptance_number, small.whole_lot) == (8, 0, True)
    assert sampling_plan_of_lot(plan, 500) == plan


@pytest.mark.parametrize(
    ("given_values", "said"),
    [
        ((0.1, 0.05, 0.1, 0.1), "0 <= acceptable < tolerated"),
        ((0.01, 0.0, 0.1, 0.1), "risks must lie"),
        ((0.01, 0.05, 0.010001, 0.1), "further apart"),
    ],
)
def test_what_is_no_plan_is_refused(given_values: tuple[float, ...], said: str):
    with pytest.raises(ValueError, match=said):
        sampling_plan(*given_values)


def test_a_chance_needs_a_plan_and_a_share():
    with pytest.raises(ValueError, match="acceptance number"):
        acceptance_probability(3, 3, 0.1)
    with pytest.raises(ValueError, match="from 0 to 1"):
        acceptance_probability(3, 1, 1.2)
    with pytest.raises(ValueError, match="1 piece"):
        sampling_plan_of_lot(sampling_plan(0.01, 0.05, 0.10, 0.10), 0)
