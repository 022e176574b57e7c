"""How much of its strength a reduced plate uses: strains at corner nodes and round holes as one matrix of its freedoms.

Of the plies with one material and direction only the lowest and highest faces are judged: strain runs straight through
the thickness and both criteria are convex, so nothing between them is worse. Units mm, MPa, rad.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array

from platewright.structure.failure import (
    PlyStrength,
    max_strain_forms,
    points_off_boundary,
    tsai_wu_forms,
)
from platewright.structure.laminate import Laminate
from platewright.structure.locate import locate_points
from platewright.structure.notches import Notches
from platewright.structure.ply import PlyMaterial, reduced_stiffness, strain_turning
from platewright.structure.reduce import ReducedPlate
from platewright.structure.strains import NodalStrains

__all__ = ["CRITERIA", "StrainRecovery", "Worst", "extreme_faces", "strain_recovery"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

CRITERIA = ("max strain", "Tsai-Wu")
"""By which plies are judged."""
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
    both : (float, float)
        The least ratio by max strain, wherever it is, and by Tsai-Wu [-].
    """

    ratio: float
    criterion: str
    x: float
    y: float
    both: tuple[float, float]


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

    def uses(self, freedoms: Floats, levels: Sequence[Sequence[PlyStrength]]) -> Floats:
        """Return how much of its strength every point uses, 1 at failure, by both criteria, (n_levels, n_cases, 2, n).

        Parameters
        ----------
        freedoms : (n_cases, n_freedoms) float
            Of the reduced plate.
        levels : sequence of sequences of PlyStrength
            Of every ply of the laminate; several sets of strengths share the strains.
        """
        n = len(self.points)
        strains = (freedoms @ self.matrix.reshape(6 * n, -1).T).reshape(-1, 6).T
        found = np.zeros((len(levels), len(freedoms), 2, n))
        for material, angle, height, ply in self.faces:
            turn = strain_turning(angle)
            own = np.concatenate([turn, height * turn], axis=1)
            stress = reduced_stiffness(material) @ own
            for level, strengths in enumerate(levels):
                first, second = found[level, :, 0], found[level, :, 1]
                most = (max_strain_forms(material, strengths[ply]) @ own @ strains).max(axis=0)
                along, *across = tsai_wu_forms(strengths[ply]) @ stress @ strains
                length = np.sqrt(sum(part * part for part in across))
                np.maximum(first, most.reshape(first.shape), out=first)
                np.maximum(second, (along + length).reshape(first.shape), out=second)
        return found

    def worst(self, freedoms: Floats, levels: Sequence[Sequence[PlyStrength]]) -> list[list[Worst]]:
        """Return the least strength ratio of each case, for each set of strengths."""
        found = []
        for uses in self.uses(freedoms, levels):
            at = uses.argmax(axis=2)
            with np.errstate(divide="ignore"):
                ratios = 1 / np.take_along_axis(uses, at[:, :, None], axis=2)[:, :, 0]
            which = ratios.argmin(axis=1)
            places = self.points[at[np.arange(len(at)), which]]
            found.append(
                [
                    Worst(float(both[k]), CRITERIA[k], float(x), float(y), (float(both[0]), float(both[1])))
                    for both, k, (x, y) in zip(ratios, which.tolist(), places, strict=True)
                ]
            )
        return found


def strain_recovery(
    reduced: ReducedPlate, laminate: Laminate, turn: float, stiff: Ints, notches: Notches
) -> StrainRecovery:
    """Return the strains of a reduced plate per freedom.

    Parameters
    ----------
    reduced : ReducedPlate
        The plate.
    laminate : Laminate
        Its plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    stiff : (n,) int
        Nodes on rims that the model makes rigid.
    notches : Notches
        Of the plate: it is judged at the characteristic distance off them.
    """
    mesh = reduced.mesh
    clear = points_off_boundary(mesh.nodes[: mesh.n_corners], np.concatenate([mesh.nodes[stiff], notches.rims]))
    ring = notches.off
    own, own_share = locate_points(mesh, ring)
    rows = np.concatenate([np.arange(len(clear)), len(clear) + np.repeat(np.arange(len(ring)), 6)])
    share = np.concatenate([np.ones(len(clear)), own_share.ravel()])
    shape = len(clear) + len(ring), len(mesh.nodes)
    at = coo_array((share, (rows, np.concatenate([clear, own.ravel()]))), shape=shape).tocsr()
    n, nodal = len(reduced.stiffness), NodalStrains(mesh, reduced.section, at)
    matrix = np.empty((shape[0], 6, n))
    for start in range(0, n, _BLOCK):
        block = slice(start, start + _BLOCK)
        matrix[:, :, block] = nodal.of(reduced.basis[:, :, block])[:, :6]
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
