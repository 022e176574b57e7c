import math
from dataclasses import replace

import numpy as np
import pytest

from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe, Doubt
from rotors import PROPELLER

DISCS = np.array([[0.084, 0.08, 0.0], [-0.084, 0.08, 0.0], [-0.084, -0.08, 0.0], [0.084, -0.08, 0.0]])
QUAD = Airframe(0.65, DISCS, 0.3, 0.008, 0.02, 0.0, 1.0, 0.0, 0.0)
SPEEDS = np.array([0.0, 3.0, 8.0, 15.0, 25.0, 35.0])


def test_hover_is_level_and_even():
    found = trim([QUAD], PROPELLER, np.array([0.0]))
    assert found.applies.all()
    assert found.tilt == pytest.approx(0, abs=1e-6)
    assert found.thrust == pytest.approx(QUAD.weight / 4, rel=1e-4)
    assert found.lost == pytest.approx(0, abs=1e-3)


def test_forces_and_moment_balance():
    """Repeated from the result alone: lift, drive and pitch."""
    frame = replace(QUAD, front_height=0.01, top_reach=0.005)
    found = trim([frame], PROPELLER, SPEEDS)
    assert found.applies.all()
    sin, cos = np.sin(found.tilt[0]), np.cos(found.tilt[0])
    q = 1.225 / 2 * SPEEDS**2
    front, top = frame.front_drag * q * cos**2, frame.top_drag * q * sin**2
    up, aft = found.thrust[0].sum(axis=-1) - top, found.disc_force[0].sum(axis=-1) + front
    assert up * cos + aft * sin == pytest.approx(frame.weight, rel=3e-3)
    assert up * sin - aft * cos == pytest.approx(0, abs=3e-3 * frame.weight)
    parts = found.wake_moment + found.disc_moment + found.drag_moment + found.centre_moment
    assert found.moment == pytest.approx(parts)
    assert found.drag_moment[0] == pytest.approx(front * 0.01 - top * 0.005, abs=1e-3 * frame.weight * 0.084)


def test_energy_is_conserved():
    """Shaft power is that of drag, induced inflow and the blades' drag: it is never less than the first two."""
    found = trim([QUAD], PROPELLER, SPEEDS)
    shaft = (found.speed * found.torque)[0].sum(axis=-1)
    sin, cos = np.sin(found.tilt[0]), np.cos(found.tilt[0])
    drag = 1.225 / 2 * SPEEDS**3 * (QUAD.front_drag * cos**3 + QUAD.top_drag * sin**3)
    induced = (found.thrust * found.induced)[0].sum(axis=-1)
    assert np.all(shaft > drag + 0.9 * induced)
    assert np.all(shaft < 3 * (drag + induced))


def test_without_wakes_nothing_is_lost_and_tilt_is_drag_over_weight():
    doubt = Doubt(wake=0.0, disc_drag=0.0)
    found = trim([replace(QUAD, top_drag=0.0)], PROPELLER, SPEEDS, doubts=[doubt])
    assert found.lost == pytest.approx(0, abs=1e-9)
    drag = 1.225 / 2 * (SPEEDS * np.cos(found.tilt[0])) ** 2 * QUAD.front_drag
    assert np.sin(found.tilt[0]) == pytest.approx(drag / QUAD.weight, abs=1e-3)


def test_discs_behind_lose_and_discs_ahead_gain():
    found = trim([QUAD], PROPELLER, SPEEDS[1:])
    assert np.all(found.lost[0, :, 1] > 0)
    assert np.all(found.lost[0, :, 0] < 0)
    assert np.all(found.share > 0)
    assert np.all(found.wake_moment > 0)


def test_a_centre_of_gravity_ahead_unloads_discs_behind():
    ahead = replace(QUAD, discs=DISCS - [0.01, 0, 0])
    even, moved = (trim([f], PROPELLER, SPEEDS) for f in (QUAD, ahead))
    assert np.all(moved.share < even.share)
    assert moved.centre_moment[0, 0] == pytest.approx(-0.01 * QUAD.weight, rel=1e-3)


def test_cases_solved_together_are_those_solved_alone():
    high = replace(QUAD, discs=DISCS + np.array([[0, 0, 0.0], [0, 0, 0.01], [0, 0, 0.01], [0, 0, 0]]))
    both = trim([QUAD, high], PROPELLER, SPEEDS)
    alone = trim([high], PROPELLER, SPEEDS)
    assert both.tilt[1] == pytest.approx(alone.tilt[0], abs=1e-4)
    assert both.lost[1] == pytest.approx(alone.lost[0], abs=1e-3)


def test_three_g_asks_three_times_the_lift_and_pitching_loads_discs_ahead():
    found = trim([QUAD], PROPELLER, np.array([25.0]), loads=[3.0])
    level = trim([QUAD], PROPELLER, np.array([25.0]))
    assert found.applies.all()
    lift = found.thrust.sum() * math.cos(found.tilt[0, 0])
    assert lift == pytest.approx(3 * QUAD.weight, rel=0.03)
    assert found.tilt[0, 0] < level.tilt[0, 0]


def test_a_lower_coaxial_rotor_loses_thrust_at_the_same_speed():
    discs = np.vstack([DISCS, DISCS - [0, 0, 0.035]])
    found = trim([replace(QUAD, discs=discs)], PROPELLER, np.array([0.0]))
    assert found.applies.all()
    assert found.speed[0, 0] == pytest.approx(found.speed[0, 0, 0])
    assert np.all(found.lost[0, 0, 4:] > found.lost[0, 0, :4])
    assert np.all(found.lost[0, 0, :4] > 0)


def test_where_no_balance_is_found_it_says_so():
    """Drag so large that the propellers would turn faster than tables reach."""
    found = trim([replace(QUAD, front_drag=2.0, top_drag=2.0)], PROPELLER, np.array([40.0]))
    assert not found.applies.any()


def test_one_disc_line_needs_no_balance_in_pitch():
    discs = np.array([[0.0, 0.1, 0.0], [0.0, -0.1, 0.0]])
    found = trim([replace(QUAD, mass=0.3, discs=discs)], PROPELLER, np.array([0.0, 5.0]))
    assert found.share == pytest.approx(0)
