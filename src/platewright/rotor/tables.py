"""A measured propeller: rows of thrust and power coefficient, and the blade where it was measured.

CT = T/(rho n^2 D^4), CP = P/(rho n^3 D^5) with n in revolutions per second; J = V/(n D). The Reynolds number here is
n D^2 over the kinematic viscosity of air at sea level: it needs no chord.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.air import standard_air

__all__ = ["Blade", "PropellerSize", "PropellerTable", "reynolds_number", "zero_thrust_advance_ratio"]

Array = NDArray[np.float64]
_LOW_THRUST = 0.04  # rows below this CT give the zero crossing by a straight line


@dataclass(frozen=True)
class Blade:
    """A blade at stations from hub to tip.

    Parameters
    ----------
    radius, chord : (n_stations,) array
        Both as shares of the tip radius [-].
    twist : (n_stations,) array
        Angle of the chord from the disc [rad].
    """

    radius: Array
    chord: Array
    twist: Array

    def at(self, radius: float) -> tuple[float, float]:
        """Return chord [-] and twist [rad] at a share of the tip radius."""
        chord = float(np.interp(radius, self.radius, self.chord))
        return chord, float(np.interp(radius, self.radius, self.twist))


@dataclass(frozen=True)
class PropellerSize:
    """What is printed on a propeller.

    Parameters
    ----------
    diameter : float
        Diameter [m].
    pitch : float
        Nominal pitch [m].
    blades : int
        Number of blades.
    """

    diameter: float
    pitch: float
    blades: int

    def __post_init__(self) -> None:
        if not (self.diameter > 0 and self.pitch > 0 and self.blades >= 2):
            message = f"diameter and pitch must be positive and blades 2 or more (got {self})."
            raise ValueError(message)


@dataclass(frozen=True)
class PropellerTable:
    """Measured rows of one propeller.

    Parameters
    ----------
    name : str
        Its id.
    size : PropellerSize
        Diameter, pitch, blades.
    advance_ratio : (n_rows,) array
        J, 0 at rest [-].
    speed : (n_rows,) array
        Speed of rotation [rad/s].
    thrust_coefficient, power_coefficient : (n_rows,) array
        CT and CP [-].
    blade : Blade or None
        The blade, where it was measured.
    """

    name: str
    size: PropellerSize
    advance_ratio: Array
    speed: Array
    thrust_coefficient: Array
    power_coefficient: Array
    blade: Blade | None = None

    @cached_property
    def at_rest(self) -> NDArray[np.bool_]:
        """Which rows are static."""
        return np.equal(self.advance_ratio, 0)

    @cached_property
    def has_static(self) -> bool:
        """Whether any row is static."""
        return bool(np.any(self.at_rest))

    def static(self, speed: Array) -> tuple[Array, Array]:
        """Return static CT and CP at a speed: straight lines in ln(speed) through the static rows, held at the ends.

        Parameters
        ----------
        speed : (n,) array
            Speed of rotation [rad/s].

        Returns
        -------
        (n,) array, (n,) array
            CT and CP [-].
        """
        low, high, ct, cp = self._static_lines
        wanted = np.clip(np.log(speed), low, high)
        return np.polyval(ct, wanted), np.polyval(cp, wanted)

    @cached_property
    def _static_lines(self) -> tuple[float, float, Array, Array]:
        """Ends in ln(speed) and the two lines."""
        known = np.log(self.speed[self.at_rest])
        degree = min(1, known.size - 1)
        ct, cp = (np.polyfit(known, c[self.at_rest], degree) for c in (self.thrust_coefficient, self.power_coefficient))
        return float(known.min()), float(known.max()), ct, cp


def reynolds_number(speed: Array, diameter: float | Array) -> Array:
    """Return n D^2 / nu at sea level.

    Parameters
    ----------
    speed : (n,) array
        Speed of rotation [rad/s].
    diameter : float or (n,) array
        Diameter [m].

    Returns
    -------
    (n,) array
        Reynolds number by the diameter [-].

    Examples
    --------
    >>> round(float(reynolds_number(np.array([2000.0]), 0.127)[0]), -3)
    351000.0
    """
    return np.asarray(speed / (2 * math.pi) * diameter**2 / standard_air().kinematic_viscosity, dtype=np.float64)


def zero_thrust_advance_ratio(table: PropellerTable) -> float:
    """Return the J at which thrust vanishes, by a line through the rows of little thrust; NaN where there are too few.

    Parameters
    ----------
    table : PropellerTable
        Measured rows.

    Returns
    -------
    float
        Advance ratio [-].
    """
    low = (table.thrust_coefficient < _LOW_THRUST) & ~table.at_rest
    if np.count_nonzero(low) < 3:
        return math.nan
    return float(np.polyfit(table.thrust_coefficient[low], table.advance_ratio[low], 1)[1])
