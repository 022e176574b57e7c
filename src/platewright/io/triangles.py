"""Triangles of prisms with their normals, for pictures; arcs become chords [mm]."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.bodies import Solid, profile_of
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Loop, Outline, circle_loop

__all__ = ["Mesh", "triangles"]

_TOLERANCE = 0.05  # most distance between arc and chord [mm]
_STEP = math.radians(15.0)  # most turn of one chord


@dataclass(frozen=True)
class Mesh:
    """Triangles with one normal to each corner.

    Parameters
    ----------
    points : (n_points, 3) float [mm]
        Corners.
    normals : (n_points, 3) float [-]
        Unit vectors out of the material.
    corners : (n_triangles, 3) int
        Rows of `points`, counter-clockwise seen from outside.
    """

    points: NDArray[np.float64]
    normals: NDArray[np.float64]
    corners: NDArray[np.int64]


def triangles(solids: tuple[Solid, ...]) -> Mesh:
    """Return the surface of solids in their body's own frame; where solids overlap, so do their surfaces."""
    pieces = []
    for solid in solids:
        outline, height = profile_of(solid.shape), solid.shape.height
        pieces += _prism(outline, solid.offset, solid.offset + height)
    starts = np.cumsum([0] + [len(piece.points) for piece in pieces])
    return Mesh(
        np.concatenate([piece.points for piece in pieces]),
        np.concatenate([piece.normals for piece in pieces]),
        np.concatenate([piece.corners + start for piece, start in zip(pieces, starts, strict=False)]),
    )


def _prism(outline: Outline, low: float, high: float) -> list[Mesh]:
    loops = [outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles)]
    sampled = [_samples(loop) for loop in loops]
    walls = [
        _wall(points, normals * (1 if n == 0 else -1), low, high, inwards=n > 0)
        for n, (points, normals) in enumerate(sampled)
    ]
    rings = [points[:, 0] for points, _ in sampled]
    return [*walls, _cap(rings, low, -1.0), _cap(rings, high, 1.0)]


def _samples(loop: Loop) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """Return both ends of every chord of a loop, (n_chords, 2), and the unit normals there, to the right of travel."""
    edges = curves_of([loop.vertices])
    ratio = np.clip(1 - _TOLERANCE / np.maximum(edges.radius, _TOLERANCE), -1.0, 1.0)
    counts = np.maximum(np.ceil(np.abs(edges.sweep) / np.minimum(2 * np.arccos(ratio), _STEP) - 1e-9), 1).astype(int)
    edge = np.repeat(np.arange(len(edges)), counts)
    first = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
    chords = edges.take(edge)
    fractions = np.array([first / counts[edge], (first + 1) / counts[edge]])
    points = np.array([chords.at(f) for f in fractions]).T
    normals = np.array([-1j * chords.tangent(f) for f in fractions]).T
    points[:, 1] = np.roll(points[:, 0], -1)  # one point, one value
    return points, normals


def _wall(
    points: NDArray[np.complex128], normals: NDArray[np.complex128], low: float, high: float, *, inwards: bool
) -> Mesh:
    n = len(points)
    flat = points[:, [0, 1, 1, 0]].ravel()
    height = np.tile([low, low, high, high], n)
    facing = normals[:, [0, 1, 1, 0]].ravel()
    corners = np.array([[0, 1, 2], [0, 2, 3]])
    corners = corners[:, ::-1] if inwards else corners
    return Mesh(
        np.column_stack([flat.real, flat.imag, height]),
        np.column_stack([facing.real, facing.imag, np.zeros(4 * n)]),
        (corners[None] + 4 * np.arange(n)[:, None, None]).reshape(-1, 3),
    )


def _cap(rings: list[NDArray[np.complex128]], height: float, up: float) -> Mesh:
    """Return a plane face; its corners are those of the walls."""
    borders = [shapely.linearrings(np.column_stack([ring.real, ring.imag])) for ring in rings]
    face = shapely.polygons(borders[0], borders[1:] or None)
    pieces = shapely.get_parts(shapely.constrained_delaunay_triangles(face))
    flat = shapely.get_coordinates(pieces).reshape(-1, 4, 2)[:, :3]
    a, b, c = (flat[:, k, 0] + 1j * flat[:, k, 1] for k in range(3))
    wrong = ((b - a).conj() * (c - a)).imag * up < 0
    flat[wrong] = flat[wrong][:, ::-1]
    points, corners = np.unique(flat.reshape(-1, 2), axis=0, return_inverse=True)
    n = len(points)
    return Mesh(
        np.column_stack([points, np.full(n, height)]),
        np.column_stack([np.zeros((n, 2)), np.full(n, up)]),
        corners.reshape(-1, 3),
    )
