import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop, outline_area
from platewright.geometry.shapes import rectangle_loop, rounded_polygon, slot_loop
from platewright.structure.mesh import areas, mesh_outline
from platewright.structure.triangle import jacobians

ARM = Outline(
    slot_loop(0, 0, 90, 0, 14),
    (slot_loop(35, 0, 55, 0, 5),),
    (Circle(0, 0, 1.6), Circle(12, 0, 1.6), Circle(90, 0, 3.0), Circle(95, 0, 0.9), Circle(85, 0, 0.9)),
)


@pytest.mark.parametrize("size", [15.0, 5.0, 2.0])
def test_area_is_that_of_the_outline_and_no_triangle_is_turned_over(size):
    mesh = mesh_outline(ARM, size)
    # Twelve parabolas round a circle miss 1.6e-4 of its own area; the plate is many times larger.
    assert mesh.quality.area == pytest.approx(outline_area(ARM), rel=1e-4)
    assert mesh.quality.least_jacobian > 0.2
    assert math.degrees(mesh.quality.least_angle) > 15
    grid = [(r / 6, s / 6) for r in range(7) for s in range(7 - r)]
    assert min(jacobians(mesh.nodes[mesh.triangles], r, s)[1].min() for r, s in grid) > 0


def test_rims_lie_on_the_holes_in_their_order():
    mesh = mesh_outline(ARM, 4.0)
    assert len(mesh.rims) == len(ARM.circles)
    for rim, circle in zip(mesh.rims, ARM.circles, strict=True):
        away = np.hypot(*(mesh.nodes[rim] - (circle.x, circle.y)).T)
        assert away == pytest.approx(np.full(len(rim), circle.radius), rel=1e-12)
        assert len(rim) >= 24
        turn = np.unwrap(np.arctan2(*(mesh.nodes[rim] - (circle.x, circle.y)).T[::-1]))
        assert np.all(np.diff(turn) > 0)


def test_every_node_is_used_and_every_side_is_shared_or_on_the_boundary():
    mesh = mesh_outline(ARM, 4.0)
    assert np.array_equal(np.unique(mesh.triangles), np.arange(len(mesh.nodes)))
    uses = np.bincount(mesh.triangles[:, 3:].ravel())[mesh.n_corners :]
    boundary = np.unique(np.concatenate([loop[1::2] for loop in mesh.loops]))
    assert np.array_equal(np.flatnonzero(uses == 1) + mesh.n_corners, boundary)
    assert uses.max() == 2


def test_sides_are_no_longer_than_wanted():
    for size in (8.0, 3.0):
        assert mesh_outline(ARM, size).quality.longest_side < 1.7 * size


def test_refining_divides_triangles():
    counts = [mesh_outline(Outline(rectangle_loop(0, 0, 40, 30)), size).quality.n_triangles for size in (8, 4, 2)]
    assert counts[1] > 3 * counts[0]
    assert counts[2] > 3 * counts[1]


def test_a_hole_close_to_the_edge_is_meshed():
    outline = Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(0, 8.3, 1.6),))  # 0.1 mm of plate beside the hole
    mesh = mesh_outline(outline, 5.0)
    assert areas(mesh).sum() == pytest.approx(outline_area(outline), rel=1e-4)
    assert mesh.quality.least_jacobian > 0.2


@pytest.mark.parametrize("rise", [1e-4, 0.001, 0.0072, 0.0144, 0.0337, 0.0673, 0.1, 0.2, 0.4])
def test_a_relief_that_nearly_touches_its_tab_is_meshed(rise):
    """A round relief beside a tab, its centre a little above the root: a step of rise^2 / 2 r is left between them."""
    radius, root = 1.05, 25.0
    half = math.sqrt(radius**2 - rise**2)
    below = 2 * math.acos(rise / radius)  # of the relief's turn [rad]
    middle = 10 + radius
    corners = [(0, 0, 0.0), (30, 0, 0.0), (30, root, 0.0)]
    corners += [(middle + half, root, -math.tan(below / 4)), (middle - half, root, 0.0), (10, root, 0.0)]
    corners += [(10, root + 2, 0.0), (0, root + 2, 0.0)]
    outline = Outline(Loop(tuple(corners)))
    mesh = mesh_outline(outline, 3.5)
    assert mesh.quality.area == pytest.approx(outline_area(outline), rel=2e-4)
    assert mesh.quality.n_triangles < 700  # no crowd of triangles in a step that no cutter makes
    assert math.degrees(mesh.quality.least_angle) > 10


def test_a_sharp_corner_is_meshed():
    wedge = Outline(rounded_polygon(((0, 0), (40, 0), (40, 12)), [0.0] * 3))
    assert areas(mesh_outline(wedge, 4.0)).sum() == pytest.approx(240.0, rel=1e-9)


def test_holes_that_cross_are_refused():
    crossing = Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(0, 0, 3), Circle(4, 0, 3)))
    with pytest.raises(StructureError, match="mesh cannot be made"):
        mesh_outline(crossing, 3.0)


def test_a_hole_through_the_edge_is_refused():
    with pytest.raises(StructureError, match="mesh cannot be made"):
        mesh_outline(Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(0, 9, 3),)), 3.0)


def test_a_part_in_two_pieces_is_refused():
    ring = Outline(circle_loop(Circle(0, 0, 10)), (circle_loop(Circle(0, 0, 6)), circle_loop(Circle(0, 0, 3))))
    with pytest.raises(StructureError, match="one piece"):
        mesh_outline(ring, 2.0)


@pytest.mark.parametrize("size", [0.0, -1.0, math.nan, math.inf])
def test_the_size_must_be_positive(size):
    with pytest.raises(StructureError, match="mesh size"):
        mesh_outline(ARM, size)
