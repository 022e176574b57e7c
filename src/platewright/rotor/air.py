"""The standard atmosphere up to 11 km, by geopotential height.

Source: ISO 2533:1975, constants from memory; the tables of `docs/verification.md` agree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["STANDARD_GRAVITY", "Air", "standard_air"]

STANDARD_GRAVITY = 9.80665  # m/s^2, by definition
_GAS = 287.05287  # J/(kg K), dry air
_SEA_TEMPERATURE = 288.15  # K
_SEA_PRESSURE = 101_325.0  # Pa
_LAPSE = 0.0065  # K/m
_HEAT_RATIO = 1.4
_SUTHERLAND = (1.458e-6, 110.4)  # kg/(m s K^0.5), K
_CEILING = 11_000.0


@dataclass(frozen=True)
class Air:
    """Air at rest.

    Parameters
    ----------
    temperature : float
        Absolute temperature [K].
    pressure : float
        Static pressure [Pa].
    density : float
        Density [kg/m^3].
    viscosity : float
        Dynamic viscosity [Pa s].
    sound_speed : float
        Speed of sound [m/s].
    """

    temperature: float
    pressure: float
    density: float
    viscosity: float
    sound_speed: float

    @property
    def kinematic_viscosity(self) -> float:
        """Viscosity over density [m^2/s]."""
        return self.viscosity / self.density


def standard_air(height: float = 0.0, offset: float = 0.0) -> Air:
    """Return the air of the standard atmosphere, or of a day that is warmer by `offset` at the same pressure.

    Parameters
    ----------
    height : float
        Geopotential height, -1000 to 11 000 [m].
    offset : float
        Temperature above the standard [K].

    Returns
    -------
    Air
        Dry air.

    Raises
    ------
    ValueError
        If the height is outside the range.

    Examples
    --------
    >>> round(standard_air(1000).density, 4)
    1.1116
    """
    if not -1000 <= height <= _CEILING:
        message = f"height must lie between -1000 and {_CEILING:.0f} m (got {height:g})."
        raise ValueError(message)
    standard = _SEA_TEMPERATURE - _LAPSE * height
    pressure = _SEA_PRESSURE * (standard / _SEA_TEMPERATURE) ** (STANDARD_GRAVITY / (_GAS * _LAPSE))
    temperature = standard + offset
    factor, constant = _SUTHERLAND
    return Air(
        temperature,
        pressure,
        pressure / (_GAS * temperature),
        factor * temperature**1.5 / (temperature + constant),
        math.sqrt(_HEAT_RATIO * _GAS * temperature),
    )
