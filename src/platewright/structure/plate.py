"""Stiffness and mass of a laminated plate that shears (Reissner-Mindlin), on six-node triangles.

Each node has five freedoms: u, v in the plane, w across it, and beta_x, beta_y with u(z) = u + z beta_x and
v(z) = v + z beta_y. Membrane and bending part where the laminate does not couple them. Units mm, N, MPa, t, s, rad.

So that thin plates do not lock, the transverse shear strain is a field of its own: linear and two quadratic terms, tied
to the displacements' at two points of each side and in the mean; rotations have a cubic bubble more, condensed in each
triangle. Reference: K. J. Bathe, F. Brezzi, S. W. Cho, The MITC7 and MITC9 plate bending elements, Computers &
Structures 32 (1989) 797-814 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array

from platewright.structure.laminate import Section
from platewright.structure.mesh import Mesh
from platewright.structure.triangle import (
    SIX_POINTS,
    THREE_POINTS,
    bubble,
    bubble_slope,
    derivatives,
    gradients,
    jacobians,
    shapes,
)

__all__ = [
    "BENDING",
    "MEMBRANE",
    "PlateSystem",
    "bubble_motion",
    "plane_strain_matrix",
    "plate_systems",
    "pressure_load",
    "shear_matrix",
    "tied_strains",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Sparse = Any  # scipy's compressed sparse columns: scipy has no types

MEMBRANE = (0, 1)
BENDING = (2, 3, 4)


@dataclass(frozen=True)
class PlateSystem:
    """Equations of some of the five freedoms; nodes one after another, the freedoms of each together.

    Parameters
    ----------
    freedoms : tuple of int
        Which of u, v, w, beta_x, beta_y.
    stiffness, mass : sparse (n, n)
        n = number of nodes times number of freedoms [N/mm], [t] and what rotations make of them.
    """

    freedoms: tuple[int, ...]
    stiffness: Sparse
    mass: Sparse


def plate_systems(mesh: Mesh, section: Section) -> tuple[PlateSystem, ...]:
    """Return the equations of a plate without supports: membrane and bending, or both coupled.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    section : Section
        Stiffness and mass per area, in the mesh's axes.
    """
    xy = mesh.nodes[mesh.triangles]
    mass = _mass(xy)
    last = _without_bubble(_whole_stiffness(xy, section))
    if section.is_coupled:
        return (_assembled(mesh, MEMBRANE + BENDING, last, mass, section),)
    return (
        _assembled(mesh, MEMBRANE, _membrane_stiffness(xy, section), mass, section),
        _assembled(mesh, BENDING, last, mass, section),
    )


def pressure_load(mesh: Mesh, pressure: float) -> Floats:
    """Return the nodal forces of a uniform pressure in +z, (n_nodes, 5) [N].

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    pressure : float
        On the whole plate [MPa].
    """
    xy = mesh.nodes[mesh.triangles]
    nodal = np.zeros((len(xy), 6))
    for r, s, weight in SIX_POINTS:
        nodal += pressure * weight * jacobians(xy, r, s)[1][:, None] * shapes(r, s)
    load = np.zeros((len(mesh.nodes), 5))
    load[:, 2] = np.bincount(mesh.triangles.ravel(), weights=nodal.ravel(), minlength=len(mesh.nodes))
    return load


def plane_strain_matrix(gradient: Floats) -> Floats:
    """Return the matrix from (u, v) of k functions with their gradients to (e_x, e_y, g_xy), (n, 3, 2 k) [1/mm]."""
    b = np.zeros((len(gradient), 3, 2 * gradient.shape[2]))
    b[:, 0, 0::2] = b[:, 2, 1::2] = gradient[:, 0]
    b[:, 1, 1::2] = b[:, 2, 0::2] = gradient[:, 1]
    return b


def shear_matrix(xy: Floats, r: float, s: float, inverse: Floats, tied: Floats) -> Floats:
    """Return the matrix from w, beta_x, beta_y of six nodes and beta of the bubble to (g_xz, g_yz), (n, 2, 20).

    Parameters
    ----------
    xy : (n_triangles, 6, 2) float
        Nodes [mm].
    r, s : float
        The point [-].
    inverse : (n_triangles, 2, 2) float
        Inverse Jacobian there [1/mm].
    tied : (n_triangles, 8, 20) float
        As `tied_strains` gives it [mm].
    """
    return inverse @ ((_field(r, s) @ _FROM_TIES) @ tied)


def tied_strains(xy: Floats) -> Floats:
    """Return the matrix from the freedoms of bending to the eight numbers that fix the shear field, (n, 8, 20).

    Parameters
    ----------
    xy : (n_triangles, 6, 2) float
        Nodes [mm].
    """
    found = np.zeros((len(xy), 8, 20))
    for n, (r, s, along) in enumerate(_SIDE_TIES):
        found[:, n] = np.einsum("k,ekf->ef", along, _natural_shear(xy, r, s))
    for r, s, weight in SIX_POINTS:
        found[:, 6:] += weight * _natural_shear(xy, r, s)
    return found


def bubble_motion(xy: Floats, section: Section) -> Floats:
    """Return the matrix from the freedoms of six nodes to beta of the bubble, (n, 2, 18), or (n, 2, 30) if coupled.

    Parameters
    ----------
    xy : (n_triangles, 6, 2) float
        Nodes [mm].
    section : Section
        Of the plate.
    """
    whole = _whole_stiffness(xy, section)
    n = whole.shape[1] - 2
    return np.asarray(-np.linalg.solve(whole[:, n:, n:], whole[:, n:, :n]), dtype=float)


def _natural_shear(xy: Floats, r: float, s: float) -> Floats:
    """Return the displacements' own shear along r and s, from the freedoms of bending, (n, 2, 20)."""
    jacobian = jacobians(xy, r, s)[0]
    shape = np.append(shapes(r, s), bubble(r, s))
    found = np.zeros((len(xy), 2, 20))
    found[:, :, 0:18:3] = derivatives(r, s)
    for k in range(2):
        along = jacobian[:, :, k, None] * shape
        found[:, :, 1 + k : 18 : 3] = along[:, :, :6]
        found[:, :, 18 + k] = along[:, :, 6]
    return found


