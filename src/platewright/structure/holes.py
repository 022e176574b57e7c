"""What a bolted hole bears: stress concentration, bearing, net tension, shear-out, pull-through.

Lengths in mm, forces in N, stresses in MPa. Stresses are means over the section named; which strength they are held
against, and its band, is the caller's choice.

References: S. G. Lekhnitskii, Anisotropic Plates, 1968; R. E. Peterson, Stress Concentration Factors; R. C. J. Howland
1930 and R. B. Heywood 1952 as given there; J. H. Crews, MIL-HDBK-17-3F chapter 6 for modes of bolted joints (all from
memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.foundation.errors import StructureError

__all__ = [
    "HoleStresses",
    "hole_stresses",
    "kt_heywood_net",
    "kt_howland_net",
    "kt_orthotropic_plate",
    "pull_through_stress",
]


@dataclass(frozen=True)
class HoleStresses:
    """Mean stresses of a bolted hole under a force in the plane.

    Parameters
    ----------
    bearing : float
        On the projected area, F / (d t) [MPa].
    net_tension : float
        In the section beside the hole, F / ((w - d) t) [MPa].
    shear_out : float
        On the two planes between hole and edge, F / (2 e t), e from the hole's centre less half its radius [MPa].
    """

    bearing: float
    net_tension: float
    shear_out: float


def hole_stresses(force: float, diameter: float, thickness: float, width: float, edge: float) -> HoleStresses:
    """Return the mean stresses of a bolted hole.

    Parameters
    ----------
    force : float
        On the plate in its plane [N].
    diameter : float
        Of the hole [mm].
    thickness : float
        Of the plate [mm].
    width : float
        Of the strip across the force, hole included [mm].
    edge : float
        From the hole's centre to the edge along the force [mm].

    Raises
    ------
    StructureError
        If there is no plate beside the hole, or before it.

    Notes
    -----
    The shear planes run from where the screw touches, 60 degrees off the force, taken as edge - d / 4 long (the usual
    range is edge - d / 2 to edge; common practice, no source), so shear-out has a band of about a quarter.

    Examples
    --------
    >>> got = hole_stresses(600, 3.0, 5.0, 12.0, 6.0)
    >>> got.bearing, round(got.net_tension, 2), round(got.shear_out, 2)
    (40.0, 13.33, 11.43)
    """
    for name, value in (("force", force), ("diameter", diameter), ("thickness", thickness)):
        if not (value >= 0 if name == "force" else value > 0):
            msg = f"the {name} at a hole must be greater than 0 (got {value:g})."
            raise StructureError(msg)
    if not width > diameter:
        msg = f"a strip must be wider than its hole of {diameter:g} mm (got {width:g} mm)."
        raise StructureError(msg)
    if not edge > diameter / 2:
        msg = f"a hole of {diameter:g} mm must lie more than its radius from the edge (got {edge:g} mm)."
        raise StructureError(msg)
    shear_length = edge - diameter / 4
    return HoleStresses(
        force / (diameter * thickness),
        force / ((width - diameter) * thickness),
        force / (2 * shear_length * thickness),
    )


def pull_through_stress(force: float, head_diameter: float, thickness: float) -> float:
    """Return the mean shear stress through the thickness round a head that is pulled through [MPa].

    Parameters
    ----------
    force : float
        Along the screw [N].
    head_diameter : float
        Of the head's or washer's bearing face [mm].
    thickness : float
        Of the plate [mm].

    Notes
    -----
    F / (pi d_w t): a cylinder under the head; held against the interlaminar shear strength, within about a factor 1.5
    (common practice, no source).
    """
    return force / (math.pi * head_diameter * thickness)


def kt_orthotropic_plate(e_x: float, e_y: float, g_xy: float, nu_xy: float) -> float:
    """Return the stress concentration of a round hole in a wide plate pulled along x, at its sides.

    Parameters
    ----------
    e_x, e_y, g_xy : float
        Moduli of the plate [MPa].
    nu_xy : float
        Contraction in y per stretch in x [-].

    Notes
    -----
    1 + sqrt(2 (sqrt(Ex / Ey) - nu_xy) + Ex / Gxy); 3 for an isotropic plate (Lekhnitskii).

    Examples
    --------
    >>> round(kt_orthotropic_plate(70_000, 70_000, 5_000, 0.10), 3)
    4.975
    """
    return 1 + math.sqrt(2 * (math.sqrt(e_x / e_y) - nu_xy) + e_x / g_xy)


def kt_heywood_net(diameter: float, width: float) -> float:
    """Return the net-section concentration of a central hole in a strip, isotropic: 2 + (1 - d / w)^3 (Heywood).

    Parameters
    ----------
    diameter, width : float
        Of the hole and the strip [mm].

    Examples
    --------
    >>> kt_heywood_net(5.0, 10.0)
    2.125
    """
    return 2 + (1 - diameter / width) ** 3


def kt_howland_net(diameter: float, width: float) -> float:
    """Return the net-section concentration of a central hole in a strip, isotropic, as fitted to Howland's solution.

    Parameters
    ----------
    diameter, width : float
        Of the hole and the strip; d / w up to 0.5 [mm].

    Notes
    -----
    2 + 0.284 q - 0.600 q^2 + 1.32 q^3, q = 1 - d / w.
    """
    q = 1 - diameter / width
    return 2 + 0.284 * q - 0.600 * q**2 + 1.32 * q**3
