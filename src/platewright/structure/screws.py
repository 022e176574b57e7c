"""What a screw of a joint carries: tension, bending and shear together, and how much a material takes until it breaks.

Units mm, N, MPa. Stress area and core by ISO 898-1 and ISO 724.

The limit is that of a ductile bar: (N / N_u + M / M_p)^2 + (V / V_u)^2 = 1 with N_u = A_s R_m, V_u = A_3 tau_u and
M_p = R_m d_3^3 / 6, the full plastic moment of a round section; straight in tension and bending, which is on the safe
side. The clamping force is left out: it is gone before a ductile screw breaks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ScrewLimits", "energy_to_fracture", "screw_use", "screw_uses"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ScrewLimits:
    """What a screw carries.

    Parameters
    ----------
    tension, shear : float
        Alone [N].
    moment : float
        Alone, fully plastic [N mm].
    """

    tension: float
    shear: float
    moment: float

    @staticmethod
    def of(
        stress_area: float, core_diameter: float, tensile_strength: float, shear_strength: float, head: float = 1.0
    ) -> ScrewLimits:
        """Return the limits of a screw.

        Parameters
        ----------
        stress_area : float
            Of the thread [mm^2].
        core_diameter : float
            d_3 [mm].
        tensile_strength, shear_strength : float
            Of the material [MPa].
        head : float
            Share of the thread's load that the head carries [-].

        Examples
        --------
        >>> m3 = ScrewLimits.of(5.031, 2.387, 1220, 732)
        >>> round(m3.tension), round(m3.shear), round(m3.moment)
        (6138, 3276, 2765)
        """
        return ScrewLimits(
            head * stress_area * tensile_strength,
            math.pi / 4 * core_diameter**2 * shear_strength,
            tensile_strength * core_diameter**3 / 6,
        )


def screw_use(limits: ScrewLimits, tension: float, shear: float, moment: float) -> float:
    """Return how much of a screw is used, 1 at fracture; pressure along it counts as none.

    Parameters
    ----------
    limits : ScrewLimits
        What it carries.
    tension, shear : float
        Along and across it [N].
    moment : float
        That bends it [N mm].

    Examples
    --------
    >>> screw_use(ScrewLimits(1000, 600, 500), 500, 0, 0)
    0.5
    """
    along = max(tension, 0.0) / limits.tension + abs(moment) / limits.moment
    return math.hypot(along, shear / limits.shear)


def screw_uses(limits: ScrewLimits, tension: Floats, shear: Floats) -> Floats:
    """Return how much of a screw is used without bending, of many cases at once.

    Parameters
    ----------
    limits : ScrewLimits
        What it carries.
    tension, shear : (n,) float
        Along and across it; pressure counts as none [N].

    Examples
    --------
    >>> screw_uses(ScrewLimits(1000, 600, 500), np.array([500.0, -500.0]), np.array([0.0, 300.0]))
    array([0.5, 0.5])
    """
    found: Floats = np.hypot(np.maximum(tension, 0.0) / limits.tension, shear / limits.shear)
    return found


def energy_to_fracture(
    stress_area: float, length: float, yield_strength: float, tensile_strength: float, elongation: float
) -> float:
    """Return the work that a screw in tension takes until it breaks, of its free thread [N mm].

    Parameters
    ----------
    stress_area : float
        Of the thread [mm^2].
    length : float
        Of the thread that is free to stretch [mm].
    yield_strength, tensile_strength : float
        Of the material [MPa].
    elongation : float
        After fracture [-].

    Notes
    -----
    Mean of yield and tensile strength times elongation times volume (common practice, no source); within a factor 2,
    since a short free thread necks in one place.
    """
    return (yield_strength + tensile_strength) / 2 * elongation * stress_area * length
