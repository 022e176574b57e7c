"""Which winding of a motor class suits a propeller: tips well below the speed of sound at full throttle.

Loaded motors turn at about 0.79 of Kv times the voltage of a full pack, those of light long-range frames at 0.85
(both read off our own computation of full throttle over the sizes of the briefs); above Mach
0.7 at the tips small propellers are loud and lose thrust (common practice, no source).
"""

from __future__ import annotations

import math

from platewright.foundation.units import M_PER_INCH, RAD_PER_S_PER_RPM
from platewright.model.catalogue import Motor
from platewright.rotor.air import standard_air

__all__ = ["kv_for_tips", "most_kv"]

_TIP_MACH, _LOADED, _LIGHTLY_LOADED, _FULL_CELL_V = 0.7, 0.79, 0.85, 4.2


def most_kv(diameter_in: float, cells: int, *, light: bool = False) -> float:
    """Return the highest Kv [rpm/V] that keeps the tips of a propeller of this diameter [in] below the usual limit.

    Examples
    --------
    >>> round(most_kv(6.0, 6))
    1499
    """
    tip = _TIP_MACH * standard_air().sound_speed
    speed = tip / (diameter_in * M_PER_INCH / 2) / RAD_PER_S_PER_RPM
    return speed / ((_LIGHTLY_LOADED if light else _LOADED) * _FULL_CELL_V * cells)


def kv_for_tips(motor: Motor, diameter_in: float, cells: int, *, light: bool = False) -> float | None:
    """Return the Kv [rpm/V] to order where the class's usual one is too fast for the propeller, else None."""
    low, high = motor.kv_range_rpm_per_v[f"{cells}s"]
    most = most_kv(diameter_in, cells, light=light)
    typical = motor.winding.kv_rpm_per_v if motor.winding else 0.0
    usual = typical if low <= typical <= high else (low + high) / 2
    return None if usual <= most else max(low, 10 * math.floor(most / 10))
