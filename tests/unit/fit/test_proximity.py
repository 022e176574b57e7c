"""Two prisms: closed-form distances and depths, and what moving and mirroring may change."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.assembly.bodies import Box, Cylinder, Frame3, Hexagon, Plate, profile_of
from platewright.fit.proximity import common, distance, edge_distance
from platewright.fit.solids import CHORD, prism_of
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop
from platewright.geometry.shapes import rectangle_loop, slot_loop

PIN = Cylinder(1.5, 10)
BLOCK = Box(8, 6, 4)
PLATE = Plate(Outline(rectangle_loop(0, 0, 30, 20, corner=3), (slot_loop(-6, 0, 4, 0, 4),), (Circle(10, 5, 1.6),)), 2)
SIDEWAYS = Frame3((0, 0, 0), (1, 0, 0), (0, 0, 1))  # its third axis is -y
SHAPES = st.sampled_from([PIN, BLOCK, PLATE, Hexagon(5.5, 4), Cylinder(4, 3, 2)])
angles = st.floats(-math.pi, math.pi)
places = st.floats(-12, 12)


@st.composite
def frames(draw):
    turn, tip, roll = draw(angles), draw(st.sampled_from([0.0, math.pi / 2, 0.3, -0.7])), draw(angles)
    a, b = np.array([math.cos(turn), math.sin(turn), 0.0]), np.array([-math.sin(turn), math.cos(turn), 0.0])
    b = math.cos(tip) * b + math.sin(tip) * np.array([0.0, 0.0, 1.0])
    u, v = math.cos(roll) * a + math.sin(roll) * b, -math.sin(roll) * a + math.cos(roll) * b
    return Frame3((draw(places), draw(places), draw(places)), tuple(u.tolist()), tuple(v.tolist()))


def prism(shape, x=0.0, y=0.0, z=0.0):
    return prism_of(shape, Frame3((x, y, z)))


def test_distance_above_and_beside_is_that_of_the_corner():
    assert distance(prism(PIN), prism(PIN, 6, 0, 14)) == pytest.approx(math.hypot(3, 4))


def test_a_pin_in_a_larger_hole_touches_nothing_until_it_is_off_by_the_play():
    assert common(prism(PLATE), prism(PIN, 10.09, 5, -5)) is None
    assert distance(prism(PLATE), prism(PIN, 10.06, 5, -5)) == pytest.approx(0.04)
    assert common(prism(PLATE), prism(PIN, 10.15, 5, -5)).depth == pytest.approx(0.05)


def test_a_pin_may_stand_in_an_opening_and_a_plate_within_another_ones_opening():
    window = Plate(Outline(rectangle_loop(0, 0, 60, 60), (rectangle_loop(0, 0, 34, 24),)), 2)
    assert common(prism(PLATE), prism(PIN, 0, 0, -5)) is None
    assert common(prism(window), prism(PLATE)) is None
    assert distance(prism(window), prism(PLATE)) == pytest.approx(2)


def test_faces_that_touch_do_not_overlap():
    assert common(prism(BLOCK), prism(BLOCK, 0, 0, 4)) is None
    assert common(prism(BLOCK), prism(BLOCK, 8, 0, 0)) is None
    assert distance(prism(BLOCK), prism(BLOCK, 0, 0, 4)) == 0
    assert common(prism(BLOCK), prism_of(BLOCK, replace(SIDEWAYS, origin=(0, 0, -3)))) is None


def test_flush_faces_hide_no_overlap():
    """All edges lie in the other's faces, or all of one do: nothing but their insides tells that they overlap."""
    cube = prism(Box(4, 4, 4), 0, 0, -2)
    assert common(cube, prism_of(Box(4, 4, 4), Frame3((0, 2, 0), (1, 0, 0), (0, 0, 1)))).depth == pytest.approx(2)
    fin = prism_of(Box(40, 4, 2), Frame3((0, 1, 2), (1, 0, 0), (0, 0, 1)))  # as high as the block, across it
    assert common(prism(BLOCK), fin).depth == pytest.approx(2)


