"""What a bit can do to a plate, and the order of its cuts."""

import math

import pytest

from platewright.fabrication.bit import Bit, bit_of_diameter
from platewright.fabrication.plan import bridges, cut_plan
from platewright.fabrication.rules import countersink_depth, narrow_passages, small_holes, stopping_corners
from platewright.geometry.loops import Circle, Loop, Outline, cut_length
from platewright.geometry.shapes import rectangle_loop

BIT = Bit(2.0, 1.05, 2.5, 8.0, 10.0, 1.0, 25_000.0)


def plate(*inner, circles=()):
    return Outline(rectangle_loop(0, 0, 60, 40), inner, circles)


def test_bits_between_and_beyond_the_known_ones():
    thin = Bit(1.0, 0.55, 1.25, 3.0, 5.0, 0.4, 8_000.0)
    assert bit_of_diameter([thin, BIT], 2.0) == BIT
    assert bit_of_diameter([thin, BIT], 1.5).feed == pytest.approx(7.5)
    thick = bit_of_diameter([thin, BIT], 4.0)
    assert thick.deepest_plate == pytest.approx(16.0)
    assert thick.life == pytest.approx(100_000.0)


def test_small_holes_are_drilled():
    outline = plate(circles=(Circle(0, 0, 1.6), Circle(9, 0, 1.1)))
    assert [c.radius for c in small_holes(outline, BIT)] == [1.1]
    plan = cut_plan(outline, BIT, 0.05, None)
    # a drill does not bend away
    assert [(c.kind, c.cut_diameter) for c in plan.cuts[:2]] == [("drill", 2.2), ("hole", 3.25)]
    assert plan.bridges == ()


def test_inside_comes_first_and_nothing_is_left_out():
    outline = plate(rectangle_loop(15, 0, 9, 9), rectangle_loop(-15, 0, 4, 4), circles=(Circle(0, 0, 2),))
    plan = cut_plan(outline, BIT, 0.05, 2.0)
    assert [c.kind for c in plan.cuts] == ["hole", "opening", "opening", "outside"]
    assert [c.length for c in plan.cuts[1:]] == pytest.approx([16, 36, 200])
    assert sum(c.length for c in plan.cuts) == pytest.approx(cut_length(outline), abs=1e-9)


def test_a_wide_opening_is_no_passage_and_its_neck_is_found():
    assert narrow_passages(plate(rectangle_loop(0, 0, 10, 5)), 2.2) == ()
    half = [(-10, -5), (-1, -5), (-1, -0.9), (1, -0.9), (1, -5), (10, -5)]
    neck = Loop(tuple((x, y, 0.0) for x, y in (*half, *((-x, -y) for x, y in half))))
    (found,) = narrow_passages(plate(neck), 2.2)
    assert found.width == pytest.approx(1.8, abs=0.01)
    assert (found.x, found.y) == pytest.approx((0, 0), abs=0.05)


def test_a_narrow_notch_of_the_outer_edge_is_found_and_a_sharp_corner_is_none():
    notch = [(0, 0), (20, 0), (20, 20), (11, 20), (11, 8), (9, 8), (9, 20), (0, 20)]
    found = narrow_passages(Outline(Loop(tuple((x, y, 0.0) for x, y in notch))), 2.2)
    assert [(p.in_opening, p.x > 8, p.x < 12) for p in found] == [(False, True, True)]
    assert found[0].width == pytest.approx(2.0, abs=0.03)
    corner = [(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)]
    assert narrow_passages(Outline(Loop(tuple((x, y, 0.0) for x, y in corner))), 2.2) == ()


def test_a_corner_of_the_bits_own_radius_stops_it():
    def rounded(radius):
        b, k = math.tan(math.pi / 8), 5 - radius
        v = [(k, -5, b), (5, -k, 0), (5, k, b), (k, 5, 0), (-k, 5, b), (-5, k, 0), (-5, -k, b), (-k, -5, 0)]
        return plate(Loop(tuple(v)))

    assert len(stopping_corners(rounded(1.0), BIT)) == 4
    assert stopping_corners(rounded(1.2), BIT) == ()
    assert stopping_corners(rounded(0.8), BIT) == ()  # sharper than the bit is another matter


def test_countersink_of_82_degrees():
    assert countersink_depth(6.0, 3.2, math.radians(82)) == pytest.approx(1.4 / math.tan(math.radians(41)))


def test_bridges_lie_on_edges_and_apart():
    found = bridges(plate(), 2.0, 2.0)
    assert len(found) == 3
    for bridge in found:
        assert abs(abs(bridge.x) - 30) < 1e-9 or abs(abs(bridge.y) - 20) < 1e-9
    near = min(math.dist((a.x, a.y), (b.x, b.y)) for n, a in enumerate(found) for b in found[:n])
    assert near > 20


def test_a_disc_has_no_room_for_bridges():
    disc = Outline(Loop(((-5.0, 0.0, 1.0), (5.0, 0.0, 1.0))))
    assert bridges(disc, 2.0, 2.0) == ()
