"""Strains, curvatures and resultants of a solved plate.

They are taken at the three points of integration of each triangle, where they are most exact, carried linearly to its
nodes and averaged there by area. Units mm, N, MPa.

Reference: J. Barlow 1976 (points of best stress).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array

from platewright.structure.laminate import Section
from platewright.structure.mesh import Mesh, areas
from platewright.structure.plate import bubble_motion, plane_strain_matrix, shear_matrix, tied_strains
from platewright.structure.triangle import CORNERS, SIDES, THREE_POINTS, bubble_slope, gradients

__all__ = ["PlateStrains", "resultants", "strains_at_nodes"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Linear functions that are one at one of the three points and zero at the others, at the six nodes.
_POINTS = np.array([[1, r, s] for r, s, _ in THREE_POINTS])
_TO_NODES = np.array([[1, r, s] for r, s in (*CORNERS, *SIDES)]) @ np.linalg.inv(_POINTS)


@dataclass(frozen=True)
class PlateStrains:
    """Strains at the nodes, in the part's axes.

    Parameters
    ----------
    membrane : (n_cases, n_nodes, 3) float
        e_x, e_y, g_xy of the mid-plane [-].
    curvature : (n_cases, n_nodes, 3) float
        kappa_x, kappa_y, kappa_xy [1/mm].
    shear : (n_cases, n_nodes, 2) float
        g_xz, g_yz, mean through the thickness [-].
    """

    membrane: Floats
    curvature: Floats
    shear: Floats


def strains_at_nodes(mesh: Mesh, section: Section, displacements: Floats) -> PlateStrains:
    """Return strains at the nodes.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    section : Section
        Of the plate.
    displacements : (n_cases, n_nodes, 5) float
        u, v, w [mm], beta_x, beta_y [rad].
    """
    xy = mesh.nodes[mesh.triangles]
    n, cases = len(xy), len(displacements)
    # Cases last: every product below is one small matrix times many columns.
    own = np.moveaxis(displacements, 0, -1)[mesh.triangles]
    plane = own[:, :, :2].reshape(n, 12, cases)
    bending = own[:, :, 2:].reshape(n, 18, cases)
    moved = own.reshape(n, 30, cases) if section.is_coupled else bending
    inner = bubble_motion(xy, section) @ moved
    out = np.concatenate([bending, inner], axis=1)
    turning = np.concatenate([own[:, :, 3:].reshape(n, 12, cases), inner], axis=1)
    tied = tied_strains(xy)
    found = np.empty((n, 3, 8, cases))
    for k, (r, s, _) in enumerate(THREE_POINTS):
        gradient, _, inverse = gradients(xy, r, s)
        found[:, k, :3] = plane_strain_matrix(gradient) @ plane
        slopes = np.concatenate([gradient, (inverse @ bubble_slope(r, s))[:, :, None]], axis=2)
        found[:, k, 3:6] = plane_strain_matrix(slopes) @ turning
        found[:, k, 6:] = shear_matrix(xy, r, s, inverse, tied) @ out
    nodal = _TO_NODES @ found.reshape(n, 3, 8 * cases)
    average = _averaging(mesh) @ nodal.reshape(6 * n, 8 * cases)
    strains = np.ascontiguousarray(np.moveaxis(average.reshape(len(mesh.nodes), 8, cases), 2, 0))
    return PlateStrains(strains[..., :3], strains[..., 3:6], strains[..., 6:])


def resultants(section: Section, strains: PlateStrains) -> tuple[Floats, Floats, Floats]:
    """Return N [N/mm], M [N] and Q [N/mm] per width at the nodes.

    Parameters
    ----------
    section : Section
        Of the plate.
    strains : PlateStrains
        At the nodes.

    Returns
    -------
    (n_cases, n_nodes, 3), (n_cases, n_nodes, 3), (n_cases, n_nodes, 2) float
        Membrane forces, moments, transverse forces.
    """
    force = strains.membrane @ section.a + strains.curvature @ section.b
    moment = strains.membrane @ section.b + strains.curvature @ section.d
    return force, moment, strains.shear @ section.shear


def _averaging(mesh: Mesh) -> csr_array:
    """Return the matrix from what triangles say of their nodes to the mean at each node, weighted by their areas."""
    weight = np.repeat(areas(mesh), 6)
    nodes = mesh.triangles.ravel()
    share = weight / np.bincount(nodes, weights=weight)[nodes]
    return coo_array((share, (nodes, np.arange(len(nodes)))), shape=(len(mesh.nodes), len(nodes))).tocsr()
