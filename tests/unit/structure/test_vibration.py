"""Steady vibration: closed forms of one free mass and of two on a spring."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.structure.frame import Frame
from platewright.structure.points import Lump, Spring
from platewright.structure.vibration import motion_amplitude, turning_response, unbalance_force

M1, M2, K = 1e-4, 3e-4, 50.0


def pair() -> Frame:
    frame = Frame([], [np.zeros(3), np.array([20.0, 0.0, 0.0])])
    for n, mass in enumerate((M1, M2)):
        frame.carry(Lump(frame.body(n), mass, frame.bodies[n], np.eye(3) * 10))
    stiffness = np.diag([K, 1e9, 1e9, 1e9, 1e9, 1e9])
    frame.join(Spring("spring", frame.body(0), frame.body(1), np.array([10.0, 0.0, 0.0]), stiffness))
    return frame


def along_x(speed: float, loss: float) -> tuple[float, float]:
    frame = pair()
    found = turning_response(frame, [(frame.body(0), np.zeros(3))], speed, loss)
    return tuple(float(motion_amplitude(frame.body(n), found)[0, 0]) for n in (0, 1))  # type: ignore[return-value]


def test_two_masses_on_a_spring_answer_as_in_the_book() -> None:
    """x1 = (k - m2 w^2) / D and x2 = k / D per newton on the first, D = m1 m2 w^4 - k (m1 + m2) w^2."""
    for speed in (300.0, 600.0, 1500.0):
        d = M1 * M2 * speed**4 - K * (M1 + M2) * speed**2
        assert along_x(speed, 0.0) == pytest.approx((abs((K - M2 * speed**2) / d), abs(K / d)), rel=1e-6)


def test_at_resonance_damping_alone_limits_the_answer() -> None:
    speed = math.sqrt(K * (1 / M1 + 1 / M2))
    assert along_x(speed, 0.02)[1] == pytest.approx(2 * along_x(speed, 0.04)[1], rel=0.01)


def test_unbalance_grows_with_the_square_of_speed_for_a_given_offset() -> None:
    mass, offset, speed = 4e-6, 0.01, 2000.0
    assert unbalance_force(mass, offset * speed, speed) == pytest.approx(mass * offset * speed**2)
