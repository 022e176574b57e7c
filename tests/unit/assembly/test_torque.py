"""Tightening: the least of screw, thread and plate."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.assembly.torque import bearing_area, permitted_preload, stripping_force, tighten, tightening_torque

M3 = (0.5, 2.6752)  # pitch and pitch diameter [mm]


def test_each_of_the_three_may_govern():
    screw = tighten(1000, 9000, 20, 140, *M3, 4.2, 0.12)
    thread = tighten(4000, 1000, 20, 140, *M3, 4.2, 0.12)
    plate = tighten(4000, 9000, 10, 140, *M3, 4.2, 0.12)
    assert [(t.governs, round(t.preload)) for t in (screw, thread, plate)] == [
        ("screw", 1000),
        ("thread", 800),
        ("plate", 1400),
    ]


def test_without_a_plate_under_the_head_none_limits():
    assert tighten(5000, 9000, 0.0, 140, *M3, 4.2, 0.12).allowed.keys() == {"screw", "thread"}


def test_prevailing_torque_is_added_to_what_is_set():
    free, nylon = (tighten(2000, 9000, 20, 140, *M3, 4.2, 0.12, extra) for extra in (0.0, 430.0))
    assert nylon.clamping_torque == free.clamping_torque
    assert nylon.torque == pytest.approx(free.torque + 430)


@given(st.floats(0.05, 0.3), st.floats(0.05, 0.3))
def test_more_friction_leaves_less_preload_and_wants_more_torque_for_it(a, b):
    low, high = sorted((a, b))
    assert permitted_preload(1100, *M3, 2.5309, high) <= permitted_preload(1100, *M3, 2.5309, low)
    assert tightening_torque(1000, *M3, 4.2, high) >= tightening_torque(1000, *M3, 4.2, low)


def test_without_friction_the_work_of_the_driver_is_the_work_of_the_preload():
    """One turn lifts the load by a pitch: 2 pi M = F P; VDI 2230 writes 0.159 for 1 / (2 pi)."""
    assert tightening_torque(1000, *M3, 4.2, 0.0) == pytest.approx(1000 * 0.5 / (2 * math.pi), rel=2e-3)


def test_a_thread_strips_in_proportion_to_what_is_engaged():
    one, two = (stripping_force(3, *M3, length, 207) for length in (1.5, 3.0))
    assert two == pytest.approx(2 * one)
    assert stripping_force(3, *M3, -1.0, 207) == 0


def test_the_ring_under_a_head():
    assert bearing_area(6, 4) == pytest.approx(math.pi * (9 - 4))
