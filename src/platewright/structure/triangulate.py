"""Straight triangles within a boundary: interior points, their smoothing, Delaunay's triangulation, missing edges.

Interior points come from squares halved until they are as small as the boundary wants nearby, moved towards the
weighted middles of their triangles. Lengths in mm.

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
from platewright.structure.mesh_boundary import BoundaryMesh, halve

__all__ = ["Triangulation", "clear_of", "interior_points", "mended", "smoothed", "triangulated"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

_SMOOTHINGS = 7
_KEEP_OFF = 0.72  # least distance of an interior point from a boundary point, per wanted length [-]
_KEEP_OFF_SIDE = 0.55  # the same from the middle of a boundary edge [-]


@dataclass(frozen=True)
class Triangulation:
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
    found: Floats = np.minimum((edges.size[index] + edges.growth * distance).reshape(len(points), -1).min(axis=1), size)
    return found


def interior_points(outline: Outline, edges: BoundaryMesh, size: float) -> Floats:
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
    return clear_of(edges, points[inside])


def clear_of(edges: BoundaryMesh, points: Floats) -> Floats:
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


def smoothed(edges: BoundaryMesh, inner: Floats, size: float) -> Floats:
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
        inner = clear_of(edges, np.where(held[:, None], own[:, 1:] / np.where(held, own[:, 0], 1.0)[:, None], inner))
    return inner


def triangulated(edges: BoundaryMesh, inner: Floats) -> Triangulation:
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
        return Triangulation(points, simplices, missing)
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
    return Triangulation(points, simplices[label == material[0]], None)


def mended(edges: BoundaryMesh, inner: Floats, missing: Bools) -> tuple[BoundaryMesh, Floats]:
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
    return edges, clear_of(edges, inner)
