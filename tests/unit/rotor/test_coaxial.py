"""Two rotors on one axis, at rest."""

import math

import numpy as np
import pytest

from platewright.rotor.coaxial import WAKE_BAND, induced_shares, pair_at_rest
from platewright.rotor.gridded import gridded
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe
from platewright.rotor.working import WORKING_SPEEDS
from rotors import PROPELLER

RADIUS, SPEED = PROPELLER.diameter / 2, 1000.0


def test_a_pair_far_from_air_of_its_own_is_two_rotors_when_wakes_are_off():
    pair = pair_at_rest(PROPELLER, RADIUS, strength=0.0)
    assert np.allclose(pair.lost, 0.0)
    assert np.allclose(pair.power_ratio, 1.0)
    assert pair.propeller.static(SPEED) == pytest.approx(PROPELLER.static(SPEED))


def test_the_lower_rotor_pays():
    pair = pair_at_rest(PROPELLER, RADIUS)
    assert np.all(pair.lost[:, 1] > 3 * pair.lost[:, 0])
    assert np.all(pair.lost[:, 0] > 0)
    lost, ratio = pair.at(SPEED)
    assert (lost, ratio) == (pytest.approx(pair.lost[12, 1], abs=0.02), pytest.approx(pair.power_ratio[12], abs=0.02))


def test_stronger_wakes_and_nearer_discs_cost_more():
    ratios = [pair_at_rest(PROPELLER, RADIUS, s).at(SPEED)[1] for s in (WAKE_BAND[0], 1.0, WAKE_BAND[1])]
    assert ratios == sorted(ratios)
    by_gap = [pair_at_rest(PROPELLER, g * RADIUS).at(SPEED)[1] for g in (0.1, 0.5, 1.0, 2.0)]
    assert by_gap == sorted(by_gap, reverse=True)


def test_momentum_holds_for_both_rotors():
    """Thrust of each is 2 rho A (inflow from outside + own) own, whatever the other gives it."""
    upper, lower = induced_shares(1.0)
    assert upper < 1
    assert lower < upper
    assert upper + lower < 2


def test_a_trimmed_pair_hovers_by_the_same_rule():
    """One axis in `trim`, lift free: thrusts of both rotors at the speed found are those of the pair."""
    gap = 0.9 * RADIUS
    discs = np.array([[0.0, 0.0, gap / 2], [0.0, 0.0, -gap / 2]])
    frame = Airframe(0.25, discs, 0.4, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    found = trim([frame], gridded(PROPELLER), np.array([0.0]))
    assert found.applies[0, 0]
    speed = float(found.speed[0, 0, 0])
    pair = pair_at_rest(PROPELLER, gap)
    ct, cp = pair.propeller.static(speed)
    turns = speed / (2 * math.pi)
    assert float(found.thrust[0, 0].mean()) == pytest.approx(ct * 1.225 * turns**2 * PROPELLER.diameter**4, rel=0.01)
    torque = cp * 1.225 * turns**2 * PROPELLER.diameter**5 / (2 * math.pi)
    assert float(found.torque[0, 0].mean()) == pytest.approx(torque, rel=0.01)


def test_only_rest_is_changed():
    made = pair_at_rest(PROPELLER, RADIUS).propeller
    assert made.thrust.shape == (WORKING_SPEEDS.size, PROPELLER.thrust.shape[1])
    assert np.array_equal(made.thrust[:, 1:], PROPELLER.thrust[:, 1:])