def _field(r: float, s: float) -> Floats:
    """Return the eight shear fields at a point: linear ones, and two that are quadratic but linear along each side."""
    return np.array([[1, r, s, 0, 0, 0, s * r, s * s], [0, 0, 0, 1, r, s, -r * r, -r * s]])


_GAUSS = (0.5 - 0.5 / math.sqrt(3), 0.5 + 0.5 / math.sqrt(3))
# Points of tying on the sides with the direction of the side there, in natural coordinates.
_SIDE_TIES = tuple(
    (r, s, along)
    for g in _GAUSS
    for r, s, along in ((g, 0.0, (1.0, 0.0)), (0.0, g, (0.0, 1.0)), (1 - g, g, (-1.0, 1.0)))
)
_FROM_TIES = np.linalg.inv(
    np.concatenate(
        [
            [np.array(along) @ _field(r, s) for r, s, along in _SIDE_TIES],
            sum(weight * _field(r, s) for r, s, weight in SIX_POINTS),
        ]
    )
)


def _membrane_stiffness(xy: Floats, section: Section) -> Floats:
    """Return the membrane stiffness of every triangle, (n, 12, 12)."""
    found = np.zeros((len(xy), 12, 12))
    for r, s, weight in THREE_POINTS:
        gradient, det, _ = gradients(xy, r, s)
        b = plane_strain_matrix(gradient)
        found += (b.transpose(0, 2, 1) * (weight * det)[:, None, None]) @ (section.a @ b)
    return found


def _bending_stiffness(xy: Floats, section: Section) -> Floats:
    """Return the bending stiffness of every triangle with its bubble, (n, 20, 20)."""
    n = len(xy)
    found, curving = np.zeros((n, 20, 20)), np.zeros((n, 14, 14))
    tied = tied_strains(xy)
    for r, s, weight in SIX_POINTS:
        gradient, det, inverse = gradients(xy, r, s)
        b = plane_strain_matrix(np.concatenate([gradient, (inverse @ bubble_slope(r, s))[:, :, None]], axis=2))
        wide = (weight * det)[:, None, None]
        curving += (b.transpose(0, 2, 1) * wide) @ (section.d @ b)
        g = shear_matrix(xy, r, s, inverse, tied)
        found += (g.transpose(0, 2, 1) * wide) @ (section.shear @ g)
    found[np.ix_(np.arange(n), _ROTATIONS, _ROTATIONS)] += curving
    return found


