"""Euler, motion of a free rigid body: Goldstein, Classical Mechanics, 3rd ed. (2002), ISBN 0-201-65702-3, sections 5.5
to 5.7; closed forms, from memory.
"""

import math

import numpy as np
import pytest

from platewright.rotor.simulate import Rigid, State, simulate, to_ground

STILL = np.zeros((1, 3))


def flight(inertia, rates, duration, step):
    craft = Rigid(1.0, np.diag(inertia), np.zeros((1, 3)), np.ones(1), 0.0, 1.0, np.zeros(3), 0.0)
    start = State(STILL, STILL, np.array([[1.0, 0, 0, 0]]), np.array([rates]), np.zeros((1, 1)))

    def nothing(speeds, axial, edgewise):
        return 0 * speeds, 0 * speeds

    return simulate(craft, start, lambda s: s.speeds, nothing, duration, step)


def test_intermediate_axis_flips_and_energy_and_angular_momentum_stay():
    """Spin about the middle axis is unstable: a small push turns the body over, and back again."""
    inertia = np.array([1.0, 2.0, 3.0])
    states = flight(inertia, [0.05, 6.0, 0.05], 6.5, 1e-3)
    rates = np.array([s.rates[0] for s in states])
    assert rates[:, 1].min() < -5.99
    assert rates[rates[:, 1].argmin() :, 1].max() > 5.99
    energy = rates**2 @ inertia / 2
    assert np.ptp(energy) / energy[0] < 1e-4  # second order, 6e-3 rad a step
    over = np.array([to_ground(s.turn, s.rates * inertia)[0] for s in states[::25]])
    assert np.abs(over - over[0]).max() / np.linalg.norm(over[0]) < 1e-4


def test_error_of_energy_falls_at_least_with_the_square_of_the_step():
    inertia = np.array([1.0, 2.0, 3.0])

    def error(step):
        (*_, last) = flight(inertia, [1.0, 4.0, 2.0], 2.0, step)
        return abs(float(last.rates[0] ** 2 @ inertia) / (1 + 32 + 12) - 1)

    assert error(1e-3) / error(5e-4) > 3.9


def test_a_growing_wobble_has_the_rate_of_the_linear_theory():
    """About the middle axis: growth w2 sqrt((I2 - I1) (I3 - I2) / (I1 I3))."""
    inertia, spin = np.array([1.0, 2.0, 3.0]), 6.0
    rate = spin * math.sqrt(1.0 / 3.0)
    along = math.sqrt(inertia[2] / inertia[0])  # grows without decaying part
    states = flight(inertia, [-1e-5 * along, spin, 1e-5], 1.0, 5e-4)
    start = abs(states[0].rates[0, 2])
    assert abs(states[-1].rates[0, 2]) / start == pytest.approx(math.exp(rate), rel=1e-3)


def test_a_symmetric_top_precesses():
    """Body rate of precession (I3 - I1) / I1 w3."""
    states = flight(np.array([1.0, 1.0, 1.8]), [1.0, 0.0, 5.0], 1.0, 5e-4)
    x, y, z = states[-1].rates[0]
    assert z == pytest.approx(5.0)
    angle = 0.8 * 5.0 * 1.0
    assert (x, y) == pytest.approx((math.cos(angle), math.sin(angle)), abs=1e-4)
