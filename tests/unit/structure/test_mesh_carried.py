"""Meshes carried along: nodes stay on their curves, an affine change of the plate is an affine change of its mesh."""

from __future__ import annotations

import numpy as np
import pytest

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.mesh import mesh_outline
from platewright.structure.mesh_carried import carried_mesh


def bar(length: float, width: float, hole: float = 1.6) -> Outline:
    return Outline(rectangle_loop(0, 0, length, width), (), (Circle(-length / 4, 0, hole), Circle(length / 4, 1, hole)))


def test_the_same_outline_keeps_its_mesh() -> None:
    mesh = mesh_outline(bar(60, 14), 4.0)
    assert carried_mesh(mesh, bar(60, 14), bar(60, 14)) is mesh


def test_nodes_stay_on_their_curves_and_triangles_are_the_same() -> None:
    old, new = bar(60, 14), bar(62, 15, 1.8)
    mesh = mesh_outline(old, 4.0)
    moved = carried_mesh(mesh, old, new)
    assert moved is not None
    assert moved.triangles is mesh.triangles
    for rim, circle in zip(moved.rims, new.circles, strict=True):
        assert np.hypot(*(moved.nodes[rim] - [circle.x, circle.y]).T) == pytest.approx(circle.radius)
    outer = np.abs(moved.nodes[moved.loops[0]])
    assert np.maximum(outer[:, 0] - 31, outer[:, 1] - 7.5) == pytest.approx(0.0, abs=1e-12)
    assert moved.quality.area == pytest.approx(62 * 15 - 2 * np.pi * 1.8**2, rel=1e-4)


def test_a_plain_plate_that_is_stretched_stretches_its_mesh() -> None:
    """A net of springs not in balance itself holds such a motion only nearly: inside, to a tenth of a millimetre."""
    old, new = Outline(rectangle_loop(0, 0, 40, 20), (), ()), Outline(rectangle_loop(0, 0, 42, 20), (), ())
    mesh = mesh_outline(old, 4.0)
    moved = carried_mesh(mesh, old, new)
    assert moved is not None
    shift = moved.nodes - mesh.nodes
    assert shift[:, 0] == pytest.approx(mesh.nodes[:, 0] * 0.05, abs=0.1)
    assert shift[:, 1] == pytest.approx(0.0, abs=1e-12)


def test_another_kind_of_outline_is_not_carried() -> None:
    old = bar(60, 14)
    more = Outline(old.outer, (), (*old.circles, Circle(0, 0, 1.6)))
    other = Outline(rectangle_loop(0, 0, 60, 14, corner=3), (), old.circles)
    mesh = mesh_outline(old, 4.0)
    assert carried_mesh(mesh, old, more) is None
    assert carried_mesh(mesh, old, other) is None


def test_a_hole_that_moves_through_others_is_not_carried() -> None:
    old = bar(60, 14)
    far = Outline(old.outer, (), (Circle(20, 0, 1.6), Circle(-20, 1, 1.6)))
    assert carried_mesh(mesh_outline(old, 4.0), old, far) is None
