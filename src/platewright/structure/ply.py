"""One ply: engineering constants, plane-stress stiffness in its own axes and turned.

Direction 1 lies along the fibres (or the warp), 2 across, 3 through the plate. Strains are (e_1, e_2, g_12) with
engineering shear. Stiffness in MPa, angles in rad, positive counter-clockwise from +x seen from above.

References: R. M. Jones, Mechanics of Composite Materials, 2nd ed., sections 2.5 and 2.6 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError

__all__ = ["PlyMaterial", "isotropic_ply", "reduced_stiffness", "shear_stiffness", "turned_shear", "turned_stiffness"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PlyMaterial:
    """Engineering constants of a ply, refused unless its stiffness is positive definite.

    Parameters
    ----------
    e1, e2 : float
        Young's moduli along and across [MPa].
    g12 : float
        Shear modulus in the plane [MPa].
    nu12 : float
        Contraction in 2 per stretch in 1 [-].
    g13, g23 : float
        Shear moduli through the thickness [MPa].

    Raises
    ------
    StructureError
        If a modulus is not positive, or nu12^2 E2 / E1 is 1 or more.
    """

    e1: float
    e2: float
    g12: float
    nu12: float
    g13: float
    g23: float

    def __post_init__(self) -> None:
        for name in ("e1", "e2", "g12", "g13", "g23"):
            value = getattr(self, name)
            if not (value > 0 and math.isfinite(value)):
                msg = f"{name.upper()} of a ply must be greater than 0 MPa (got {value:g}); give a modulus in MPa."
                raise StructureError(msg)
        limit = math.sqrt(self.e1 / self.e2)
        if not abs(self.nu12) < limit:
            msg = (
                f"nu12 of a ply must lie within +-sqrt(E1/E2) = {limit:.4g}, or its stiffness is not positive definite "
                f"(got {self.nu12:g}); check which direction is 1."
            )
            raise StructureError(msg)


def isotropic_ply(elastic_modulus: float, poisson_ratio: float) -> PlyMaterial:
    """Return the constants of an isotropic material, G = E / (2 (1 + nu)).

    Parameters
    ----------
    elastic_modulus : float
        Young's modulus [MPa].
    poisson_ratio : float
        Between -1 and 0.5 [-].

    Raises
    ------
    StructureError
        If Poisson's ratio is outside its range, or the modulus is not positive.

    Examples
    --------
    >>> isotropic_ply(68_900, 0.33).g12.__round__()
    25902
    """
    if not -1 < poisson_ratio < 0.5:
        msg = f"Poisson's ratio of an isotropic material must lie between -1 and 0.5 (got {poisson_ratio:g})."
        raise StructureError(msg)
    g = elastic_modulus / (2 * (1 + poisson_ratio))
    return PlyMaterial(elastic_modulus, elastic_modulus, g, poisson_ratio, g, g)


def reduced_stiffness(material: PlyMaterial) -> Floats:
    """Return the plane-stress stiffness Q in the ply's own axes, (3, 3) [MPa]."""
    factor = 1 / (1 - material.nu12**2 * material.e2 / material.e1)
    q12 = factor * material.nu12 * material.e2
    return np.array([[factor * material.e1, q12, 0], [q12, factor * material.e2, 0], [0, 0, material.g12]])


def shear_stiffness(material: PlyMaterial) -> Floats:
    """Return the stiffness against (g_13, g_23) in the ply's own axes, (2, 2) [MPa]."""
    return np.diag([material.g13, material.g23])


def turned_stiffness(stiffness: Floats, angle: float) -> Floats:
    """Return a plane stiffness in axes x, y, its direction 1 at `angle` from +x.

    Parameters
    ----------
    stiffness : (3, 3) float
        Q in the ply's axes [MPa].
    angle : float
        From +x to direction 1 [rad].

    Notes
    -----
    Q' = T^t Q T with T the turning of engineering strains from x, y to 1, 2.

    Examples
    --------
    >>> q = reduced_stiffness(isotropic_ply(70_000, 0.3))
    >>> bool(np.allclose(turned_stiffness(q, 0.7), q))
    True
    """
    turn = strain_turning(angle)
    result: Floats = turn.T @ stiffness @ turn
    return result


def turned_shear(stiffness: Floats, angle: float) -> Floats:
    """Return a shear stiffness against (g_xz, g_yz), direction 1 at `angle` from +x.

    Parameters
    ----------
    stiffness : (2, 2) float
        Against (g_13, g_23) [MPa].
    angle : float
        From +x to direction 1 [rad].
    """
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array([[c, s], [-s, c]])
    result: Floats = turn.T @ stiffness @ turn
    return result


def strain_turning(angle: float) -> Floats:
    """Return the matrix that takes (e_x, e_y, g_xy) to (e_1, e_2, g_12), direction 1 at `angle` [rad] from +x."""
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]])
