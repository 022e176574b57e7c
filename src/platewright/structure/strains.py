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

__all__ = ["NodalStrains", "PlateStrains", "resultants", "strains_at_nodes"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Linear functions that are one at one of the three points and zero at the others, at the six nodes.
_POINTS = np.array([[1, r, s] for r, s, _ in THREE_POINTS])
_TO_NODES = np.array([[1, r, s] for r, s in (*CORNERS, *SIDES)]) @ np.linalg.inv(_POINTS)
# Places of u and v, of beta, and of w and beta among the freedoms of a triangle, five to a node.
_PLANE, _TURNS, _OUT = ((5 * np.arange(6)[:, None] + np.array(own)).ravel() for own in ((0, 1), (3, 4), (2, 3, 4)))


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


class NodalStrains:
    """Takes displacements of a mesh to strains at its nodes; what depends on the mesh alone is worked out once.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    section : Section
        Of the plate.
    at : sparse (n, n_nodes) or None
        Shares of nodes in the places that are asked for; the nodes themselves when None.
    """

    def __init__(self, mesh: Mesh, section: Section, at: csr_array | None = None) -> None:
        self._triangles = mesh.triangles
        self._at_points = _at_points(mesh.nodes[mesh.triangles], section)
        self._average = _averaging(mesh) if at is None else at @ _averaging(mesh)

    def of(self, displacements: Floats) -> Floats:
        """Return e_x, e_y, g_xy, kappa_x, kappa_y, kappa_xy, g_xz, g_yz at all places, (n, 8, n_cases).

        Parameters
        ----------
        displacements : (n_nodes, 5, n_cases) float
            u, v, w [mm], beta_x, beta_y [rad]; cases last, so that every product is a small matrix times many columns.
        """
        n, cases = len(self._triangles), displacements.shape[2]
        own = displacements[self._triangles].reshape(n, 30, cases)
        nodal = _TO_NODES @ (self._at_points @ own).reshape(n, 3, 8 * cases)
        found: Floats = (self._average @ nodal.reshape(6 * n, 8 * cases)).reshape(-1, 8, cases)
        return found


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
    strains = np.ascontiguousarray(np.moveaxis(NodalStrains(mesh, section).of(np.moveaxis(displacements, 0, 2)), 2, 0))
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


def _at_points(xy: Floats, section: Section) -> Floats:
    """Return the matrix from the 30 freedoms of a triangle to eight strains at each of three points, (n, 24, 30)."""
    found = np.zeros((len(xy), 3, 8, 30))
    inner, tied = bubble_motion(xy, section), tied_strains(xy)
    moved = np.arange(30) if section.is_coupled else _OUT
    for k, (r, s, _) in enumerate(THREE_POINTS):
        gradient, _, inverse = gradients(xy, r, s)
        plane = plane_strain_matrix(gradient)
        bubble = plane_strain_matrix((inverse @ bubble_slope(r, s))[:, :, None])
        shear = shear_matrix(xy, r, s, inverse, tied)
        found[:, k, :3, _PLANE] = found[:, k, 3:6, _TURNS] = plane.transpose(2, 0, 1)
        found[:, k, 6:, _OUT] = shear[:, :, :18].transpose(2, 0, 1)
        found[:, k, 3:6, moved] += (bubble @ inner).transpose(2, 0, 1)
        found[:, k, 6:, moved] += (shear[:, :, 18:] @ inner).transpose(2, 0, 1)
    return found.reshape(len(xy), 24, 30)


def _averaging(mesh: Mesh) -> csr_array:
    """Return the matrix from what triangles say of their nodes to the mean at each node, weighted by their areas."""
    weight = np.repeat(areas(mesh), 6)
    nodes = mesh.triangles.ravel()
    share = weight / np.bincount(nodes, weights=weight)[nodes]
    return coo_array((share, (nodes, np.arange(len(nodes)))), shape=(len(mesh.nodes), len(nodes))).tocsr()
