"""The room of a disc's blades beside a level prism: against the general distance of two prisms, and by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.assembly.bodies import Box, Cylinder, Frame3, Plate
from platewright.fit.disc_room import gap_to_level_prism, is_level
from platewright.fit.proximity import distance
from platewright.fit.solids import CHORD, prism_of
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop

ON_EDGE = Frame3((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))  # its axis runs along -y
CHEEK = Plate(Outline(rectangle_loop(0, 0, 40, 20), (rectangle_loop(5, 0, 12, 8),), (Circle(-12, 0, 4),)), 2.0)


@given(
    st.floats(-60, 60), st.floats(-60, 60), st.floats(-40, 40), st.floats(5, 70), st.floats(0.5, 4), st.floats(0, 6.3)
)
def test_same_as_the_general_distance(x: float, y: float, z: float, radius: float, half: float, turn: float) -> None:
    frame = Frame3((3.0, -2.0, 1.0), (math.cos(turn), math.sin(turn), 0.0), (0.0, 0.0, 1.0))
    plate = prism_of(CHEEK, frame)
    general = distance(plate, prism_of(Cylinder(radius, 2 * half), Frame3((x, y, z - half))))
    assert gap_to_level_prism(plate, x, y, z)(radius, half) == pytest.approx(general, abs=2 * CHORD)


def test_a_disc_within_the_thickness_of_a_block_meets_it() -> None:
    block = prism_of(Box(40, 40, 40), Frame3((0, 20, 0), (1, 0, 0), (0, 0, 1)))
    assert is_level(block)
    assert gap_to_level_prism(block, 0, 0, 0)(5, 1) == 0


def test_a_disc_in_an_opening_is_free_by_the_air_about_it() -> None:
    frame = prism_of(Plate(Outline(rectangle_loop(0, 0, 80, 80), (rectangle_loop(0, 0, 40, 30),)), 2), ON_EDGE)
    assert gap_to_level_prism(frame, 0, -1, 0)(15, 2) == pytest.approx(5)


def test_growing_discs_come_nearer() -> None:
    gap = gap_to_level_prism(prism_of(CHEEK, ON_EDGE), 50, 40, 3)
    gaps = [gap(radius, 1.0) for radius in range(5, 80, 5)]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[-1] == 0
