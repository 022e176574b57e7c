"""Strains, curvatures and resultants of a solved plate.

They are taken at the three points of integration of each triangle, where they are most exact, carried linearly to its
nodes and averaged there by area. Units mm, N, MPa.

Reference: J. Barlow 1976 (points of best stress).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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
    n = len(xy)
    own = displacements[:, mesh.triangles]
    cases = len(own)
    plane = own[..., :2].reshape(cases, n, 12)
    bending = own[..., 2:].reshape(cases, n, 18)
    moved = own.reshape(cases, n, 30) if section.is_coupled else bending
    inner = np.einsum("eij,cej->cei", bubble_motion(xy, section), moved)
    out = np.concatenate([bending, inner], axis=2)
    turning = np.concatenate([own[..., 3:].reshape(cases, n, 12), inner], axis=2)
    tied = tied_strains(xy)
    found = np.empty((cases, n, 3, 8))
    for k, (r, s, _) in enumerate(THREE_POINTS):
        gradient, _, inverse = gradients(xy, r, s)
        b = plane_strain_matrix(gradient)
        c = plane_strain_matrix(np.concatenate([gradient, (inverse @ bubble_slope(r, s))[:, :, None]], axis=2))
        found[:, :, k, :3] = np.einsum("eij,cej->cei", b, plane)
        found[:, :, k, 3:6] = np.einsum("eij,cej->cei", c, turning)
        found[:, :, k, 6:] = np.einsum("eij,cej->cei", shear_matrix(xy, r, s, inverse, tied), out)
    nodal = np.einsum("ik,cekf->ceif", _TO_NODES, found)
    average = _averaged(mesh, nodal)
    return PlateStrains(average[..., :3], average[..., 3:6], average[..., 6:])


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


def _averaged(mesh: Mesh, values: Floats) -> Floats:
    """Return the mean at each node of what its triangles say, weighted by their areas."""
    weight = np.repeat(areas(mesh), 6)
    nodes = mesh.triangles.ravel()
    total = np.bincount(nodes, weights=weight)
    cases, _, _, width = values.shape
    found = np.empty((cases, len(total), width))
    for case in range(cases):
        flat = values[case].reshape(-1, width)
        for k in range(width):
            found[case, :, k] = np.bincount(nodes, weights=weight * flat[:, k]) / total
    return found
