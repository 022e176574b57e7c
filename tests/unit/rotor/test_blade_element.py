"""Blade elements against closed forms and against what must hold of any propeller."""

import dataclasses
import math

import numpy as np
import pytest

from platewright.rotor.air import standard_air
from platewright.rotor.blade_element import blade_element, generic_blade
from platewright.rotor.polars import section_polars
from platewright.rotor.tables import Blade, PropellerSize
from platewright.study.propellers import blade_section, wind_tunnel_tables

AIR = standard_air()
SLOW = dataclasses.replace(AIR, sound_speed=1e9)
SECTION = blade_section()
SIZE = PropellerSize(0.127, 0.109, 2)
X = np.linspace(0.1, 1.0, 40)
BLADE = generic_blade(SIZE, X, np.full(40, 0.2))
SPEED = np.array([1000.0, 2000.0])
REST = np.zeros(2)


def test_thrust_falls_with_advance_ratio_through_nothing():
    j = np.linspace(0, 1.2, 13)
    made = blade_element(SIZE, BLADE, SECTION, np.full(13, 1500.0), j, AIR)
    assert np.all(np.diff(made.thrust[2:]) < 0)
    assert made.thrust[0] > 0.05
    assert made.thrust[-1] < 0
    crossing = float(np.interp(0.0, -made.thrust, j))
    assert 0.86 < crossing < 1.1  # a little beyond p/D = 0.86, since the section is cambered


def test_windmilling_gives_power_back():
    made = blade_element(SIZE, BLADE, SECTION, np.array([600.0]), np.array([3.0]), AIR)
    assert made.thrust[0] < 0
    assert made.power[0] < 0


def test_two_blades_lose_more_at_their_tips_than_many_of_the_same_area():
    def thrust(blades):
        blade = Blade(BLADE.radius, BLADE.chord * 2 / blades, BLADE.twist)
        plain = section_polars(*LINEAR)
        return blade_element(PropellerSize(0.127, 0.109, blades), blade, plain, SPEED, REST, SLOW).thrust[0]

    assert 0.85 < thrust(2) / thrust(100) < 0.985


def test_ideal_twist_has_the_uniform_inflow_of_the_closed_form():
    """Leishman, ch. 3: lambda = sigma a / 16 (sqrt(1 + 32 theta_tip / (sigma a)) - 1), without tip loss or drag."""
    blades, solidity, tip = 400, 0.02, math.radians(6)
    chord = np.full(40, solidity * np.pi / blades)
    blade = Blade(X, chord, tip / X)
    size = PropellerSize(0.127, 0.1, blades)
    made = blade_element(size, blade, section_polars(*LINEAR), SPEED, REST, SLOW)
    a = 2 * math.pi
    closed = solidity * a / 16 * (math.sqrt(1 + 32 * tip / (solidity * a)) - 1)
    inflow = np.tan(made.inflow_angle[0]) * made.radius
    outer = (made.radius > 0.4) & (made.radius < 0.95)
    assert inflow[outer] == pytest.approx(closed, rel=0.02)


def test_power_without_drag_is_that_of_momentum():
    blades, solidity, tip = 400, 0.02, math.radians(6)
    blade = Blade(X, np.full(40, solidity * np.pi / blades), tip / X)
    made = blade_element(PropellerSize(0.127, 0.1, blades), blade, section_polars(*LINEAR), SPEED, REST, SLOW)
    merit = math.sqrt(2 / math.pi) * made.thrust[0] ** 1.5 / made.power[0]
    assert 0.93 < merit < 1.0


def test_mach_number_raises_lift():
    near = dataclasses.replace(AIR, sound_speed=250.0)
    assert np.all(
        blade_element(SIZE, BLADE, SECTION, SPEED, REST, near).thrust
        > blade_element(SIZE, BLADE, SECTION, SPEED, REST, SLOW).thrust
    )


def test_reynolds_number_goes_with_speed():
    made = blade_element(SIZE, BLADE, SECTION, SPEED, REST, AIR)
    assert made.reynolds[1] == pytest.approx(2 * made.reynolds[0], rel=0.05)


def test_polars_meet_their_rows_and_end_as_a_flat_plate():
    lift, drag, _ = SECTION.at(np.radians([4.0, 4.0, 90.0]), np.array([20_000.0, 100_000.0, 50_000.0]))
    assert lift[1] > lift[0] > 0
    assert drag[0] > drag[1] > 0
    assert (lift[2], drag[2]) == (pytest.approx(0, abs=0.03), pytest.approx(1.2, rel=0.02))


@pytest.mark.parametrize("name", ["5.0x4.3x2-J", "5.0x3.8x3-G", "4.0x4.0x2-J"])
def test_alone_it_is_within_thirty_percent_on_usual_blades(name):
    table = next(t for t in wind_tunnel_tables() if t.name == name)
    rest = table.at_rest
    made = blade_element(table.size, table.blade, SECTION, table.speed[rest], table.advance_ratio[rest], AIR)
    assert np.median(made.thrust / table.thrust_coefficient[rest]) == pytest.approx(1, abs=0.3)
    assert np.median(made.power / table.power_coefficient[rest]) == pytest.approx(1, abs=0.3)


_ANGLES = np.radians(np.tile(np.arange(-10.0, 21.0), 2))
LINEAR = (np.repeat([1e3, 1e6], 31), _ANGLES, 2 * np.pi * np.sin(_ANGLES), np.zeros(62))
