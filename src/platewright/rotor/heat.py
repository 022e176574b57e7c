"""How warm a motor gets: what its bell sheds in the propeller's wash, and how long it bears a loss that it cannot shed.

Heat goes from bell and base by forced convection, 120 W/(m2 K) in the wash (from memory, +-50 %); half of the motor's
mass, copper and iron at 420 J/(kg K), takes up what is left. Windings bear 120 degrees C, the air is at 30 (common
practice, no source).
"""

from __future__ import annotations

import math

__all__ = ["RISE", "heating_time", "shed_power"]

RISE = 90.0
"""From the air to what a winding bears [K]."""
_CONVECTION = 120.0  # W/(m^2 K)
_HEAT_CAPACITY = 420.0  # J/(kg K)
_WARM_SHARE = 0.5


def shed_power(diameter: float, height: float, rise: float = RISE) -> float:
    """Return the loss that a motor sheds for ever.

    Parameters
    ----------
    diameter, height : float
        Of the motor's body [m].
    rise : float
        Above the air [K].

    Returns
    -------
    float
        Power [W].

    Examples
    --------
    >>> round(shed_power(0.028, 0.0185))
    31
    """
    area = math.pi * diameter * height + 2 * math.pi / 4 * diameter**2
    return _CONVECTION * area * rise


def heating_time(mass: float, loss: float, shed: float, rise: float = RISE) -> float:
    """Return the time in which a cold motor reaches its limit under a steady loss; infinite where it never does.

    Parameters
    ----------
    mass : float
        Of the motor [kg].
    loss : float
        Electric less shaft power [W].
    shed : float
        What it sheds at the limit [W].
    rise : float
        Above the air [K].

    Returns
    -------
    float
        Time [s].

    Notes
    -----
    m c dT/dt = loss - shed T / rise.
    """
    if loss <= shed:
        return math.inf
    constant = _WARM_SHARE * mass * _HEAT_CAPACITY * rise / shed
    return -constant * math.log(1 - shed / loss)
