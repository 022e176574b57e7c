"""How a part lies to the fibres of its sheet, and how stiff a sheet is in a direction.

Modulus of an orthotropic sheet at an angle a to direction 1 (laminate theory):
1/E(a) = cos^4 a / E1 + (1/G12 - 2 nu12/E1) sin^2 a cos^2 a + sin^4 a / E2.
"""

from __future__ import annotations

import math

from platewright.foundation.errors import CatalogueError
from platewright.geometry.loops import Outline, outline_properties
from platewright.model.catalogue import Laminate

__all__ = ["allowed_turns", "fabric_angle", "modulus_share", "weak_share"]

_ISOTROPIC = "e_inplane_mpa"
_SAME = 0.02  # moduli that differ by less are those of a fabric that may be turned by a quarter [-]


def fabric_angle(outline: Outline, grain: float) -> float:
    """Return the angle from the nearest fibres, those along or across the sheet, to a part's long axis.

    Parameters
    ----------
    outline : Outline
        The part [mm].
    grain : float
        Direction 1 of the sheet from the part's +x [rad].
    """
    p = outline_properties(outline)
    axis = 0.5 * math.atan2(2 * p.ixy, p.iyy - p.ixx)
    return math.remainder(axis - grain, math.pi / 2)


def modulus_share(laminate: Laminate, angle: float) -> float:
    """Return the modulus at an angle [rad] to direction 1 over that along it; 1 where the record does not know."""
    try:
        e1, e2, g12, nu12 = (laminate.value(k).typical for k in ("e1_mpa", "e2_mpa", "g12_mpa", "nu12"))
    except CatalogueError:
        return 1.0
    c, s = math.cos(angle) ** 2, math.sin(angle) ** 2
    return 1 / e1 / (c * c / e1 + (1 / g12 - 2 * nu12 / e1) * s * c + s * s / e2)


def weak_share(laminate: Laminate, off: float) -> float:
    """Return the lesser of the shares so far off either fibres, along and across."""
    return min(modulus_share(laminate, off), modulus_share(laminate, math.pi / 2 - off))


def allowed_turns(laminate: Laminate, grain_deg: float, any_turn: bool) -> tuple[float, ...] | None:
    """Return the turns by which a part may lie on its sheet [deg], None for any.

    The part's own fibre direction lies along the sheet, or across it where both moduli are the same.
    """
    if any_turn:
        return None
    steps = (0, 90, 180, 270) if _balanced(laminate) else (0, 180)
    return tuple((step - grain_deg) % 360 for step in steps)


def _balanced(laminate: Laminate) -> bool:
    """Whether a sheet is as stiff across as along: quasi-isotropic, or with equal moduli."""
    if _ISOTROPIC in laminate.properties:
        return True
    moduli = [laminate.properties.get(key) for key in ("e1_mpa", "e2_mpa")]
    if moduli[0] is None or moduli[1] is None:
        return False
    return abs(moduli[0].typical - moduli[1].typical) <= _SAME * moduli[0].typical
