"""A propeller at work on a grid of speed, axial and edgewise inflow, for the many calls of a trim.

`working` solves for the inflow at every call; here that is done once for 20 000 states, between which values are taken
by straight lines: within 1 % of it and mostly 0.2 %. Inflows are over the tip's speed. Held at the ends of speed and of
edgewise inflow, carried on straight beyond those of axial inflow.
"""

from __future__ import annotations

import functools
import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from platewright.rotor.working import Working, WorkingPropeller

__all__ = ["GriddedPropeller", "gridded"]

Array = NDArray[np.float64]
_SPEEDS = np.geomspace(120.0, 6000.0, 9)  # rad/s
_AXIAL = np.linspace(-0.12, 0.42, 69)
_EDGEWISE = np.linspace(1e-6, 0.66, 34)  # not from 0, where `working` takes axial inflow alone
_LEAST_SPEED = 1.0  # rad/s


class GriddedPropeller:
    """Coefficients between grid points.

    Parameters
    ----------
    diameter : float
        Diameter [m].
    values : (n_speeds, n_axial, n_edgewise, 3) array
        CT, CP and the share of the J of no thrust.
    """

    def __init__(self, diameter: float, values: Array) -> None:
        self.diameter = diameter
        self._values = values

    def at(
        self, speed: ArrayLike, axial: ArrayLike = 0.0, edgewise: ArrayLike = 0.0, density: float = 1.225
    ) -> Working:
        """Return thrust and torque as `WorkingPropeller.at` does.

        Parameters
        ----------
        speed : array-like
            Speed of rotation [rad/s].
        axial, edgewise : array-like
            Speed of the air along the shaft into the disc, and along the disc [m/s].
        density : float
            Of the air [kg/m^3].
        """
        omega, v, u = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in (speed, axial, edgewise)))
        tip = np.maximum(omega, _LEAST_SPEED) * self.diameter / 2
        span = math.log(_SPEEDS[1] / _SPEEDS[0])
        i, a = _cell(np.log(np.maximum(omega, _LEAST_SPEED) / _SPEEDS[0]) / span, _SPEEDS.size, held=True)
        j, b = _cell((v / tip - _AXIAL[0]) / (_AXIAL[1] - _AXIAL[0]), _AXIAL.size, held=False)
        k, c = _cell((np.abs(u) / tip - _EDGEWISE[0]) / (_EDGEWISE[1] - _EDGEWISE[0]), _EDGEWISE.size, held=True)
        flat = self._values.reshape(-1, 3)
        first = (i * _AXIAL.size + j) * _EDGEWISE.size + k
        found = np.zeros((*omega.shape, 3))
        for di, wa in ((0, 1 - a), (1, a)):
            for dj, wb in ((0, 1 - b), (1, b)):
                at = first + (di * _AXIAL.size + dj) * _EDGEWISE.size
                low, high = flat[at], flat[at + 1]
                found += (wa * wb)[..., None] * (low + c[..., None] * (high - low))
        ct, cp, share = (found[..., n] for n in range(3))
        turns = omega / (2 * math.pi)
        thrust = ct * density * turns**2 * self.diameter**4
        torque = cp * density * turns**2 * self.diameter**5 / (2 * math.pi)
        return Working(thrust, torque, ct, cp, share, (share <= 1) & (v >= 0))


def gridded(propeller: WorkingPropeller) -> GriddedPropeller:
    """Return a propeller on the grid; one with the same tables is worked out once in a process.

    Parameters
    ----------
    propeller : WorkingPropeller
        From `tabulate_propeller`.
    """
    tables = tuple(t.tobytes() for t in (propeller.thrust, propeller.power, propeller.no_thrust_j))
    return _gridded(propeller.diameter, propeller.blades, *tables)


@functools.lru_cache(maxsize=32)
def _gridded(diameter: float, blades: int, thrust: bytes, power: bytes, no_thrust: bytes) -> GriddedPropeller:
    j = np.frombuffer(no_thrust)
    ct, cp = (np.frombuffer(t).reshape(j.size, -1) for t in (thrust, power))
    speed, axial, edgewise = (g[:, None, None] if n == 0 else g for n, g in enumerate((_SPEEDS, _AXIAL, _EDGEWISE)))
    tip = speed * diameter / 2
    made = WorkingPropeller(diameter, blades, "", {}, ct, cp, j).at(speed, axial[:, None] * tip, edgewise * tip)
    values = np.stack([made.thrust_coefficient, made.power_coefficient, made.share], axis=-1)
    return GriddedPropeller(diameter, np.ascontiguousarray(values))


def _cell(place: Array, count: int, held: bool) -> tuple[NDArray[np.intp], Array]:
    """Return the cell below a place on a grid and how far within it; beyond the ends 0 or 1, or carried on."""
    low = np.clip(np.floor(place), 0, count - 2).astype(np.intp)
    part = place - low
    return low, np.clip(part, 0.0, 1.0) if held else part
