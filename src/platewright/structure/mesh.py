"""Curved six-node triangles of a plate: corners 0, 1, 2 counter-clockwise, then the middles of sides 01, 12, 20.

Middles of sides on the boundary lie on its arcs. Interior points come from squares halved until they are as small as
the boundary wants nearby, moved towards the weighted middles of their triangles. Lengths in mm.

References: J. R. Shewchuk 1996 (Delaunay refinement); L. Chen, J. Xu 2004 (moving points to centroids).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Outline, outline_area
from platewright.structure.mesh_boundary import GROWTH, TURN, BoundaryMesh, boundary_mesh, halve
from platewright.structure.triangle import CORNERS, SIDES, jacobians
from platewright.structure.triangulate import Triangulation, clear_of, interior_points, mended, smoothed, triangulated

__all__ = ["MOST_TRIANGLES", "Mesh", "MeshQuality", "areas", "mesh_outline"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

MOST_TRIANGLES = 60_000
"""More are refused: their equations would take gigabytes."""
_ATTEMPTS = 40


@dataclass(frozen=True)
class MeshQuality:
    """How good a mesh is.

    Parameters
    ----------
    n_nodes, n_triangles : int
        How many.
    least_angle : float
        Smallest angle between straight sides [rad].
    least_jacobian : float
        Smallest determinant within a triangle by the triangle's mean; 1 where sides are straight [-].
    area : float
        Of all triangles [mm^2].
    longest_side : float
        Longest straight side [mm].
    """

    n_nodes: int
    n_triangles: int
    least_angle: float
    least_jacobian: float
    area: float
    longest_side: float


@dataclass(frozen=True)
class Mesh:
    """Triangles of one plate.

    Parameters
    ----------
    nodes : (n_nodes, 2) float
        Points, corners first [mm].
    triangles : (n_triangles, 6) int
        Nodes of each.
    loops : tuple of (n,) int
        Nodes along each boundary in its order: outer loop, inner loops, round holes; corners and middles in turn.
    n_inner : int
        How many of the loops are inner loops that are no round holes.
    """

    nodes: Floats
    triangles: Ints
    loops: tuple[Ints, ...]
    n_inner: int

    @property
    def rims(self) -> tuple[Ints, ...]:
        """Nodes on each round hole, in the outline's order."""
        return self.loops[1 + self.n_inner :]

    @property
    def n_corners(self) -> int:
        """How many nodes are corners."""
        return int(self.triangles[:, :3].max()) + 1

    @property
    def quality(self) -> MeshQuality:
        """How good it is."""
        corner = self.nodes[self.triangles[:, :3]]
        side = np.roll(corner, -1, axis=1) - corner
        length = np.linalg.norm(side, axis=2)
        back = -np.roll(side, 1, axis=1)
        cosine = (side * back).sum(axis=2) / (length * np.roll(length, 1, axis=1))
        det = np.stack([jacobians(self.nodes[self.triangles], r, s)[1] for r, s in CORNERS], axis=1)
        area = areas(self)
        return MeshQuality(
            len(self.nodes),
            len(self.triangles),
            float(np.arccos(np.clip(cosine, -1, 1)).min()),
            float((det.min(axis=1) / (2 * area)).min()),
            float(area.sum()),
            float(length.max()),
        )


def areas(mesh: Mesh) -> Floats:
    """Return the area of every triangle, curved sides included [mm^2]."""
    total = np.zeros(len(mesh.triangles))
    # The determinant is a quadratic polynomial: three points integrate it exactly.
    for r, s in ((1 / 6, 1 / 6), (2 / 3, 1 / 6), (1 / 6, 2 / 3)):
        total += jacobians(mesh.nodes[mesh.triangles], r, s)[1] / 6
    return total


