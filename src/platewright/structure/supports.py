"""How a plate is held and where it is loaded: fixed freedoms, ties of nodes to a point, masses at such points.

A tie moves with six motions about its centre in the mid-plane, U, V, W [mm] and turns about x, y, z [rad]; the forces
that do work on them are F_x, F_y, F_z [N] and M_x, M_y, M_z [N mm]. On a rigid tie the nodes follow:

    u = U - turn_z dy,  v = V + turn_z dx,  w = W + turn_x dy - turn_y dx,  beta_x = turn_y,  beta_y = -turn_x

On a flexible tie they do not: forces are shared out over the nodes by least squares, and the point's motion is the one
that fits the nodes best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError

__all__ = [
    "MOTIONS",
    "Tie",
    "check_held",
    "fixed_freedoms",
    "resultant_of",
    "rigid_motion",
    "tie_group",
    "tie_weights",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

MOTIONS = ("shift along x", "shift along y", "shift along z", "turn about x", "turn about y", "turn about z")
_HOLDS = {"fixed": (0, 1, 2, 3, 4), "pinned": (0, 1, 2), "in_plane": (0, 1), "across": (2,)}


@dataclass(frozen=True)
class Tie:
    """Nodes that move with a point.

    Parameters
    ----------
    nodes : (n,) int
        The nodes.
    centre : (float, float)
        The point, in the mid-plane [mm].
    rigid : bool
        Whether the nodes follow the point, or only share its forces.
    mass : float
        Of what sits there [t].
    inertia : (float, float, float)
        Of it about x, y and z through the point [t mm^2].
    """

    nodes: Ints
    centre: tuple[float, float]
    rigid: bool = True
    mass: float = 0.0
    inertia: tuple[float, float, float] = (0.0, 0.0, 0.0)

    @property
    def mass_matrix(self) -> Floats:
        """Mass against the six motions, (6, 6) [t]."""
        return np.diag([self.mass, self.mass, self.mass, *self.inertia])


def tie_group(
    rims: Sequence[Ints], centres: Sequence[tuple[float, float]], rigid: bool = True, mass: float = 0.0
) -> Tie:
    """Return one tie of several holes at the mean of their centres.

    Parameters
    ----------
    rims : sequence of (n,) int
        Nodes of each hole.
    centres : sequence of (float, float)
        Centre of each hole [mm].
    rigid : bool
        Whether the rims follow the point.
    mass : float
        Of what sits there [t].
    """
    x, y = np.mean(np.asarray(centres, dtype=float), axis=0)
    return Tie(np.concatenate(list(rims)), (float(x), float(y)), rigid, mass)


def fixed_freedoms(n_nodes: int, holds: Sequence[tuple[Ints, str]]) -> Bools:
    """Return which freedoms are fixed, (n_nodes, 5).

    Parameters
    ----------
    n_nodes : int
        Of the mesh.
    holds : sequence of ((n,) int, str)
        Nodes, and how they are held: `fixed` (all), `pinned` (shifts), `in_plane` (u, v) or `across` (w).

    Raises
    ------
    StructureError
        If a word is none of these.

    Examples
    --------
    >>> fixed_freedoms(2, [(np.array([1]), "pinned")]).astype(int).tolist()
    [[0, 0, 0, 0, 0], [1, 1, 1, 0, 0]]
    """
    fixed = np.zeros((n_nodes, 5), dtype=np.bool_)
    for nodes, how in holds:
        if how not in _HOLDS:
            msg = f"a hole is held 'fixed', 'pinned', 'in_plane' or 'across' (got {how!r}); choose one of these."
            raise StructureError(msg)
        for freedom in _HOLDS[how]:
            fixed[nodes, freedom] = True
    return fixed


def rigid_motion(points: Floats, centre: tuple[float, float]) -> Floats:
    """Return what the six motions of a point do to nodes, (n, 5, 6).

    Parameters
    ----------
    points : (n, 2) float
        The nodes [mm].
    centre : (float, float)
        The point [mm].
    """
    dx, dy = (points - np.asarray(centre)).T
    found = np.zeros((len(points), 5, 6))
    found[:, 0, 0] = found[:, 1, 1] = found[:, 2, 2] = 1.0
    found[:, 0, 5], found[:, 1, 5] = -dy, dx
    found[:, 2, 3], found[:, 2, 4] = dy, -dx
    found[:, 3, 4], found[:, 4, 3] = 1.0, -1.0
    return found


def resultant_of(points: Floats, forces: Floats, nodes: Ints, centre: tuple[float, float]) -> Floats:
    """Return the sum of nodal forces about a point, F_x, F_y, F_z [N], M_x, M_y, M_z [N mm], (..., 6).

    Parameters
    ----------
    points : (n_nodes, 2) float
        Of the mesh [mm].
    forces : (..., n_nodes, 5) float
        On the freedoms of the nodes [N], [N mm].
    nodes : (n,) int
        Which to sum.
    centre : (float, float)
        The point [mm].
    """
    found: Floats = np.einsum("nki,...nk->...i", rigid_motion(points[nodes], centre), forces[..., nodes, :])
    return found


def tie_weights(points: Floats, centre: tuple[float, float]) -> Floats:
    """Return the matrix from nodal shifts to the six motions that fit them best, (6, n, 3).

    Parameters
    ----------
    points : (n, 2) float
        The nodes [mm].
    centre : (float, float)
        The point [mm].

    Raises
    ------
    StructureError
        If the nodes lie in one line.
    """
    shift = rigid_motion(points, centre)[:, :3, :].reshape(-1, 6)
    if np.linalg.matrix_rank(shift) < 6:
        msg = "a flexible tie needs nodes that do not lie in one line; tie whole rims of holes."
        raise StructureError(msg)
    return np.asarray(np.linalg.pinv(shift)).reshape(6, len(points), 3)


def check_held(nodes: Floats, fixed: Bools) -> None:
    """Refuse a plate that can move without bending.

    Parameters
    ----------
    nodes : (n_nodes, 2) float
        Of the mesh [mm].
    fixed : (n_nodes, 5) bool
        Freedoms that are fixed.

    Raises
    ------
    StructureError
        With the motions that are free.
    """
    if not fixed.any():
        msg = "the part is held nowhere; name at least one hole that holds it."
        raise StructureError(msg)
    centre = nodes.mean(axis=0)
    size = float(np.abs(nodes - centre).max())
    scaled = rigid_motion((nodes - centre) / size, (0.0, 0.0))
    free = np.linalg.svd(scaled[fixed])
    n_held = int((1e-6 * max(1.0, float(free.S.max())) < free.S).sum())
    if n_held < 6:
        motion = np.abs(free.Vh[n_held:]).max(axis=0)
        names = ", ".join(name for name, share in zip(MOTIONS, motion, strict=True) if share > 0.3)
        msg = f"the part is free to move ({names}); hold more of its holes, or hold them 'fixed'."
        raise StructureError(msg)
