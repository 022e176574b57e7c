"""Momentum theory of hover: Leishman, Principles of Helicopter Aerodynamics, ch. 2 (values from memory, recomputed)."""

import math

import pytest

from platewright.rotor.hover import figure_of_merit, ideal_power, induced_velocity

FOOT, POUND, SLUG_PER_FT3, HORSEPOWER = 0.3048, 4.4482216, 515.378818, 745.69987  # SI


def test_tilt_rotor_in_hover():
    area = math.pi / 4 * (38 * FOOT) ** 2
    thrust, density = 30_250 * POUND, 0.002378 * SLUG_PER_FT3
    assert area / FOOT**2 == pytest.approx(1134.1, abs=0.05)
    assert induced_velocity(thrust, area, density) / FOOT == pytest.approx(74.89, abs=0.005)
    power = ideal_power(thrust, area, density) / HORSEPOWER
    assert power == pytest.approx(4118.9, abs=0.1)
    assert power / 0.75 == pytest.approx(5491.8, abs=0.15)


def test_four_rotors_of_five_inch():
    area, thrust = math.pi / 4 * 0.127**2, 0.65 * 9.80665 / 4
    assert area == pytest.approx(0.012668, abs=5e-7)
    assert thrust == pytest.approx(1.5936, abs=5e-5)
    assert thrust / area == pytest.approx(125.8, abs=0.05)
    assert induced_velocity(thrust, area, 1.225) == pytest.approx(7.166, abs=5e-4)
    power = ideal_power(thrust, area, 1.225)
    assert (power, 4 * power, 4 * power / 0.6) == pytest.approx((11.42, 45.68, 76.1), abs=0.05)


def test_power_goes_with_thrust_to_three_halves():
    assert ideal_power(2.0, 0.01, 1.2) / ideal_power(1.0, 0.01, 1.2) == pytest.approx(2.828, abs=5e-4)


def test_figure_of_merit_of_an_ideal_rotor_is_one():
    thrust, diameter, density, speed = 2.0, 0.127, 1.225, 250.0  # revolutions per second
    power = ideal_power(thrust, math.pi / 4 * diameter**2, density)
    ct, cp = thrust / (density * speed**2 * diameter**4), power / (density * speed**3 * diameter**5)
    assert figure_of_merit(ct, cp) == pytest.approx(1.0)
