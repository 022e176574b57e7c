import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.geometry.biarc import arcs_of_curve
from platewright.geometry.loops import Loop, loop_area


@pytest.mark.parametrize("tolerance", [0.1, 0.01, 0.001])
def test_ellipse_stays_within_its_tolerance_measured_elsewhere(tolerance):
    run = arcs_of_curve(lambda t: 8.5 * np.cos(t) + 5j * np.sin(t), np.linspace(0, 2 * np.pi, 5), tolerance)
    loop = Loop(tuple((x, y, b) for (x, y), b in zip(run.points, run.bulges, strict=False)))
    assert run.error <= tolerance
    # An area error is at most the perimeter (44 mm at most) times the tolerance; closed form pi a b.
    assert abs(loop_area(loop) - math.pi * 8.5 * 5) <= 44 * tolerance


def test_area_error_falls_with_the_tolerance():
    def error(tolerance):
        run = arcs_of_curve(lambda t: 8.5 * np.cos(t) + 5j * np.sin(t), np.linspace(0, 2 * np.pi, 5), tolerance)
        loop = Loop(tuple((x, y, b) for (x, y), b in zip(run.points, run.bulges, strict=False)))
        return abs(loop_area(loop) / (math.pi * 42.5) - 1)

    assert error(1e-4) < 1e-5 < error(1e-2)


def test_straight_piece_is_a_line():
    run = arcs_of_curve(lambda t: t * (3 + 4j), [0.0, 1.0], 1e-3)
    assert set(run.bulges) == {0.0}
    assert run.points[-1] == (3.0, 4.0)


def test_corner_at_a_break_stays_sharp():
    run = arcs_of_curve(lambda t: np.where(t < 1, t, 1 + 1j * (t - 1)) + 0j, [0.0, 1.0, 2.0], 1e-3)
    assert (1.0, 0.0) in run.points
    assert set(run.bulges) == {0.0}


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=4, max_size=4, unique=True))
def test_every_point_of_a_cubic_lies_near_an_arc(corners):
    p = [complex(*c) for c in corners]

    def at(t):
        return (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t**2 * p[2] + t**3 * p[3]

    run = arcs_of_curve(at, [0.0, 1.0], 0.01)
    ends = np.array([complex(*q) for q in run.points])
    assert ends[0] == pytest.approx(p[0], abs=1e-9)
    assert ends[-1] == pytest.approx(p[3], abs=1e-9)
    assert run.error <= 0.01 or len(run.bulges) > 100  # a cusp is halved as often as is allowed
