"""Plates of our own for tests of structure: isotropic sections, meshes of plain figures, supports along edges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Circle, Outline, circle_loop
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.laminate import Section, section_of
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.ply import isotropic_ply
from platewright.structure.stacks import single_stack

__all__ = ["DENSITY", "NU", "E", "bending_stiffness", "disc", "isotropic", "near", "on_line", "rectangle"]

E, NU, DENSITY = 70_000.0, 0.3, 2.7e-9  # [MPa], [-], [t/mm^3]


def isotropic(thickness: float) -> Section:
    """Return the section of an isotropic plate [mm]."""
    return section_of(single_stack(isotropic_ply(E, NU), thickness, DENSITY))


def bending_stiffness(thickness: float) -> float:
    """Return E t^3 / (12 (1 - nu^2)) [N mm]."""
    return E * thickness**3 / (12 * (1 - NU**2))


def rectangle(length: float, width: float, size: float) -> Mesh:
    """Return the mesh of a rectangle about the origin [mm]."""
    return mesh_outline(Outline(rectangle_loop(0, 0, length, width)), size)


def disc(radius: float, size: float) -> Mesh:
    """Return the mesh of a disc about the origin [mm]."""
    return mesh_outline(Outline(circle_loop(Circle(0, 0, radius))), size)


def on_line(mesh: Mesh, axis: int, value: float) -> NDArray[np.intp]:
    """Return the nodes with one coordinate [mm]."""
    return np.flatnonzero(np.abs(mesh.nodes[:, axis] - value) < 1e-9)


def near(mesh: Mesh, x: float, y: float) -> int:
    """Return the node nearest to a point [mm]."""
    return int(np.argmin(np.hypot(mesh.nodes[:, 0] - x, mesh.nodes[:, 1] - y)))