def _whole_stiffness(xy: Floats, section: Section) -> Floats:
    """Return the stiffness with the bubble last: (n, 20, 20) of bending, or (n, 32, 32) of all where B is not zero."""
    bending = _bending_stiffness(xy, section)
    if not section.is_coupled:
        return bending
    n = len(xy)
    coupling = np.zeros((n, 12, 14))
    for r, s, weight in SIX_POINTS:
        gradient, det, inverse = gradients(xy, r, s)
        b = plane_strain_matrix(gradient)
        c = plane_strain_matrix(np.concatenate([gradient, (inverse @ bubble_slope(r, s))[:, :, None]], axis=2))
        coupling += (b.transpose(0, 2, 1) * (weight * det)[:, None, None]) @ (section.b @ c)
    whole = np.zeros((n, 32, 32))
    every = np.arange(n)
    u = (np.arange(6)[:, None] * 5 + np.arange(2)).ravel()
    beta = np.append((np.arange(6)[:, None] * 5 + np.arange(3, 5)).ravel(), [30, 31])
    out = np.append((np.arange(6)[:, None] * 5 + np.arange(2, 5)).ravel(), [30, 31])
    whole[np.ix_(every, u, u)] = _membrane_stiffness(xy, section)
    whole[np.ix_(every, out, out)] = bending
    whole[np.ix_(every, u, beta)] = coupling
    whole[np.ix_(every, beta, u)] = coupling.transpose(0, 2, 1)
    return whole


_ROTATIONS = np.append((np.arange(6)[:, None] * 3 + np.arange(1, 3)).ravel(), [18, 19])


def _without_bubble(whole: Floats) -> Floats:
    """Return the stiffness of the six nodes, the bubble free."""
    n = whole.shape[1] - 2
    side = whole[:, :n, n:]
    return whole[:, :n, :n] - side @ np.linalg.solve(whole[:, n:, n:], side.transpose(0, 2, 1))


def _mass(xy: Floats) -> Floats:
    """Return the integrals of products of shape functions, (n, 6, 6) [mm^2]."""
    found = np.zeros((len(xy), 6, 6))
    for r, s, weight in SIX_POINTS:
        shape = shapes(r, s)
        found += (weight * jacobians(xy, r, s)[1])[:, None, None] * np.outer(shape, shape)
    return found


def _assembled(
    mesh: Mesh, freedoms: tuple[int, ...], stiffness: Floats, products: Floats, section: Section
) -> PlateSystem:
    """Sum the triangles' matrices."""
    n, k = len(mesh.nodes), len(freedoms)
    own = (mesh.triangles[:, :, None] * k + np.arange(k)).reshape(len(mesh.triangles), -1)
    width = own.shape[1]
    rows = np.broadcast_to(own[:, :, None], (len(own), width, width)).ravel()
    columns = np.broadcast_to(own[:, None, :], (len(own), width, width)).ravel()
    whole = coo_array((stiffness.ravel(), (rows, columns)), shape=(n * k, n * k)).tocsc()
    corner = mesh.triangles
    rows6 = np.broadcast_to(corner[:, :, None], (len(corner), 6, 6)).ravel()
    columns6 = np.broadcast_to(corner[:, None, :], (len(corner), 6, 6)).ravel()
    inertia = [section.rotary if f in (3, 4) else section.mass for f in freedoms]
    mass = coo_array(
        (
            np.concatenate([products.ravel() * m for m in inertia]),
            (
                np.concatenate([rows6 * k + f for f in range(k)]),
                np.concatenate([columns6 * k + f for f in range(k)]),
            ),
        ),
        shape=(n * k, n * k),
    ).tocsc()
    return PlateSystem(freedoms, whole, mass)
