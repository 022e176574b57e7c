"""A body that runs into a spring: closed forms of one and two masses, energy and momentum, off-centre blows."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh
from tests.unit.structure.test_frame import lying, strip

from platewright.structure.frame import Frame
from platewright.structure.impact import ModalBody, crash_index, modal_body, strike

MASS, SPRING, SPEED = 5e-4, 300.0, 4000.0


def chain(front: float, rear: float, link: float) -> ModalBody:
    """Return two masses joined by a spring, the front one first."""
    squares, shapes = eigh(np.array([[link, -link], [-link, link]]), np.diag([front, rear]))
    return ModalBody(np.array([0.0, squares[1]]), shapes.T)


def test_a_mass_on_a_spring_turns_round_after_half_a_period() -> None:
    body = ModalBody(np.array([0.0]), np.array([[MASS**-0.5]]))
    found = strike(body, body.shapes[:, 0], np.array([-SPEED * MASS**0.5]), SPRING)
    assert found.contact_time == pytest.approx(math.pi * math.sqrt(MASS / SPRING), rel=0.03)
    assert found.push.max() == pytest.approx(SPEED * math.sqrt(MASS * SPRING), rel=2e-3)
    # after the contact it goes back as fast as it came
    x = found.motion[:, 0] * MASS**-0.5
    assert (x[-1] - x[-2]) / (found.times[1]) == pytest.approx(SPEED, rel=2e-3)


def test_two_masses_follow_the_exact_solution_while_they_touch() -> None:
    """Front mass on the contact spring, rear one behind a spring: linear until the contact opens."""
    front, rear, link = 1e-4, 4e-4, 200.0
    body = chain(front, rear, link)
    velocity = body.shapes @ np.diag([front, rear]) @ np.array([-SPEED, -SPEED])
    found = strike(body, body.shapes[:, 0], velocity, SPRING)
    squares, shapes = eigh(np.array([[link + SPRING, -link], [-link, link]]), np.diag([front, rear]))
    rate = np.sqrt(squares)
    modal = shapes.T @ np.diag([front, rear]) @ np.array([-SPEED, -SPEED])
    until = int(np.flatnonzero(found.push == 0)[1])  # the first step is before the touch
    exact = (np.sin(np.outer(found.times[:until], rate)) / rate * modal) @ shapes.T
    ours = found.motion[:until] @ body.shapes
    assert ours == pytest.approx(exact, abs=3e-3 * np.abs(exact).max())


def test_energy_is_conserved() -> None:
    body = chain(1e-4, 4e-4, 200.0)
    velocity = body.shapes @ np.diag([1e-4, 4e-4]) @ np.array([-SPEED, -SPEED])
    assert strike(body, body.shapes[:, 0], velocity, SPRING).drift < 1e-2


def test_impulse_is_the_change_of_momentum() -> None:
    """Of a chain that bounces, whatever its inner motion: the sum of pushes by time is the momentum gained."""
    masses = np.diag([1e-4, 4e-4])
    body = chain(1e-4, 4e-4, 200.0)
    velocity = body.shapes @ masses @ np.array([-SPEED, -SPEED])
    found = strike(body, body.shapes[:, 0], velocity, SPRING)
    step = found.times[1]
    places = found.motion @ body.shapes
    momentum = np.diff(places, axis=0) / step @ np.diag(masses)
    assert found.push.sum() * step == pytest.approx(momentum[-1] + SPEED * 5e-4, rel=2e-3)


def test_everything_is_in_proportion_to_the_speed() -> None:
    body = chain(1e-4, 4e-4, 200.0)
    velocity = body.shapes @ np.diag([1e-4, 4e-4]) @ np.array([-SPEED, -SPEED])
    slow, fast = (strike(body, body.shapes[:, 0], k * velocity, SPRING) for k in (1.0, 3.0))
    assert fast.motion == pytest.approx(3 * slow.motion, rel=1e-9)


def test_a_soft_blow_on_the_end_of_a_strip_is_that_of_a_rigid_body() -> None:
    """Impulse 2 m_eff v: the contact lasts pi sqrt(m_eff / k), m_eff = 1 / (1/m + d^2/I)."""
    frame = Frame([lying("a", strip(200), (0, 0, 0))])
    body = modal_body(frame, 20)
    load = frame.load(frame.point(0, 1), np.array([0.0, 0, 1, 0, 0, 0]))
    share = body.shapes @ load
    velocity = body.shapes @ (frame.mass @ frame.rigid[:, 2]) * -SPEED
    soft = 0.05
    found = strike(body, share, velocity, soft)
    mass = frame.effective_mass(load)
    assert found.contact_time == pytest.approx(math.pi * math.sqrt(mass / soft), rel=0.03)
    impulse = found.push.sum() * found.times[1]
    assert impulse == pytest.approx(2 * mass * SPEED, rel=0.01)
    assert found.drift < 0.01


def test_more_modes_change_the_bent_strip_little() -> None:
    """Modes that are left out give way as their compliance does."""
    frame = Frame([lying("a", strip(200), (0, 0, 0))])
    load = frame.load(frame.point(0, 1), np.array([0.0, 0, 1, 0, 0, 0]))
    whole = 2 * float(frame.solve(load[None]).energy[0])
    peaks = []
    for count in (3, 20):
        body = modal_body(frame, count)
        share = body.shapes @ load
        left = whole - float((share[6:] ** 2 / body.squares[6:]).sum())
        velocity = body.shapes @ (frame.mass @ frame.rigid[:, 2]) * -SPEED
        found = strike(body, share, velocity, 20.0, max(left, 0.0))
        peaks.append(float((0.5 * body.squares * found.motion**2).sum(axis=1).max()))
    assert peaks[0] == pytest.approx(peaks[1], rel=0.05)


def test_a_body_that_goes_away_strikes_nothing() -> None:
    body = ModalBody(np.array([0.0]), np.array([[1.0]]))
    with pytest.raises(ValueError, match="towards the obstacle"):
        strike(body, np.array([1.0]), np.array([1.0]), 1.0)


def test_crash_index_doubles_with_all_energies_and_halves_with_mass() -> None:
    assert crash_index([2, 6], 0.5) == pytest.approx(2 * crash_index([1, 3], 0.5))
    assert crash_index([2, 6], 1.0) == pytest.approx(crash_index([2, 6], 0.5) / 2)
    assert crash_index([1, 4], 1.0) == pytest.approx(200)
