import numpy as np
import pytest

from platewright.rotor.gridded import gridded
from rotors import PROPELLER


def test_it_is_the_propeller_at_work_within_a_percent():
    rng = np.random.default_rng(7)
    speed = rng.uniform(300, 4000, 2000)
    tip = speed * PROPELLER.diameter / 2
    axial, edgewise = rng.uniform(-0.05, 0.25, 2000) * tip, rng.uniform(0.001, 0.4, 2000) * tip
    exact, found = PROPELLER.at(speed, axial, edgewise), gridded(PROPELLER).at(speed, axial, edgewise)
    error = np.abs(found.thrust_coefficient - exact.thrust_coefficient) / 0.2
    assert error.max() < 0.01
    assert np.median(error) < 0.002
    assert np.abs(found.power_coefficient - exact.power_coefficient).max() / 0.13 < 0.01
    assert found.thrust == pytest.approx(exact.thrust, abs=0.01 * exact.thrust.max())


def test_at_rest_it_is_the_table():
    found = gridded(PROPELLER).at(1500.0)
    assert float(found.thrust_coefficient) == pytest.approx(0.2, rel=2e-3)
    assert float(found.torque) == pytest.approx(float(PROPELLER.at(1500.0).torque), rel=3e-3)


def test_the_same_tables_are_worked_out_once():
    assert gridded(PROPELLER) is gridded(PROPELLER)


def test_thrust_falls_on_beyond_the_grid():
    found = gridded(PROPELLER).at(1000.0, np.array([25.0, 30.0, 40.0]), 5.0)
    assert np.all(np.diff(found.thrust) < 0)
    assert not found.applies[-1]
