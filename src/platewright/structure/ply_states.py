"""Strains and stresses of each ply in its own axes, from the strain and curvature of the laminate's mid-plane.

Plies from the underside upwards; units mm, MPa, rad.

References: R. M. Jones, Mechanics of Composite Materials, 2nd ed., chapter 4; A. K. Kaw, Mechanics of Composite
Materials, 2nd ed., chapter 4.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.structure.laminate import Laminate
from platewright.structure.ply import reduced_stiffness, strain_turning

__all__ = ["PlyStates", "ply_states"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PlyStates:
    """Strains and stresses in each ply's own axes, at its lower and upper face.

    Parameters
    ----------
    strains, stresses : (n_points, n_plies, 2, 3) float
        Components 11, 22, 12 [-], [MPa].
    height : (n_plies, 2) float
        Where the faces lie above the mid-plane [mm].
    """

    strains: Floats
    stresses: Floats
    height: Floats


def ply_states(laminate: Laminate, membrane: Floats, curvature: Floats, turn: float = 0.0) -> PlyStates:
    """Return strains and stresses of every ply in its own axes.

    Parameters
    ----------
    laminate : Laminate
        The plies.
    membrane : (n_points, 3) float
        Strains of the mid-plane in the part's axes [-].
    curvature : (n_points, 3) float
        Curvatures in the part's axes [1/mm].
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    """
    z = laminate.heights
    faces = np.column_stack([z[:-1], z[1:]])
    turning = np.array([strain_turning(ply.angle + turn) for ply in laminate.plies])
    q = np.array([reduced_stiffness(ply.material) for ply in laminate.plies])
    at_faces = membrane[:, None, None, :] + faces[None, :, :, None] * curvature[:, None, None, :]
    strains = np.einsum("pij,npfj->npfi", turning, at_faces)
    return PlyStates(strains, np.einsum("pij,npfj->npfi", q, strains), faces)
