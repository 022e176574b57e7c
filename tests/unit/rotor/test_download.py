import math

import pytest

from platewright.rotor.download import thrust_lost, wake_radius, wake_speed


def test_the_flow_through_the_wake_is_the_same_at_every_depth():
    for depth in (-0.1, 0.0, 0.02, 0.05, 1.0):
        flow = wake_speed(depth, 0.0635) * wake_radius(depth, 0.0635) ** 2
        assert flow == pytest.approx(0.0635**2)


def test_a_plate_that_closes_the_far_wake_takes_all_thrust():
    """The far wake is half the disc's area at twice its speed; a plate across it with coefficient 2 takes T."""
    area = math.pi * 0.06**2
    assert thrust_lost(2.0 * area / 2, area, 2.0) == pytest.approx(1.0)


def test_above_the_disc_less_is_lost_than_below():
    assert wake_speed(-0.03, 0.06) < 1 < wake_speed(0.03, 0.06)
    assert wake_speed(-10, 0.06) == pytest.approx(0, abs=1e-4)
