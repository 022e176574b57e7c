import math

import pytest

from platewright.rotor.air import standard_air
from platewright.rotor.drag import aslant_bar, bar_drag_coefficient, end_factor, rounding_factor, skin_friction


def test_a_thin_bar_is_a_plate_and_a_square_one_is_square():
    assert bar_drag_coefficient(1e-6, 1.0) == pytest.approx(1.98, abs=0.01)
    assert bar_drag_coefficient(3.0, 3.0) == pytest.approx(2.05)


def test_the_largest_drag_is_at_two_thirds_of_the_height():
    values = [bar_drag_coefficient(d / 10, 1.0) for d in range(1, 60)]
    assert values.index(max(values)) + 1 == 6


def test_chamfers_take_drag_off_until_the_section_is_round():
    values = [bar_drag_coefficient(5.0, 12.0, c) for c in (0.0, 0.5, 1.0, 2.0)]
    assert values == sorted(values, reverse=True)
    assert rounding_factor(0.5, 1.0) * 2.05 == pytest.approx(1.2, abs=0.02)  # a circle


def test_short_bars_have_less():
    assert end_factor(1.0, 1.0) * 1.98 == pytest.approx(1.17, abs=0.01)  # the square plate
    assert end_factor(1e4, 1.0) == 1


def test_a_bar_along_the_air_has_none():
    assert aslant_bar(2.0, 0.005, 0.1, 0.0) == 0
    assert aslant_bar(2.0, 0.005, 0.1, math.sin(math.radians(43))) == pytest.approx(0.001 * 0.317, abs=1e-6)


def test_friction_falls_with_length_and_speed():
    nu = standard_air().kinematic_viscosity
    assert skin_friction(0.1, 20, nu) == pytest.approx(skin_friction(0.4, 20, nu) * 2)
    assert skin_friction(0.1, 0.0, nu) == pytest.approx(1.328 / math.sqrt(1000))
