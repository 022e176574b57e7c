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
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Delaunay, cKDTree

from platewright.foundation.errors import StructureError
from platewright.geometry.curves import Spans
from platewright.geometry.loops import Outline, bounding_box
from platewright.structure.mesh_boundary import GROWTH, TURN, BoundaryMesh, boundary_mesh, halve
from platewright.structure.triangle import CORNERS, SIDES, jacobians

__all__ = ["Mesh", "MeshQuality", "areas", "mesh_outline"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

_SMOOTHINGS = 7
_ATTEMPTS = 40
_KEEP_OFF = 0.72  # least distance of an interior point from a boundary point, per wanted length [-]
_KEEP_OFF_SIDE = 0.55  # the same from the middle of a boundary edge [-]


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


def mesh_outline(outline: Outline, size: float, turn: float = TURN) -> Mesh:
    """Divide a plate into triangles.

    Parameters
    ----------
    outline : Outline
        The plate.
    size : float
        Longest side wanted; shorter ones follow at holes, arcs and narrow webs [mm].
    turn : float
        Most turning of one curved side; a twelfth of a turn serves stiffness, a thirtieth stress at rims [rad].

    Raises
    ------
    StructureError
        If no mesh can be made: boundaries touch or cross, or the plate is in more than one piece.

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
    edges = boundary_mesh(outline, size, turn)
    inner = _smoothed(edges, _interior(outline, edges, size), size)
    for _ in range(_ATTEMPTS):
        found = _triangulated(edges, inner)
        if found.wrong_edges is not None:
            edges, inner = _mended(edges, inner, found.wrong_edges)
            continue
        mesh = _with_middles(edges, found, len(outline.inner))
        bent = _bent_edges(edges, mesh)
        if bent.any():
            edges = halve(edges, bent)
            inner = _clear_of(edges, inner)
            continue
        return mesh
    msg = "a mesh cannot be made: the boundary could not be recovered; look for openings that touch each other."
    raise StructureError(msg)


@dataclass(frozen=True)
class _Triangulation:
    """Straight triangles within the boundary, or the edges that are missing in it."""

    points: Floats
    triangles: Ints
    wrong_edges: Bools | None


def _sizes_at(edges: BoundaryMesh, points: Floats, size: float) -> Floats:
    """Return the wanted length at points of the plane [mm]."""
    z = edges.points
    tree = cKDTree(np.column_stack([z.real, z.imag]))
    near = min(8, len(z))
    distance, index = tree.query(points, k=near)
    found: Floats = np.minimum((edges.size[index] + GROWTH * distance).reshape(len(points), -1).min(axis=1), size)
    return found


def _interior(outline: Outline, edges: BoundaryMesh, size: float) -> Floats:
    """Return points within the plate, as dense as the boundary wants [mm]."""
    x0, y0, x1, y1 = bounding_box(outline)
    nx, ny = (max(1, math.ceil((b - a) / size)) for a, b in ((x0, x1), (y0, y1)))
    gx = (x0 + x1) / 2 + size * (np.arange(nx) - (nx - 1) / 2)
    gy = (y0 + y1) / 2 + size * (np.arange(ny) - (ny - 1) / 2)
    cells = np.stack(np.meshgrid(gx, gy), axis=-1).reshape(-1, 2)
    width, kept = size, []
    while len(cells):
        coarse = _sizes_at(edges, cells, size) < 0.75 * width
        kept.append(cells[~coarse])
        shift = width / 4 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        cells = (cells[coarse][:, None, :] + shift[None]).reshape(-1, 2)
        width /= 2
    points = np.concatenate(kept)
    # Equal squares would leave the choice of diagonal to rounding; a slight shear makes it the same everywhere.
    points = points + 0.03 * size * np.column_stack([np.sin(points[:, 1]), np.sin(1.3 * points[:, 0])])
    z = points[:, 0] + 1j * points[:, 1]
    inside = Spans(edges.curves, np.zeros(len(edges.curves), dtype=np.intp)).inside(z)[:, 0]
    return _clear_of(edges, points[inside])


def _clear_of(edges: BoundaryMesh, points: Floats) -> Floats:
    """Return the points that do not crowd the boundary."""
    if not len(points):
        return points
    for at, factor in ((edges.points, _KEEP_OFF), (edges.middles, _KEEP_OFF_SIDE)):
        span = np.abs(edges.points[edges.following] - edges.points)
        distance, index = cKDTree(np.column_stack([at.real, at.imag])).query(points)
        points = points[distance > factor * span[index]]
        if not len(points):
            break
    return points


def _smoothed(edges: BoundaryMesh, inner: Floats, size: float) -> Floats:
    """Move interior points to the weighted middles of their triangles."""
    z = edges.points
    fixed = np.column_stack([z.real, z.imag])
    spans = Spans(edges.curves, np.zeros(len(edges.curves), dtype=np.intp))
    for _ in range(_SMOOTHINGS):
        if not len(inner):
            break
        points = np.concatenate([fixed, inner])
        simplices = Delaunay(points).simplices
        corner = points[simplices]
        middle = corner.mean(axis=1)
        inside = spans.inside(middle[:, 0] + 1j * middle[:, 1])[:, 0]
        simplices, middle, corner = simplices[inside], middle[inside], corner[inside]
        a, b = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
        weight = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / _sizes_at(edges, middle, size) ** 2
        total = np.zeros((len(points), 3))
        for n in range(3):
            for column, value in enumerate((weight, weight * middle[:, 0], weight * middle[:, 1])):
                total[:, column] += np.bincount(simplices[:, n], weights=value, minlength=len(points))
        own = total[len(fixed) :]
        held = own[:, 0] > 0
        inner = _clear_of(edges, np.where(held[:, None], own[:, 1:] / np.where(held, own[:, 0], 1.0)[:, None], inner))
    return inner


def _triangulated(edges: BoundaryMesh, inner: Floats) -> _Triangulation:
    """Return the triangles on the material's side of the boundary."""
    z = edges.points
    points = np.concatenate([np.column_stack([z.real, z.imag]), inner])
    whole = Delaunay(points)
    simplices = whole.simplices.astype(np.intp)
    neighbours = whole.neighbors
    n = len(points)
    # Material lies to the left of the outer loop and to the right of the others.
    head, tail = np.arange(len(z)), edges.following
    outer = edges.loop == 0
    head, tail = np.where(outer, head, tail), np.where(outer, tail, head)
    wanted = head * n + tail
    a, b = simplices, np.roll(simplices, -1, axis=1)
    forward = a * n + b
    missing = ~np.isin(wanted, forward) & ~np.isin(tail * n + head, forward)
    if missing.any():
        return _Triangulation(points, simplices, missing)
    is_edge = np.isin(forward, wanted) | np.isin(b * n + a, wanted)
    # The neighbour opposite corner k lies across the side from k + 1 to k + 2.
    across = np.roll(neighbours, -2, axis=1)
    rows, sides = np.nonzero(~is_edge & (across >= 0))
    graph = coo_array((np.ones(len(rows)), (rows, across[rows, sides])), shape=(len(simplices),) * 2)
    label = connected_components(graph, directed=False)[1]
    material = np.unique(label[np.isin(forward, wanted).any(axis=1)])
    empty = np.unique(label[np.isin(b * n + a, wanted).any(axis=1)])
    if len(material) != 1 or material[0] in empty:
        msg = (
            "a mesh cannot be made: the part must be one piece, each opening within the plate and clear of the others."
        )
        raise StructureError(msg)
    return _Triangulation(points, simplices[label == material[0]], None)


def _mended(edges: BoundaryMesh, inner: Floats, missing: Bools) -> tuple[BoundaryMesh, Floats]:
    """Take away what stands in the way of missing edges, or else halve them."""
    z = edges.points
    end = z[edges.following]
    centre, radius = ((z + end) / 2)[missing], (np.abs(end - z) / 2)[missing]
    if len(inner):
        p = inner[:, 0] + 1j * inner[:, 1]
        crowding = np.abs(p[:, None] - centre[None, :]) < radius[None, :] * (1 + 1e-6)
        if crowding.any():
            return edges, inner[~crowding.any(axis=1)]
    edges = halve(edges, missing)
    return edges, _clear_of(edges, inner)


def _with_middles(edges: BoundaryMesh, found: _Triangulation, n_inner: int) -> Mesh:
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
