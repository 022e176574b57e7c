"""Outlines that are one shape, and those that only look like it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Circle, Loop, Outline, transform_outline
from platewright.geometry.same import same_shape

# an L with a round corner and a hole off its middle: no symmetry at all
CRANK = Outline(
    Loop(((0, 0, 0), (30, 0, 0), (30, 8, math.tan(math.pi / 8)), (24, 14, 0), (10, 14, 0), (10, 40, 0), (0, 40, 0))),
    circles=(Circle(5, 30, 1.6), Circle(20, 6, 2.5)),
)


@settings(max_examples=40, deadline=None)
@given(st.floats(-7, 7), st.floats(-100, 100), st.floats(-100, 100), st.booleans())
def test_a_moved_outline_is_the_same_and_the_motion_is_found(turn: float, x: float, y: float, flip: bool) -> None:
    motion = Isometry.from_turn(turn, x, y, flip)
    found = same_shape(CRANK, transform_outline(CRANK, motion))
    assert found is not None
    assert found.flip == flip
    for point in ((0.0, 0.0), (30.0, 8.0)):
        assert found.apply(*point) == pytest.approx(motion.apply(*point), abs=1e-6)


def test_a_symmetric_outline_is_not_said_to_be_turned_over() -> None:
    plain = Outline(Loop(((0, 0, 0), (20, 0, 0), (20, 10, 0), (0, 10, 0))))
    assert same_shape(plain, plain) == Isometry(1.0, 0.0, False, 0.0, 0.0)


@pytest.mark.parametrize(
    "other",
    [
        Outline(CRANK.outer, circles=(Circle(5, 30, 1.6), Circle(20.02, 6, 2.5))),
        Outline(CRANK.outer, circles=(Circle(5, 30, 1.62), Circle(20, 6, 2.5))),
        Outline(CRANK.outer, circles=(Circle(5, 30, 2.5), Circle(20, 6, 1.6))),
        Outline(CRANK.outer, circles=(Circle(5, 30, 1.6),)),
        Outline(Loop((*CRANK.outer.vertices[:-1], (0, 40.1, 0))), circles=CRANK.circles),
    ],
    ids=["hole moved", "hole larger", "holes exchanged", "hole missing", "corner moved"],
)
def test_small_differences_are_seen(other: Outline) -> None:
    assert same_shape(CRANK, other) is None
