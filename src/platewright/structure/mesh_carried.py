"""A mesh carried along with an outline that changes a little: the same triangles, their nodes moved.

Differences between two plates then are those of the plates: what a mesh makes of them is nearly the same in both.
Nodes on the boundary keep their share of their line or arc; those inside follow as a net of equal springs does (a
Laplace smoothing of the displacement, from memory). Lengths in mm.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.linalg import splu

from platewright.geometry.curves import Curves
from platewright.geometry.loops import Outline, outline_area
from platewright.structure.mesh import Mesh
from platewright.structure.mesh_boundary import loop_curves

__all__ = ["carried_mesh"]

Points = NDArray[np.complex128]

_SAME_AREA = 1e-3  # between the carried triangles and the new outline; more says that curves were taken for others [-]
_LEAST_JACOBIAN = 0.2  # a triangle that is bent more is not carried, as a new mesh would not have it [-]
_LEAST_ANGLE = 0.15  # nor one that is more pointed [rad]


def carried_mesh(mesh: Mesh, old: Outline, new: Outline) -> Mesh | None:
    """Return a mesh of an outline from that of a similar one; None where it cannot be carried.

    Parameters
    ----------
    mesh : Mesh
        Of the old outline.
    old, new : Outline
        Both must have the same loops of the same kinds of curves in the same order, from any one on.

    Examples
    --------
    >>> from platewright.geometry.loops import Circle
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> from platewright.structure.mesh import mesh_outline
    >>> first, second = (Outline(rectangle_loop(0, 0, 40, w), (), (Circle(5, 0, 3),)) for w in (20, 21))
    >>> wider = carried_mesh(mesh_outline(first, 5.0), first, second)
    >>> wider is not None and round(float(np.ptp(wider.nodes[:, 1])), 9)
    21.0
    """
    if old == new:
        return mesh
    before, after = loop_curves(old), loop_curves(new)
    if [len(loop) for loop in before] != [len(loop) for loop in after]:
        return None
    z: Points = mesh.nodes[:, 0] + 1j * mesh.nodes[:, 1]
    shift = np.zeros(len(z), dtype=np.complex128)
    fixed = np.concatenate(mesh.loops)
    for nodes, first, second in zip(mesh.loops, before, after, strict=True):
        on = first.distance(z[nodes]).argmin(axis=1)
        share = np.clip(first.take(on).fraction_of(z[nodes]), 0.0, 1.0)
        shift[nodes] = _matched(first, second).take(on).at(share) - z[nodes]
    _follow(mesh, shift, fixed)
    moved = z + shift
    found = replace(mesh, nodes=np.column_stack([moved.real, moved.imag]))
    quality = found.quality
    is_good = quality.least_jacobian > _LEAST_JACOBIAN and quality.least_angle > _LEAST_ANGLE
    return found if is_good and abs(quality.area / outline_area(new) - 1) < _SAME_AREA else None


def _matched(first: Curves, second: Curves) -> Curves:
    """Return the second loop's curves begun where they lie nearest to the first's."""
    turns = [np.roll(np.arange(len(second)), -k) for k in range(len(second))]
    return second.take(min(turns, key=lambda turn: float(np.abs(second.start[turn] - first.start).sum())))


def _follow(mesh: Mesh, shift: Points, fixed: NDArray[np.intp]) -> None:
    """Fill in the shifts of nodes inside: corners in the mean of their neighbours, middles in that of their ends."""
    n, corner = mesh.n_corners, mesh.triangles[:, :3]
    ends = np.stack([corner, np.roll(corner, -1, axis=1)], axis=-1).reshape(-1, 2)
    both = np.concatenate([ends, ends[:, ::-1]])
    net = coo_array((np.ones(len(both)), both.T), shape=(n, n)).tocsr()
    inside = np.setdiff1d(np.arange(n), fixed)
    pull = coo_array((net.sum(axis=1), (np.arange(n), np.arange(n))), shape=(n, n)).tocsr() - net
    if len(inside):
        rows = pull[inside]
        held = -(rows[:, np.setdiff1d(np.arange(n), inside)] @ shift[np.setdiff1d(np.arange(n), inside)])
        answer = splu(rows[:, inside].tocsc()).solve(np.column_stack([held.real, held.imag]))
        shift[inside] = answer[:, 0] + 1j * answer[:, 1]
    middle = mesh.triangles[:, 3:].ravel()
    free = ~np.isin(middle, fixed)
    shift[middle[free]] = shift[ends[free]].mean(axis=1)
