import itertools
import math

import pytest

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Solid
from platewright.foundation.errors import GeometryError
from platewright.io.hidden_lines import VIEWS, project

# A box 40 x 20 x 10 on the ground; above it a thin disc of radius 8, clear of it.
BOX = Body("box", "other", "box", Frame3((0, 0, 0)), (Solid(Box(40, 20, 10)),), "box")
DISC = Body("disc", "other", "disc", Frame3((0, 0, 15)), (Solid(Cylinder(8, 1)),), "disc")
POST = Body("post", "other", "post", Frame3((0, 0, -30)), (Solid(Cylinder(3, 20)),), "post")


def length(lines):
    return sum(math.dist(p, q) for line in lines for p, q in itertools.pairwise(line))


def extent(lines):
    points = [p for line in lines for p in line]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def test_plan_has_the_nose_up_and_the_left_side_left():
    left_front = Body("peg", "other", "peg", Frame3((15, 6, 10)), (Solid(Cylinder(1, 1)),), "peg")
    view = project((BOX, left_front), *VIEWS["plan"])
    assert extent(view.visible) == pytest.approx((-10, -20, 10, 20))
    peg = [line for line in view.visible if len(line) > 2]
    assert extent(peg) == pytest.approx((-7, 14, -5, 16), abs=0.03)


def test_front_shows_the_left_side_on_the_right():
    peg = Body("peg", "other", "peg", Frame3((0, 15, 0)), (Solid(Box(2, 2, 2)),), "peg")
    assert extent(project((BOX, peg), *VIEWS["front"]).visible) == pytest.approx((-10, 0, 16, 10))


def test_side_has_the_nose_on_the_right():
    peg = Body("peg", "other", "peg", Frame3((30, 0, 0)), (Solid(Box(2, 2, 2)),), "peg")
    assert extent(project((BOX, peg), *VIEWS["side"]).visible) == pytest.approx((-20, 0, 31, 10))


def test_plan_of_box_and_disc_is_a_rectangle_and_a_circle():
    view = project((BOX, DISC), *VIEWS["plan"])
    assert length(view.visible) == pytest.approx(120 + 16 * math.pi, rel=2e-3)
    assert view.hidden == ()  # lower edges lie under the visible ones


def test_what_lies_below_is_hidden():
    view = project((BOX, POST), *VIEWS["plan"])
    assert length(view.visible) == pytest.approx(120)
    assert length(view.hidden) == pytest.approx(6 * math.pi, rel=5e-3)


def test_edge_passing_behind_is_parted_where_it_vanishes():
    screen = Body("screen", "other", "screen", Frame3((5, -40, -5)), (Solid(Box(10, 1, 30)),), "screen")
    view = project((BOX, screen), *VIEWS["side"])
    # of the box's four edges the two level ones lose 10 mm each behind the screen
    assert length(view.visible) == pytest.approx(2 * (40 + 10) - 20 + 2 * (10 + 30))
    assert length(view.hidden) == pytest.approx(20)


def test_isometric_view_shortens_all_axes_alike():
    cube = Body("cube", "other", "cube", Frame3((0, 0, 0)), (Solid(Box(10, 10, 10)),), "cube")
    view = project((cube,), *VIEWS["isometric"])
    # Orthographic along a space diagonal: edges at sqrt(2/3) of their length; nine of twelve are seen.
    assert length(view.visible) == pytest.approx(9 * 10 * math.sqrt(2 / 3))
    assert length(view.hidden) == pytest.approx(3 * 10 * math.sqrt(2 / 3))


def test_outline_of_a_cylinder_from_the_side_is_a_rectangle():
    view = project((DISC,), *VIEWS["side"])
    assert extent(view.visible) == pytest.approx((-8, 15, 8, 16))
    assert length(view.visible) == pytest.approx(2 * (16 + 1))


def test_same_bodies_give_the_same_view():
    one, two = (project((BOX, DISC, POST), *VIEWS["isometric"]) for _ in range(2))
    assert one == two


@pytest.mark.parametrize("up", [(0, 0, 2), (0, 0, -1), (0, 0, 0)])
def test_up_along_the_view_direction_is_refused(up):
    with pytest.raises(GeometryError, match="must not lie along the view direction"):
        project((BOX,), (0, 0, 1), up)
