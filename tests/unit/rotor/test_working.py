import math

import numpy as np
import pytest

from platewright.rotor.hover import induced_velocity
from platewright.study.propellers import propeller_model, propeller_size
from platewright.study.propulsion import propeller_at_work

PROPELLER = propeller_at_work(5.1, 4.3, 3)


def test_axial_values_are_those_of_the_model():
    speed, advance = np.array([800.0, 1500.0, 2500.0]), np.array([0.0, 0.25, 0.5])
    size = propeller_size(5.1, 4.3, 3)
    exact = propeller_model().predict(size, speed, advance)
    made = PROPELLER.at(speed, advance * speed / (2 * math.pi) * size.diameter)
    assert made.thrust_coefficient == pytest.approx(exact.thrust, rel=2e-3)
    assert made.power_coefficient == pytest.approx(exact.power, rel=2e-3)
    assert np.all(made.applies)


def test_thrust_and_torque_follow_from_the_coefficients():
    made = PROPELLER.at(1500.0, 3.0, 0.0, density=1.1)
    turns, d = 1500 / (2 * math.pi), PROPELLER.diameter
    assert float(made.thrust) == pytest.approx(float(made.thrust_coefficient) * 1.1 * turns**2 * d**4)
    power = float(made.torque) * 1500
    assert power == pytest.approx(float(made.power_coefficient) * 1.1 * turns**3 * d**5)


def test_a_little_edgewise_speed_changes_little_and_no_speed_nothing():
    still, little = PROPELLER.at(1500.0, 0.0, 0.0), PROPELLER.at(1500.0, 0.0, 0.5)
    assert float(little.thrust) == pytest.approx(float(still.thrust), rel=0.01)
    assert float(little.torque) == pytest.approx(float(still.torque), rel=0.01)


def test_edgewise_inflow_is_glauerts():
    """Total inflow of the equal axial share obeys Glauert's momentum equation at the thrust that is given."""
    speed, edgewise, axial = 1500.0, 15.0, 8.0
    made = PROPELLER.at(speed, axial, edgewise)
    d, tip = PROPELLER.diameter, speed * PROPELLER.diameter / 2
    area = math.pi * d**2 / 4
    induced = 1.0
    for _ in range(200):
        induced = (induced + float(made.thrust) / (2 * 1.225 * area * math.hypot(edgewise, axial + induced))) / 2
    # axial momentum theory at the equal share: total inflow is climb / 2 + sqrt(climb^2 / 4 + v_h^2)
    j = float(made.share) * _no_thrust(speed)
    climb = j * speed / (2 * math.pi) * d
    alone = PROPELLER.at(speed, climb)
    hover = induced_velocity(float(alone.thrust), area, 1.225)
    total = climb / 2 + math.sqrt(climb**2 / 4 + hover**2)
    assert total / tip == pytest.approx((axial + induced) / tip, rel=0.01)


def test_edgewise_speed_gives_thrust_and_costs_power_only_when_fast():
    speeds = np.array([0.0, 5.0, 10.0, 20.0])
    made = PROPELLER.at(1500.0, 0.0, speeds)
    assert np.all(np.diff(made.thrust) > 0)
    per_thrust = made.torque / made.thrust**1.5
    assert per_thrust[2] < per_thrust[0]


def test_it_says_where_it_does_not_apply():
    made = PROPELLER.at(1500.0, np.array([-2.0, 0.0, 5.0, 40.0]))
    assert made.applies.tolist() == [False, True, True, False]


def test_bands_by_range():
    ct, cp = PROPELLER.band(np.array([0.0, 0.1, 0.5, 0.9]))
    assert np.all((ct > 0.02) & (ct < 0.6))
    assert np.all((cp > 0.02) & (cp < 0.6))
    assert ct[0] == PROPELLER.bands["at rest", "CT"]
    assert ct[3] == PROPELLER.bands["0.7 to 1", "CT"]


def _no_thrust(speed: float) -> float:
    made = PROPELLER.at(speed, 1.0)
    return 1.0 / (speed / (2 * math.pi) * PROPELLER.diameter) / float(made.share)
