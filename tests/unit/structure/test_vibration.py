"""Steady vibration: closed forms of one free mass and of two on a spring."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.frame import Frame
from platewright.structure.laminate import section_of
from platewright.structure.mesh import mesh_outline
from platewright.structure.ply import isotropic_ply
from platewright.structure.points import Lump, PlacedPlate, Spring
from platewright.structure.reduce import group_ties, reduce_plate
from platewright.structure.stacks import single_stack
from platewright.structure.vibration import (
    held_modes,
    motion_amplitude,
    motion_shares,
    turn_amplitude,
    turning_response,
    unbalance_force,
)

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


def bar(mass: float = 0.0) -> Frame:
    """A steel-like strip of 100 x 10 x 2 with a hole at each end, a mass at the right one."""
    outline = Outline(rectangle_loop(0, 0, 108, 10), (), (Circle(-50, 0, 1.0), Circle(50, 0, 1.0)))
    mesh = mesh_outline(outline, 3.5)
    ties = group_ties(mesh, [(-50.0, 0.0), (50.0, 0.0)], ((0,), (1,)))
    plate = reduce_plate(mesh, section_of(single_stack(isotropic_ply(70_000, 0.0), 2.0, 2.7e-9), 0.0), ties)
    frame = Frame([PlacedPlate("bar", plate, np.zeros(3), np.eye(3))])
    if mass:
        frame.carry(Lump(frame.point(0, 1), mass, frame.point(0, 1).position, np.eye(3) * 1e-9))
    return frame


def test_a_heavy_tip_on_a_held_strip_is_the_books_cantilever() -> None:
    """f = sqrt(3 E I / (L^3 (m + 33/140 m_b))) / 2 pi between hole centres, 1 % for rims that are rigid over 2 mm."""
    mass = 50e-6
    found = held_modes(bar(mass), [0], [0], 2)
    stiffness = 3 * 70_000 * 10 * 2**3 / 12 / 100**3
    ought = math.sqrt(stiffness / (mass + 33 / 140 * 100 * 10 * 2 * 2.7e-9)) / (2 * math.pi)
    assert found.frequencies[0] == pytest.approx(ought, rel=0.02)
    assert np.all(found.shapes[:, :6] == 0)


def test_a_plate_that_hangs_on_a_held_one_vibrates_with_it() -> None:
    """Two strips bolted end to end as good as rigidly, the first held: the cantilever of both lengths, 2 % as above."""
    mass = 50e-6
    one = bar().plates[0]
    frame = Frame([one, PlacedPlate("other", one.reduced, np.array([100.0, 0.0, 0.0]), np.eye(3))])
    near, far = frame.point(0, 1), frame.point(1, 0)
    frame.join(Spring("bolt", near, far, near.position, np.diag([1e7, 1e7, 1e7, 1e9, 1e9, 1e9])))
    frame.carry(Lump(frame.point(1, 1), mass, frame.point(1, 1).position, np.eye(3) * 1e-9))
    found = held_modes(frame, [0, 1], [0], 2)
    stiffness = 3 * 70_000 * 10 * 2**3 / 12 / 200**3
    ought = math.sqrt(stiffness / (mass + 33 / 140 * 200 * 10 * 2 * 2.7e-9)) / (2 * math.pi)
    assert found.frequencies[0] == pytest.approx(ought, rel=0.02)
    alone = held_modes(frame, [0], [0], 2)  # the other left out: the first strip without a mass
    assert alone.frequencies[0] > 3 * found.frequencies[0]


def test_a_plate_alone_that_nothing_holds_is_refused() -> None:
    with pytest.raises(StructureError, match="held"):
        held_modes(bar(), [0], [], 2)


def test_shares_of_motion_are_kinetic_energies_of_each_way() -> None:
    mass = np.diag([2.0, 2.0, 2.0, 8.0, 8.0, 8.0])
    turned = np.array([[0.0, 1, 0], [-1, 0, 0], [0, 0, 1]])
    shares = motion_shares(np.array([1.0, 0, 0, 0, 0, 0.5]), mass, turned)
    assert shares == pytest.approx([0, 0.5, 0, 0, 0, 0.5])


def test_a_rigid_body_turns_alike_everywhere() -> None:
    """One body under a force beside its centre: the angular rate is that of every point of it."""
    frame = pair()
    seat = np.array([0.0, 5.0, 0.0])
    found = turning_response(frame, [(frame.body(0), seat)], 800.0, 0.0)
    here, there = frame.body(0), frame.body(0).at(np.array([30.0, -4.0, 2.0]))
    assert turn_amplitude(here, found) == pytest.approx(turn_amplitude(there, found))
    assert turn_amplitude(here, found).max() > 0