def mesh_outline(outline: Outline, size: float, turn: float = TURN, growth: float = GROWTH) -> Mesh:
    """Divide a plate into triangles.

    Parameters
    ----------
    outline : Outline
        The plate.
    size : float
        Longest side wanted; shorter ones follow at holes, arcs and narrow webs [mm].
    turn : float
        Most turning of one curved side; a twelfth of a turn serves stiffness, a thirtieth stress at rims [rad].
    growth : float
        Growth of sides per length of distance from what makes them short; 0.6 saves a third of the nodes and costs
        0.2 % of an arm's motions, and quality [-].

    Raises
    ------
    StructureError
        If no mesh can be made: boundaries touch or cross, the plate is in more than one piece, or the triangles
        would be too many.

    Examples
    --------
    >>> from platewright.geometry.loops import Circle
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(5, 0, 3),))
    >>> quality = mesh_outline(plate, 5.0).quality
    >>> quality.least_jacobian > 0.3, abs(quality.area / (800 - math.pi * 9) - 1) < 1e-4
    (True, True)
    """
    if not (size > 0 and math.isfinite(size)):
        msg = f"the mesh size must be greater than 0 mm (got {size:g})."
        raise StructureError(msg)
    about = outline_area(outline) / (size**2 * math.sqrt(3) / 4)
    if about > MOST_TRIANGLES:
        msg = (
            f"a mesh of {size:g} mm would have about {about:.0f} triangles, and {MOST_TRIANGLES} are the most; "
            "take a larger mesh size."
        )
        raise StructureError(msg)
    edges = boundary_mesh(outline, size, turn, growth)
    inner = smoothed(edges, interior_points(outline, edges, size), size)
    for _ in range(_ATTEMPTS):
        found = triangulated(edges, inner)
        if found.wrong_edges is not None:
            edges, inner = mended(edges, inner, found.wrong_edges)
            continue
        mesh = _with_middles(edges, found, len(outline.inner))
        bent = _bent_edges(edges, mesh)
        if bent.any():
            edges = halve(edges, bent)
            inner = clear_of(edges, inner)
            continue
        return mesh
    msg = "a mesh cannot be made: the boundary could not be recovered; look for openings that touch each other."
    raise StructureError(msg)


def _with_middles(edges: BoundaryMesh, found: Triangulation, n_inner: int) -> Mesh:
    """Return six-node triangles, middles of boundary sides on the curves."""
    used, corners = np.unique(found.triangles, return_inverse=True)
    points, corners = found.points[used], corners.reshape(-1, 3)
    n = len(points)
    ends = np.sort(np.stack([corners, np.roll(corners, -1, axis=1)], axis=-1).reshape(-1, 2), axis=1)
    keys, place = np.unique(ends[:, 0] * n + ends[:, 1], return_inverse=True)
    middles = (points[keys // n] + points[keys % n]) / 2
    number = np.full(len(found.points), -1)
    number[used] = np.arange(n)
    head, tail = number[np.arange(len(edges.loop))], number[edges.following]
    side = np.searchsorted(keys, np.minimum(head, tail) * n + np.maximum(head, tail))
    curve_middle = edges.middles
    middles[side] = np.column_stack([curve_middle.real, curve_middle.imag])
    along = np.column_stack([head, n + side])
    loops = tuple(along[edges.loop == k].ravel() for k in range(int(edges.loop.max()) + 1))
    triangles = np.column_stack([corners, n + place.reshape(-1, 3)])
    return Mesh(np.concatenate([points, middles]), triangles, loops, n_inner)


def _bent_edges(edges: BoundaryMesh, mesh: Mesh) -> Bools:
    """Return the boundary edges of triangles that their curved sides nearly turn inside out."""
    xy = mesh.nodes[mesh.triangles]
    det = np.stack([jacobians(xy, r, s)[1] for r, s in (*CORNERS, *SIDES)], axis=1)
    bad = det.min(axis=1) < 0.2 * 2 * areas(mesh)
    on_edge = np.isin(np.concatenate([loop[1::2] for loop in mesh.loops]), mesh.triangles[bad, 3:])
    order = np.concatenate([np.flatnonzero(edges.loop == k) for k in range(len(mesh.loops))])
    result = np.zeros(len(edges.loop), dtype=np.bool_)
    result[order] = on_edge
    return result
