"""Strength ratios of a reduced plate from its freedoms: strains at corner nodes and round holes as one matrix.

Of the plies with one material and direction only the lowest and highest faces are judged: strain runs straight through
the thickness and both criteria are convex, so nothing between them is worse. Units mm, MPa, rad.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platewright.geometry.loops import Outline
from platewright.geometry.probe import Probe
from platewright.structure.failure import (
    CHARACTERISTIC_DISTANCE,
    PlyStrength,
    max_strain_ratio,
    points_round_hole,
    tsai_wu_ratio,
)
from platewright.structure.laminate import Laminate
from platewright.structure.locate import locate_points
from platewright.structure.ply import PlyMaterial, reduced_stiffness, strain_turning
from platewright.structure.reduce import ReducedPlate
from platewright.structure.strains import strains_at_nodes

__all__ = ["StrainRecovery", "Worst", "extreme_faces", "strain_recovery"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_CLEAR = 0.01  # from any edge: sides of triangles follow arcs more closely than this [mm]
_BLOCK = 16  # freedoms taken together: bounds the memory [-]


@dataclass(frozen=True)
class Worst:
    """The least strength ratio of one case and where it is.

    Parameters
    ----------
    ratio : float
        By what the case may be multiplied [-].
    criterion : str
        `max strain` or `Tsai-Wu`.
    x, y : float
        In the part's axes [mm].
    """

    ratio: float
    criterion: str
    x: float
    y: float


@dataclass(frozen=True)
class StrainRecovery:
    """Strains at judged nodes per freedom.

    Parameters
    ----------
    points : (n, 2) float
        Nodes and points on rings, a characteristic distance or more off stiff rims [mm].
    matrix : (n, 6, n_freedoms) float
        Strains of the mid-plane, then curvatures.
    faces : tuple of (PlyMaterial, float, float, int)
        Material, direction from +x [rad], height [mm] and number of the ply, of every face that is judged.
    """

    points: Floats
    matrix: Floats
    faces: tuple[tuple[PlyMaterial, float, float, int], ...]

    def ratios(self, freedoms: Floats, levels: Sequence[Sequence[PlyStrength]]) -> Floats:
        """Return the strength ratio at every point by both criteria, (n_levels, n_cases, 2, n).

        Parameters
        ----------
        freedoms : (n_cases, n_freedoms) float
            Of the reduced plate.
        levels : sequence of sequences of PlyStrength
            Of every ply of the laminate; several sets of strengths share the strains.
        """
        strains = np.einsum("nkf,cf->cnk", self.matrix, freedoms, optimize=True)
        found = np.full((len(levels), len(freedoms), 2, len(self.points)), np.inf)
        for material, angle, height, ply in self.faces:
            own = (strains[..., :3] + height * strains[..., 3:]) @ strain_turning(angle).T
            stresses = own @ reduced_stiffness(material)
            for level, strengths in enumerate(levels):
                first, second = found[level, :, 0], found[level, :, 1]
                np.minimum(first, max_strain_ratio(own, material, strengths[ply]), out=first)
                np.minimum(second, tsai_wu_ratio(stresses, strengths[ply]), out=second)
        return found

    def worst(self, freedoms: Floats, levels: Sequence[Sequence[PlyStrength]]) -> list[list[Worst]]:
        """Return the least ratio of each case, for each set of strengths."""
        found = []
        for ratios in self.ratios(freedoms, levels):
            flat = ratios.reshape(len(ratios), -1)
            at = flat.argmin(axis=1)
            which, node = np.divmod(at, len(self.points))
            found.append(
                [
                    Worst(float(flat[n, at[n]]), ("max strain", "Tsai-Wu")[which[n]], *self.points[node[n]].tolist())
                    for n in range(len(flat))
                ]
            )
        return found


def strain_recovery(
    reduced: ReducedPlate, outline: Outline, laminate: Laminate, turn: float, stiff: Ints, holes: Sequence[int]
) -> StrainRecovery:
    """Return the strains of a reduced plate per freedom.

    Parameters
    ----------
    reduced : ReducedPlate
        The plate.
    outline : Outline
        As cut [mm].
    laminate : Laminate
        Its plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    stiff : (n,) int
        Nodes on rims that the model makes rigid.
    holes : sequence of int
        Numbers of the holes with such rims; rings round them are judged at the characteristic distance.
    """
    mesh = reduced.mesh
    corners = np.arange(mesh.n_corners)
    away = cKDTree(mesh.nodes[stiff]).query(mesh.nodes[corners])[0] if len(stiff) else np.full(len(corners), np.inf)
    clear = corners[away >= CHARACTERISTIC_DISTANCE * (1 - 1e-9)]
    circles = [outline.circles[n] for n in holes]
    ring = np.concatenate([np.zeros((0, 2)), *(points_round_hole(c.x, c.y, c.radius) for c in circles)])
    ring = _on_plate(outline, ring)
    own, own_share = locate_points(mesh, ring)
    at = np.concatenate([np.repeat(clear[:, None], 6, axis=1), own])
    weight = np.concatenate([np.tile(np.eye(1, 6), (len(clear), 1)), own_share])
    used, where = np.unique(at, return_inverse=True)
    where = where.reshape(at.shape)
    n = len(reduced.stiffness)
    matrix = np.empty((len(at), 6, n))
    for start in range(0, n, _BLOCK):
        block = slice(start, min(start + _BLOCK, n))
        moved = np.ascontiguousarray(reduced.basis[:, :, block].transpose(2, 0, 1))
        strains = strains_at_nodes(mesh, reduced.section, moved)
        both = np.concatenate([strains.membrane[:, used], strains.curvature[:, used]], axis=2)
        matrix[:, :, block] = np.einsum("ps,fpsk->pkf", weight, both[:, where], optimize=True)
    return StrainRecovery(np.concatenate([mesh.nodes[clear], ring]), matrix, extreme_faces(laminate, turn))


def extreme_faces(laminate: Laminate, turn: float) -> tuple[tuple[PlyMaterial, float, float, int], ...]:
    """Return material, direction from +x [rad], height [mm] and number of the ply, of every face that is judged.

    Parameters
    ----------
    laminate : Laminate
        The plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    """
    z = laminate.heights
    kinds: dict[tuple[PlyMaterial, float], list[int]] = {}
    for n, ply in enumerate(laminate.plies):
        kinds.setdefault((ply.material, ply.angle), []).append(n)
    found = []
    for (material, angle), plies in kinds.items():
        found.append((material, angle + turn, float(z[plies[0]]), plies[0]))
        found.append((material, angle + turn, float(z[plies[-1] + 1]), plies[-1]))
    return tuple(found)


def _on_plate(outline: Outline, points: Floats) -> Floats:
    """Return those of some points that lie on the plate, clear of what a curved side may miss of an edge."""
    if not len(points):
        return points
    probe, pairs = Probe(outline), [(float(x), float(y)) for x, y in points]
    return points[probe.contains(pairs) & (probe.distance(pairs) > _CLEAR)]
