"""Where a point of the plate lies in its mesh, and forces at points.

Lengths in mm, forces in N and N mm.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError
from platewright.structure.mesh import Mesh
from platewright.structure.triangle import derivatives, shapes

__all__ = ["locate", "point_load"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_WITHIN = 1e-6  # how far outside a triangle, in natural coordinates, a point still belongs to it [-]


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
    corner = mesh.nodes[mesh.triangles[:, :3]]
    centre = corner.mean(axis=1)
    reach = np.linalg.norm(corner - centre[:, None], axis=2).max(axis=1)
    away = np.hypot(centre[:, 0] - x, centre[:, 1] - y)
    # A curved side lies at most a sixth of its length outside the straight one.
    for n in np.argsort(away)[: int((away < 1.4 * reach).sum())]:
        nodes = mesh.triangles[n]
        found = _natural(mesh.nodes[nodes], np.array([x, y]))
        if found is not None:
            return nodes, shapes(*found)
    msg = f"the point ({x:g}, {y:g}) mm must lie on the plate; move it clear of holes and edges."
    raise StructureError(msg)


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


def _natural(xy: Floats, point: Floats) -> tuple[float, float] | None:
    """Return natural coordinates of a point of a triangle by Newton's iteration; None outside it."""
    rs = np.array([1 / 3, 1 / 3])
    for _ in range(12):
        left = point - shapes(*rs) @ xy
        step = np.linalg.solve((derivatives(*rs) @ xy).T, left)
        rs = rs + step
        if np.abs(rs).max() > 3:
            return None
        if np.abs(step).max() < 1e-12:
            break
    inside = min(rs[0], rs[1], 1 - rs.sum()) > -_WITHIN
    return (float(rs[0]), float(rs[1])) if inside else None
