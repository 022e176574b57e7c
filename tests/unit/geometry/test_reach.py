"""How far material reaches from a hole."""

import math

import pytest

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.reach import reach
from platewright.geometry.shapes import rectangle_loop, slot_loop


def test_arcs_and_openings_are_met_exactly() -> None:
    """A slot's round end of radius 20, and an opening on the other side."""
    hole = Circle(10, 0, 1.6)
    plate = Outline(slot_loop(-30, 0, 30, 0, 40), (rectangle_loop(-10, 0, 8, 5),), (hole,))
    assert reach(plate, hole, 0.0) == pytest.approx(40, abs=1e-9)
    assert reach(plate, hole, math.pi) == pytest.approx(16, abs=1e-9)
    # From (10, 0) at 45 degrees the straight side y = 20 is met at x = 30, where the round end begins.
    assert reach(plate, hole, math.pi / 4) == pytest.approx(20 * math.sqrt(2), abs=1e-6)
    # At 30 degrees: on the circle about (30, 0) of radius 20.
    t = reach(plate, hole, math.pi / 6)
    assert math.hypot(10 + t * math.cos(math.pi / 6) - 30, t * math.sin(math.pi / 6)) == pytest.approx(20, abs=1e-9)
