"""Where points of the plate lie in its mesh, and forces at points.

Lengths in mm, forces in N and N mm.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platewright.foundation.errors import StructureError
from platewright.structure.mesh import Mesh
from platewright.structure.triangle import derivatives, shapes

__all__ = ["locate", "locate_points", "point_load"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_WITHIN = 1e-6  # how far outside a triangle, in natural coordinates, a point still belongs to it [-]
_NEAREST = 8  # triangles tried first for each point, those with the nearest middles [-]
_STEPS = 12  # of Newton's iteration, of which two are exact where sides are straight [-]


def locate(mesh: Mesh, x: float, y: float) -> tuple[Ints, Floats]:
    """Return the six nodes round a point and their shares of it.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    x, y : float
        The point [mm].

    Raises
    ------
    StructureError
        If it does not lie on the plate.
    """
    nodes, shares = locate_points(mesh, np.array([[x, y]]))
    return nodes[0], shares[0]


def locate_points(mesh: Mesh, points: Floats) -> tuple[Ints, Floats]:
    """Return the six nodes round each of many points, (n, 6), and their shares of it, (n, 6).

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    points : (n, 2) float
        The points [mm].

    Raises
    ------
    StructureError
        If one does not lie on the plate.
    """
    centres = mesh.nodes[mesh.triangles[:, :3]].mean(axis=1)
    owner = np.full(len(points), -1, dtype=np.intp)
    shares = np.zeros((len(points), 6))
    tree = cKDTree(centres)
    for tried in (min(_NEAREST, len(centres)), len(centres)):
        left = np.flatnonzero(owner < 0)
        for some in np.array_split(left, max(1, len(left) * tried // 100_000)):
            near = tree.query(points[some], k=tried)[1].reshape(len(some), tried)
            within, share = _natural(mesh.nodes[mesh.triangles[near]], points[some])
            first = within.argmax(axis=1)
            found = within[np.arange(len(some)), first]
            owner[some[found]] = near[found, first[found]]
            shares[some[found]] = share[found, first[found]]
    if (owner < 0).any():
        x, y = points[int((owner < 0).argmax())]
        msg = f"the point ({x:g}, {y:g}) mm must lie on the plate; move it clear of holes and edges."
        raise StructureError(msg)
    return mesh.triangles[owner], shares


def point_load(mesh: Mesh, x: float, y: float, force: Sequence[float]) -> Floats:
    """Return the nodal forces of a force and moments at a point, (n_nodes, 5) [N].

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    x, y : float
        The point [mm].
    force : (5,) float
        On u, v, w [N] and beta_x, beta_y [N mm]. A moment about y is one on beta_x, about x minus one on beta_y.

    Notes
    -----
    A force on a point bends a plate that shears without limit under it: results there depend on the mesh.
    """
    nodes, share = locate(mesh, x, y)
    load = np.zeros((len(mesh.nodes), 5))
    load[nodes] = np.outer(share, np.asarray(force, dtype=float))
    return load


def _natural(xy: Floats, points: Floats) -> tuple[NDArray[np.bool_], Floats]:
    """Return whether each point lies in each of its triangles, (n, k), and shares of their nodes, (n, k, 6)."""
    r = np.full(xy.shape[:2], 1 / 3)
    s = r.copy()
    for _ in range(_STEPS):
        away = points[:, None] - np.einsum("mnk,nkmd->nkd", shapes(r, s), xy)
        j = np.einsum("amnk,nkmd->adnk", derivatives(r, s), xy)
        det = j[0, 0] * j[1, 1] - j[0, 1] * j[1, 0]
        dr = (away[..., 0] * j[1, 1] - away[..., 1] * j[1, 0]) / det
        ds = (away[..., 1] * j[0, 0] - away[..., 0] * j[0, 1]) / det
        # Far off a curved triangle the iteration need not settle; there it is held, and the point is none of its.
        r, s = np.clip(r + dr, -3, 3), np.clip(s + ds, -3, 3)
        if max(np.abs(dr).max(initial=0), np.abs(ds).max(initial=0)) < 1e-12:
            break
    settled = np.maximum(np.abs(dr), np.abs(ds)) < 1e-9
    within = settled & (np.minimum(np.minimum(r, s), 1 - r - s) > -_WITHIN)
    return within, np.moveaxis(shapes(r, s), 0, -1)