def test_depth_of_a_sideways_pin_is_what_it_sinks_in():
    pin = prism_of(PIN, replace(SIDEWAYS, origin=(9, 5, 2 + 1.5 - 0.2)))
    assert common(prism(PLATE), pin).depth == pytest.approx(0.2, abs=2 * CHORD)


def test_distance_of_two_crossing_pins_is_that_of_their_axes_less_their_radii():
    first, second = (
        prism_of(Cylinder(1, 20), Frame3((0, 0, -10))),
        prism_of(Cylinder(2, 20), replace(SIDEWAYS, origin=(7, 10, 0))),
    )
    assert distance(first, second) == pytest.approx(4, abs=2 * CHORD)


def test_arcs_about_one_centre_are_their_radii_apart():
    """Centres that differ by rounding once gave a distance of 0.06 mm between webs 8 mm wide."""
    ring = curves_of([circle_loop(Circle(1e-14, 0, 10)).vertices])
    quarter = curves_of([Loop(((5, 0, math.tan(math.pi / 8)), (0, 5, 0.0), (0, 4, 0.0), (4, 0, 0.0))).vertices])
    assert edge_distance(ring, quarter) == pytest.approx(5)
    assert edge_distance(quarter, ring) == pytest.approx(5)


@settings(max_examples=60, deadline=None)
@given(SHAPES, SHAPES, frames())
def test_order_does_not_matter_and_overlap_means_no_distance(one, other, frame):
    a, b = prism(one), prism_of(other, frame)
    gap = distance(a, b)
    assert gap == pytest.approx(distance(b, a), abs=1e-9)
    found = common(a, b)
    assert (found is None) == (common(b, a) is None)
    if found is not None:
        assert gap == 0
        # the point lies in both, to what chords are worth
        point = np.array([found.point])
        assert max(a.gap(point)[0], b.gap(point)[0]) <= found.depth + 2 * CHORD


@settings(max_examples=60, deadline=None)
@given(SHAPES, SHAPES, frames(), st.floats(0.1, 30))
def test_moving_straight_away_never_brings_nearer(one, other, frame, further):
    """Along the line from the middle of one box to the other, once the boxes are apart."""
    a, b = prism(one), prism_of(other, frame)
    axis = int(np.argmax(np.maximum(b.box[0] - a.box[1], a.box[0] - b.box[1])))
    if max(b.box[0][axis] - a.box[1][axis], a.box[0][axis] - b.box[1][axis]) < 0:
        return
    sign = 1 if b.box[0][axis] >= a.box[1][axis] else -1
    origin = tuple(c + sign * further * (k == axis) for k, c in enumerate(frame.origin))
    assert distance(a, prism_of(other, replace(frame, origin=origin))) >= distance(a, b) - 1e-9


@settings(max_examples=60, deadline=None)
@given(SHAPES, SHAPES, frames())
def test_a_mirrored_pair_is_as_far_apart(one, other, frame):
    """Mirrored in y: the frame's second axis is turned over, and the section with it."""

    def mirrored(shape, f):
        flip = [np.array(v) * (1, -1, 1) for v in (f.origin, f.u, f.v)]
        # the mirrored frame is left-handed; turning its second axis over makes it right-handed, as its shapes are even
        return prism_of(shape, Frame3(tuple(flip[0]), tuple(flip[1]), tuple(-flip[2])))

    even = PLATE.outline
    shapes = [Plate(Outline(even.outer, even.inner), 2) if s is PLATE else s for s in (one, other)]
    a, b = prism(shapes[0]), prism_of(shapes[1], frame)
    c, d = mirrored(shapes[0], Frame3((0, 0, 0))), mirrored(shapes[1], frame)
    assert distance(c, d) == pytest.approx(distance(a, b), abs=1e-6)


def test_sections_are_the_outlines_of_the_shapes():
    hexagon = profile_of(Hexagon(8, 5, 1))
    assert max(abs(x) for x, _, _ in hexagon.outer.vertices) == pytest.approx(4)  # two flats face x
    assert hexagon.circles == (Circle(0, 0, 1),)
