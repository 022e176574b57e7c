"""When plies fail, and how near to a hole or a corner their stress is judged.

Ply stresses are (s_1, s_2, t_12) in the ply's own axes [MPa]. A strength ratio says by what the load may be multiplied
until failure: 1 fails, 2 has as much again in hand.

References: S. W. Tsai, E. M. Wu 1971, A general theory of strength for anisotropic materials; J. M. Whitney, R. J.
Nuismer 1974, Stress fracture criteria for laminated composites containing stress concentrations (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platewright.foundation.errors import StructureError
from platewright.structure.ply import PlyMaterial

__all__ = [
    "CHARACTERISTIC_DISTANCE",
    "SHARP",
    "PlyStrength",
    "max_strain_forms",
    "max_strain_ratio",
    "point_stress_factor",
    "points_off_boundary",
    "points_round_hole",
    "tsai_wu_forms",
    "tsai_wu_ratio",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

SHARP = 0.05
"""An inside corner of a smaller radius is as good as sharp [mm]."""
CHARACTERISTIC_DISTANCE = 1.016
"""d0 of the point-stress criterion [mm]: 0.04 in, Whitney and Nuismer 1974, graphite and epoxy (from memory). Ranges of
0.8 to 1.5 mm are common in the literature (from memory): a band of margins follows from them."""
_INTERACTION = (
    -0.5
)  # F12 / sqrt(F11 F22), the usual choice where none is measured (Tsai and Hahn 1980, from memory) [-]


@dataclass(frozen=True)
class PlyStrength:
    """Strengths of a ply, all positive.

    Parameters
    ----------
    x_t, x_c, y_t, y_c : float
        In tension and compression along 1 and 2 [MPa].
    s_12 : float
        In shear in the plane [MPa].

    Raises
    ------
    StructureError
        If one is not positive.
    """

    x_t: float
    x_c: float
    y_t: float
    y_c: float
    s_12: float

    def __post_init__(self) -> None:
        for name in ("x_t", "x_c", "y_t", "y_c", "s_12"):
            value = getattr(self, name)
            if not (value > 0 and math.isfinite(value)):
                msg = f"the strength {name} of a ply must be greater than 0 MPa (got {value:g})."
                raise StructureError(msg)


def max_strain_forms(material: PlyMaterial, strength: PlyStrength) -> Floats:
    """Return six linear forms of (e_1, e_2, g_12), the largest of which says how much of a ply is used, (6, 3).

    Parameters
    ----------
    material : PlyMaterial
        Gives strains at failure, X / E1, Y / E2, S / G12.
    strength : PlyStrength
        Of the ply.
    """
    moduli = np.array([material.e1, material.e2, material.g12])
    tension = moduli / np.array([strength.x_t, strength.y_t, strength.s_12])
    pressure = moduli / np.array([strength.x_c, strength.y_c, strength.s_12])
    return np.concatenate([np.diag(tension), np.diag(-pressure)])


def max_strain_ratio(strains: Floats, material: PlyMaterial, strength: PlyStrength) -> Floats:
    """Return the strength ratio by the largest strain along a ply's axes.

    Parameters
    ----------
    strains : (..., 3) float
        e_1, e_2, g_12 in the ply's axes [-].
    material, strength : PlyMaterial, PlyStrength
        As in `max_strain_forms`.

    Examples
    --------
    >>> ply = PlyMaterial(60_000, 60_000, 4_000, 0.05, 3_000, 3_000)
    >>> limit = PlyStrength(600, 500, 600, 500, 75)
    >>> round(float(max_strain_ratio(np.array([0.005, 0.0, 0.0]), ply, limit)), 6)
    2.0
    """
    used = np.abs((strains @ max_strain_forms(material, strength).T).max(axis=-1))
    with np.errstate(divide="ignore"):
        return np.asarray(1 / used, dtype=float)


def tsai_wu_forms(strength: PlyStrength) -> Floats:
    """Return four linear forms of (s_1, s_2, t_12); the first plus the length of the others is what is used, (4, 3).

    Parameters
    ----------
    strength : PlyStrength
        Of the ply.

    Notes
    -----
    a R^2 + 2 b R = 1 with a = F11 s1^2 + F22 s2^2 + F66 t^2 + 2 F12 s1 s2 and 2 b = F1 s1 + F2 s2, so that
    1 / R = b + sqrt(a + b^2); a + b^2 is a positive square form, the square of a length by its Cholesky factor.
    """
    x, y = strength.x_t * strength.x_c, strength.y_t * strength.y_c
    f12 = _INTERACTION / math.sqrt(x * y)
    square = np.array([[1 / x, f12, 0], [f12, 1 / y, 0], [0, 0, 1 / strength.s_12**2]])
    half = np.array([1 / strength.x_t - 1 / strength.x_c, 1 / strength.y_t - 1 / strength.y_c, 0]) / 2
    return np.concatenate([half[None], np.linalg.cholesky(square + np.outer(half, half)).T])


def tsai_wu_ratio(stresses: Floats, strength: PlyStrength) -> Floats:
    """Return the strength ratio by Tsai and Wu.

    Parameters
    ----------
    stresses : (..., 3) float
        s_1, s_2, t_12 in the ply's axes [MPa].
    strength : PlyStrength
        Of the ply.

    Examples
    --------
    >>> limit = PlyStrength(1500, 1500, 40, 246, 68)
    >>> round(float(tsai_wu_ratio(np.array([750.0, 0.0, 0.0]), limit)), 6)
    2.0
    """
    forms = stresses @ tsai_wu_forms(strength).T
    with np.errstate(divide="ignore"):
        return np.asarray(1 / (forms[..., 0] + np.linalg.norm(forms[..., 1:], axis=-1)), dtype=float)


def point_stress_factor(radius: float, distance: float = CHARACTERISTIC_DISTANCE) -> float:
    """Return notched by unnotched strength of a wide isotropic or quasi-isotropic plate with a hole, by point stress.

    Parameters
    ----------
    radius : float
        Of the hole [mm].
    distance : float
        At which the stress is judged [mm].

    Notes
    -----
    2 / (2 + x^2 + 3 x^4), x = R / (R + d0): 1/3 for a large hole, 1 for a small one.

    Examples
    --------
    >>> round(point_stress_factor(1.6), 3)
    0.716
    """
    x = radius / (radius + distance)
    return 2 / (2 + x**2 + 3 * x**4)


def points_off_boundary(points: Floats, boundary: Floats, distance: float = CHARACTERISTIC_DISTANCE) -> Ints:
    """Return which points stress is judged at: those no nearer to holes and edges than the characteristic distance.

    Parameters
    ----------
    points : (n_points, 2) float
        Of the plate [mm].
    boundary : (n, 2) float
        Points of rims and edges where stress is concentrated [mm].
    distance : float
        Characteristic distance [mm].

    Notes
    -----
    Re-entrant corners and rims of rigid holes are singular: a stress there grows as the mesh is refined and says
    nothing. The mesh must be finer than the distance near them.
    """
    if not len(boundary):
        return np.arange(len(points))
    away = cKDTree(boundary).query(points)[0]
    return np.flatnonzero(away >= distance * (1 - 1e-9))


def points_round_hole(x: float, y: float, radius: float, distance: float = CHARACTERISTIC_DISTANCE) -> Floats:
    """Return 48 points at the characteristic distance from the rim of a hole, where stress is judged, (48, 2) [mm].

    Parameters
    ----------
    x, y, radius : float
        Of the hole [mm].
    distance : float
        Characteristic distance [mm].
    """
    turn = np.linspace(0.0, 2 * math.pi, 48, endpoint=False)
    return np.column_stack([x + (radius + distance) * np.cos(turn), y + (radius + distance) * np.sin(turn)])
