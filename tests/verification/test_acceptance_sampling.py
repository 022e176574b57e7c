"""Single sampling by attributes against printed values, all from memory; the formula (binomial, Poisson) is exact.

D. C. Montgomery, Introduction to Statistical Quality Control, Wiley, chapter on lot-by-lot acceptance sampling for
attributes: table of the operating characteristic of n = 89, c = 2, which the nomograph gives for p1 = 1 %, alpha = 5 %,
p2 = 6 %, beta = 10 %.
J. M. Cameron, Tables for constructing and for computing the operating characteristics of single-sampling plans,
Industrial Quality Control 9, 1952, pages 37-39: p2/p1 and n p1 for alpha = 5 %, beta = 10 % (Poisson).
"""

from __future__ import annotations

import pytest

from platewright.shop.acceptance import acceptance_probability, sampling_plan

OPERATING_CHARACTERISTIC = {
    0.005: 0.9897,
    0.010: 0.9397,
    0.020: 0.7366,
    0.030: 0.4985,
    0.040: 0.3042,
    0.050: 0.1721,
    0.060: 0.0919,
    0.070: 0.0468,
    0.080: 0.0230,
    0.090: 0.0109,
}
CAMERON = {1: (10.946, 0.355), 2: (6.509, 0.818), 3: (4.890, 1.366), 4: (4.057, 1.970)}


@pytest.mark.parametrize(("share", "printed"), OPERATING_CHARACTERISTIC.items())
def test_operating_characteristic_of_89_and_2(share: float, printed: float):
    """Montgomery, from memory; four decimals are printed."""
    assert acceptance_probability(89, 2, share) == pytest.approx(printed, abs=0.6e-4)


def test_the_nomograph_is_a_little_off_and_the_exact_plan_is_larger():
    """89 and 2 refuse 6.0 % of lots at p1 = 1 %, not 5 %: read from a nomograph; what keeps both risks needs more."""
    assert 1 - acceptance_probability(89, 2, 0.01) == pytest.approx(0.0603, abs=1e-4)
    plan = sampling_plan(0.01, 0.05, 0.06, 0.10)
    assert plan.sample_size > 89
    assert plan.acceptance_number == 3


@pytest.mark.parametrize(("number", "printed"), CAMERON.items())
def test_cameron_ratio_and_sample(number: int, printed: tuple[float, float]):
    """At the printed ratio and sample both risks are met; shares of 1e-4 make the binomial the Poisson's equal.

    Tolerance: n p1 is printed to three decimals, 0.0005 in 0.355; the risks move by up to three times that share.
    The row of c = 0 is left out: its remembered 0.052 is not -ln 0.95 = 0.0513, its ratio 44.890 is the next test.
    """
    ratio, np1 = printed
    p1 = 1e-4
    size = round(np1 / p1)
    assert 1 - acceptance_probability(size, number, p1) == pytest.approx(0.05, rel=0.005)
    assert acceptance_probability(size, number, p1 * ratio) == pytest.approx(0.10, rel=0.005)


def test_cameron_ratio_without_a_fault():
    """ln 0.10 / ln 0.95 = 44.890, as printed."""
    n = 1_000_000
    p1 = 1 - 0.95 ** (1 / n)
    assert acceptance_probability(n, 0, p1 * 44.890) == pytest.approx(0.10, rel=1e-4)


@pytest.mark.parametrize(
    ("reliability", "confidence", "printed"), [(0.90, 0.90, 22), (0.95, 0.95, 59), (0.99, 0.90, 230)]
)
def test_sample_without_a_fault(reliability: float, confidence: float, printed: int):
    """Smallest n with R^n <= 1 - C, ln(1 - C) / ln R rounded up: recomputed, and as remembered."""
    plan = sampling_plan(0.0, 0.05, 1 - reliability, 1 - confidence)
    assert (plan.sample_size, plan.acceptance_number) == (printed, 0)
