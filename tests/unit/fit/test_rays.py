"""Lines of sight against shapes whose answer is plain geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.assembly.bodies import Box, Cylinder, Frame3, Hexagon, Plate
from platewright.fit.rays import Fan, blocked_share, directions_about, first_hits, first_hits_of
from platewright.fit.solids import Prism, prism_of
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop

AHEAD = np.array([[1.0, 0.0, 0.0]])
SIDEWAYS = Frame3((20.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))  # prisms along +x


def hit(prism: Prism, origin: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> float:
    return float(first_hits([prism], np.array(origin), AHEAD)[1][0])


def test_a_wall_is_met_at_its_near_face() -> None:
    assert hit(prism_of(Box(2, 10, 10), Frame3((11, 0, -5)))) == pytest.approx(10)


def test_a_pin_is_met_at_its_rim_and_missed_beside_it() -> None:
    pin = prism_of(Cylinder(3, 10), Frame3((20, 0, -5)))
    assert hit(pin) == pytest.approx(17)
    assert hit(pin, (0, 2, 0)) == pytest.approx(20 - math.sqrt(5))
    assert hit(pin, (0, 3.1, 0)) == math.inf


def test_a_hexagon_is_met_at_its_corner() -> None:
    corner = 5 / math.sqrt(3)  # one corner of a hexagon of 5 mm points along y, so its flats face x
    assert hit(prism_of(Hexagon(5, 10), Frame3((20, 0, -5)))) == pytest.approx(20 - 2.5, abs=0.01)
    assert hit(prism_of(Hexagon(5, 10), Frame3((20, 0, -5))), (0, corner - 0.01, 0)) == pytest.approx(20, abs=0.05)


def test_a_ray_passes_through_a_hole_and_not_beside_it() -> None:
    holed = Outline(rectangle_loop(0, 0, 20, 20), (), (Circle(0, 0, 4),))
    plate = prism_of(Plate(holed, 2), SIDEWAYS)
    assert hit(plate) == math.inf
    assert hit(plate, (0, 5, 0)) == pytest.approx(20)


def test_a_slanting_ray_meets_the_wall_of_a_hole() -> None:
    holed = Outline(rectangle_loop(0, 0, 20, 20), (), (Circle(0, 0, 4),))
    way = np.array([[10.0, 5.0, 0.0]]) / math.hypot(10, 5)
    far = first_hits([prism_of(Plate(holed, 10), SIDEWAYS)], np.array([14.0, 0.0, 0.0]), way)[1][0]
    assert far == pytest.approx(math.hypot(8, 4), abs=0.01)  # enters at x = 20, y = 3 and leaves the hole at y = 4


def test_the_nearer_of_two_counts_and_what_lies_behind_the_eye_does_not() -> None:
    walls = [prism_of(Box(2, 10, 10), Frame3((x, 0, -5))) for x in (31, 11, -11)]
    number, far = first_hits(walls, np.zeros(3), AHEAD)
    assert (int(number[0]), float(far[0])) == (1, pytest.approx(10))


def test_what_is_out_of_reach_does_not_count() -> None:
    assert blocked_share([prism_of(Box(2, 10, 10), Frame3((11, 0, -5)))], np.zeros(3), AHEAD, 9.0) == 0


def test_a_disc_overhead_takes_its_solid_angle() -> None:
    """A disc of radius r at height h takes 1 - cos(atan(r / h)) of a hemisphere."""
    sky = directions_about((0, 0, 1), math.pi / 2, 20_000)
    disc = prism_of(Cylinder(30, 1), Frame3((0, 0, 40)))
    assert blocked_share([disc], np.zeros(3), sky) == pytest.approx(1 - 40 / 50, abs=2e-3)


def test_directions_are_unit_vectors_within_their_cone() -> None:
    cone = directions_about((1, 2, -2), 0.5, 500)
    assert np.linalg.norm(cone, axis=1) == pytest.approx(1)
    assert float((cone @ np.array([1, 2, -2]) / 3).min()) >= math.cos(0.5)


def test_fans_cast_together_meet_only_what_is_theirs() -> None:
    near, far = (prism_of(Box(2, 10, 10), Frame3((x, 0, -5))) for x in (11, 21))
    fans = [
        Fan([far], np.zeros(3), AHEAD),
        Fan([far, near], np.array([[5.0, 0.0, 0.0]]), AHEAD),
        Fan([], AHEAD[0], AHEAD),
    ]
    rows = [(number.tolist(), distance.tolist()) for number, distance in first_hits_of(fans)]
    assert rows == [([0], [20.0]), ([1], [5.0]), ([-1], [math.inf])]
