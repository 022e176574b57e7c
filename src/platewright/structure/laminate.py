"""A stack of plies and its stiffness as a plate: A, B, D and transverse shear.

Plies are listed from the underside (z = -t/2) upwards. Resultants are forces (N_x, N_y, N_xy) [N/mm] and moments
(M_x, M_y, M_xy) [N] per width; a positive M_x stretches the upper face. Curvatures belong to u(z) = u + z beta_x, so
kappa_x = d beta_x / dx. Units mm, N, MPa, t, rad.

References: R. M. Jones, Mechanics of Composite Materials, 2nd ed., chapter 4; A. K. Kaw, Mechanics of Composite
Materials, 2nd ed., chapter 4. Shear factor 5/6 of a homogeneous plate: E. Reissner 1945.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError
from platewright.structure.ply import (
    PlyMaterial,
    reduced_stiffness,
    shear_stiffness,
    turned_shear,
    turned_stiffness,
)

__all__ = [
    "SHEAR_FACTOR",
    "Laminate",
    "Ply",
    "Section",
    "SheetConstants",
    "section_of",
    "sheet_constants",
]

Floats = NDArray[np.float64]

SHEAR_FACTOR = 5 / 6
_SYMMETRIC = 1e-9  # B below this share of A t counts as none: rounding of sums over plies [-]


@dataclass(frozen=True)
class Ply:
    """One layer.

    Parameters
    ----------
    material : PlyMaterial
        What it is made of.
    thickness : float
        Of the layer [mm].
    angle : float
        From the sheet's direction 1 to the ply's [rad].
    """

    material: PlyMaterial
    thickness: float
    angle: float = 0.0


@dataclass(frozen=True)
class Laminate:
    """A stack of plies from the underside upwards.

    Parameters
    ----------
    plies : tuple of Ply
        One layer or more.
    density : float
        Of the finished plate [t/mm^3].

    Raises
    ------
    StructureError
        If there is no ply, or a thickness or the density is not positive.
    """

    plies: tuple[Ply, ...]
    density: float

    def __post_init__(self) -> None:
        if not self.plies:
            msg = "a laminate needs at least one ply (got none)."
            raise StructureError(msg)
        for n, ply in enumerate(self.plies):
            if not (ply.thickness > 0 and math.isfinite(ply.thickness)):
                msg = f"ply {n + 1} must be thicker than 0 mm (got {ply.thickness:g}); give the plate its thickness."
                raise StructureError(msg)
        if not (self.density > 0 and math.isfinite(self.density)):
            msg = f"the density of a laminate must be greater than 0 t/mm^3 (got {self.density:g})."
            raise StructureError(msg)

    @property
    def thickness(self) -> float:
        """Of all plies together [mm]."""
        return math.fsum(ply.thickness for ply in self.plies)

    @property
    def heights(self) -> Floats:
        """Faces of the plies from the underside to the top, one more than there are plies [mm]."""
        total = np.cumsum([0.0, *(ply.thickness for ply in self.plies)])
        result: Floats = total - total[-1] / 2
        return result


@dataclass(frozen=True)
class Section:
    """Stiffness and mass of a plate per area, in the part's axes.

    Parameters
    ----------
    a, b, d : (3, 3) float
        Membrane stiffness [N/mm], coupling [N], bending stiffness [N mm].
    shear : (2, 2) float
        Against (g_xz, g_yz), shear factor included [N/mm].
    thickness : float
        Of the plate [mm].
    mass : float
        Per area [t/mm^2].
    rotary : float
        Rotary inertia per area, rho t^3 / 12 [t].
    """

    a: Floats
    b: Floats
    d: Floats
    shear: Floats
    thickness: float
    mass: float
    rotary: float

    @property
    def is_coupled(self) -> bool:
        """Whether stretching bends the plate: B is not zero."""
        return bool(np.abs(self.b).max() > _SYMMETRIC * np.abs(self.a).max() * self.thickness)


@dataclass(frozen=True)
class SheetConstants:
    """What a strip cut from the sheet feels, its x axis at some angle to direction 1.

    Parameters
    ----------
    e_x, e_y, g_xy : float
        Moduli in the plane, free to warp where B is not zero [MPa].
    nu_xy : float
        Contraction in y per stretch in x [-].
    e_flex_x, e_flex_y : float
        Moduli in bending, 12 / (t^3 d_11) and 12 / (t^3 d_22) of the inverse stiffness [MPa].
    g_twist : float
        Modulus in twist, 12 / (t^3 d_66) [MPa].
    g_xz, g_yz : float
        Mean shear moduli through the thickness, without the shear factor [MPa].
    """

    e_x: float
    e_y: float
    g_xy: float
    nu_xy: float
    e_flex_x: float
    e_flex_y: float
    g_twist: float
    g_xz: float
    g_yz: float


def section_of(laminate: Laminate, turn: float = 0.0) -> Section:
    """Return the plate stiffness and mass of a laminate.

    Parameters
    ----------
    laminate : Laminate
        The plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].

    Raises
    ------
    StructureError
        If the stiffness is not positive definite.

    Notes
    -----
    A = sum Q' (z1 - z0), B = sum Q' (z1^2 - z0^2) / 2, D = sum Q' (z1^3 - z0^3) / 3, S = 5/6 sum G' (z1 - z0). The
    density is the same through the thickness.

    Examples
    --------
    >>> from platewright.structure.ply import isotropic_ply
    >>> plate = section_of(Laminate((Ply(isotropic_ply(70_000, 0.3), 2.0),), 2.7e-9))
    >>> float(round(plate.d[0, 0], 1)), plate.is_coupled
    (51282.1, False)
    """
    a, b, d, shear = np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((2, 2))
    z = laminate.heights
    for ply, z0, z1 in zip(laminate.plies, z[:-1], z[1:], strict=True):
        q = turned_stiffness(reduced_stiffness(ply.material), ply.angle + turn)
        a += q * (z1 - z0)
        b += q * (z1**2 - z0**2) / 2
        d += q * (z1**3 - z0**3) / 3
        shear += turned_shear(shear_stiffness(ply.material), ply.angle + turn) * (z1 - z0) * SHEAR_FACTOR
    t = laminate.thickness
    section = Section(a, b, d, shear, t, laminate.density * t, laminate.density * t**3 / 12)
    check_positive(section)
    return section


def check_positive(section: Section) -> None:
    """Refuse a section whose stiffness is not positive definite.

    Raises
    ------
    StructureError
        With the lowest eigenvalue of the scaled stiffness.
    """
    t = section.thickness
    whole = np.block([[section.a, section.b / t], [section.b / t, section.d / t**2]])
    lowest = min(np.linalg.eigvalsh(whole)[0], np.linalg.eigvalsh(section.shear)[0])
    if not lowest > 1e-9 * np.abs(whole).max():
        msg = (
            "the stiffness of a laminate must be positive definite (lowest eigenvalue "
            f"{lowest:.3g} N/mm); check the moduli and Poisson's ratios of its plies."
        )
        raise StructureError(msg)


def sheet_constants(laminate: Laminate, turn: float = 0.0) -> SheetConstants:
    """Return the moduli of a strip along x.

    Parameters
    ----------
    laminate : Laminate
        The plies.
    turn : float
        From the strip's axis to the sheet's direction 1 [rad].

    Examples
    --------
    >>> fabric = PlyMaterial(70_000, 70_000, 5_000, 0.10, 3_000, 3_000)
    >>> sheet = Laminate((Ply(fabric, 2.0),), 1.55e-9)
    >>> at_45 = sheet_constants(sheet, math.pi / 4)
    >>> round(at_45.e_x), round(at_45.g_xy), round(at_45.nu_xy, 3)
    (17722, 31818, 0.772)
    """
    s, t = section_of(laminate, turn), laminate.thickness
    inverse = np.linalg.inv(np.block([[s.a, s.b], [s.b, s.d]]))
    a, d = inverse[:3, :3] * t, inverse[3:, 3:] * t**3 / 12
    return SheetConstants(
        float(1 / a[0, 0]),
        float(1 / a[1, 1]),
        float(1 / a[2, 2]),
        float(-a[0, 1] / a[0, 0]),
        float(1 / d[0, 0]),
        float(1 / d[1, 1]),
        float(1 / d[2, 2]),
        float(s.shear[0, 0] / (SHEAR_FACTOR * t)),
        float(s.shear[1, 1] / (SHEAR_FACTOR * t)),
    )
