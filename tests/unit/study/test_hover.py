"""Hover in the shop's units."""

from dataclasses import replace

import pytest

from platewright.foundation.errors import RotorError
from platewright.study.hover import Craft, estimate_hover

FIVE_INCH = Craft(650, 4, 5.1, 4.3, 3, 1750, 80, 1.2, 6, 1300, 4.0, 35, current_limit_a=35)


def test_numbers_hang_together():
    h = estimate_hover(FIVE_INCH)
    assert 0.15 < h.throttle < 0.5
    assert h.figure_of_merit < 0.8
    assert h.power_w > 45.68  # ideal power of four 5.0 inch rotors, momentum theory
    assert h.endurance_min == pytest.approx(60 * 0.8 * 1.3 / h.battery_current_a)
    for value, (low, high) in (
        (h.power_w, h.power_band_w),
        (h.endurance_min, h.endurance_band_min),
        (h.thrust_to_weight, h.thrust_to_weight_band),
    ):
        assert low < value < high
    assert h.source.startswith("its diameter, pitch and blades")


def test_thin_air_and_mass_cost_power():
    usual = estimate_hover(FIVE_INCH)
    assert estimate_hover(FIVE_INCH, 2000).power_w > usual.power_w
    heavy = estimate_hover(replace(FIVE_INCH, mass_g=800))
    assert heavy.power_w > usual.power_w
    assert heavy.thrust_to_weight == pytest.approx(usual.thrust_to_weight * 650 / 800)


def test_limits_of_current_are_flagged():
    assert not estimate_hover(replace(FIVE_INCH, current_limit_a=500, c_rating=500)).motor_over_limit
    weak = estimate_hover(replace(FIVE_INCH, current_limit_a=10, c_rating=5))
    assert weak.motor_over_limit
    assert weak.battery_over_limit


def test_a_brick_cannot_hover():
    with pytest.raises(RotorError, match=r"cannot hover|can never give more"):
        estimate_hover(replace(FIVE_INCH, mass_g=9000))
