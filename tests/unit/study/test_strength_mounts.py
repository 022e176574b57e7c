"""Screws of motors and threads: the pull of thrust shared by a motor's screws, sides of a motor, threads that strip."""

from __future__ import annotations

import numpy as np
import pytest

from frames import PARTS
from platewright.assembly.mass import mass_items
from platewright.model.load_case import CaseForce, LoadCase
from platewright.study.strength_holes import thread_use
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import FrameModel, frame_model
from platewright.study.strength_mounts import limits_of, mount_uses
from platewright.study.tightening import thread_force
from strength_frames import quad

QUAD = quad(battery=(0, 0))


def model() -> FrameModel:
    return frame_model(QUAD, TYPICAL, PARTS)


def used(*loads: CaseForce) -> dict[str, float]:
    """Return how much of each screw and thread some loads use, by name."""
    found = model()
    static = found.frame.solve(case_of(QUAD, found, LoadCase(id="push", loads=loads)).load[None])
    return {what: float(share[0]) for what, _, share in mount_uses(QUAD, found, static.freedoms)}


def all_rotors(force: float) -> list[CaseForce]:
    return [CaseForce(rotor=r, force_n=force, direction="up") for r in (1, 2, 3, 4)]


def test_thrust_pulls_each_of_four_screws_with_its_share() -> None:
    """A motor's seat passes on thrust less what accelerates motor and propeller; 5 % for the plate's own inertia."""
    found = model()
    carried = sum(i.mass for i in mass_items(QUAD) if (i.group != "plates" and "motor" in i.name) or "prop" in i.name)
    seat = 20.0 - carried / 4 * 80.0 / found.mass
    fit = next(s for s in QUAD.screws if s.line.name.startswith("motor.1"))
    share = used(*all_rotors(20.0))[f"screw {fit.name}"]
    # the arm turns a little: the moment at the seat comes on top
    assert share >= 0.95 * seat / 4 / limits_of(fit).tension
    assert share <= 2.0 * seat / 4 / limits_of(fit).tension


def test_pressing_a_motor_down_uses_less_of_its_screws_than_pulling_it() -> None:
    fit = next(s for s in QUAD.screws if s.line.name.startswith("motor.1"))
    pulled, pressed = used(*all_rotors(20.0)), used(*all_rotors(-20.0))
    assert pressed[f"thread of {fit.name}"] < pulled[f"thread of {fit.name}"]


def test_torque_of_a_motor_shears_its_screws_at_their_radius() -> None:
    """One moment M about the shaft: V = M / (n r), less what turns the motor itself."""
    fit = next(s for s in QUAD.screws if s.line.name.startswith("motor.1"))
    share = used(CaseForce(rotor=1, moment_n_mm=(0.0, 0.0, 400.0)))[f"screw {fit.name}"]
    point = model().rotor_points[1].position
    radius = float(np.hypot(fit.line.a - point[0], fit.line.b - point[1]))
    assert share == pytest.approx(400.0 / (4 * radius) / limits_of(fit).shear, rel=0.3)
    assert radius == pytest.approx(8.0, abs=1.6)  # M3 on 16 to 19 mm


def test_a_thread_strips_at_its_force_and_pressure_uses_none_of_it() -> None:
    fit = next(s for s in QUAD.screws if s.line.name.startswith("motor.1"))
    found = thread_use(QUAD, fit, np.array([thread_force(fit, QUAD), -500.0]))
    assert found is not None
    assert found[2] == pytest.approx([1.0, 0.0])
