"""A propeller at work: thrust and torque against speed, axial and edgewise inflow, tabulated once for fast use.

Axial inflow is the prediction of `predict`. Edgewise inflow has no measured rows. It is reckoned by equal inflow: what
a blade element gives depends on the total inflow through the disc, so the coefficients are those of the axial advance
ratio whose own momentum theory has the total inflow that Glauert's has in skewed flow, plus the first effect of
edgewise speed on a blade, 3/2 mu^2 of the pitch's part of thrust, and 4.65 mu^2 of profile power.
Sources: Leishman, Principles of Helicopter Aerodynamics, ch. 2 (Glauert), 3 (blade), 5 (drag power); from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from platewright.rotor.predict import Coefficients

__all__ = ["BANDS", "WORKING_SPEEDS", "Bands", "Working", "WorkingPropeller", "tabulate_propeller"]

Array = NDArray[np.float64]
BANDS = ("at rest", "to 0.3", "0.3 to 0.7", "0.7 to 1")
"""Ranges of J over the J of no thrust that have a band of their own."""
Bands = dict[tuple[str, str], float]
"""Relative error by range and quantity, CT or CP [-]."""

WORKING_SPEEDS = np.geomspace(50.0, 6000.0, 25)
"""Speeds of rotation that a propeller is tabulated at [rad/s]."""
_LOG_SPEEDS = np.log(WORKING_SPEEDS)
_SHARES = np.linspace(0.0, 1.0, 41)
_SLOPE_TO = 12  # position in _SHARES, 0.3: slope below rest is that from rest to there
_TO_HELICOPTER = 4 / math.pi**3  # CT on rho n^2 D^4 to T / (rho A (omega R)^2)
_PROFILE = 4.65
_BELOW_REST = 0.5  # least inflow that is followed, as a share of that at rest
_ROUNDS = 20


@dataclass(frozen=True)
class Working:
    """What a propeller does.

    Parameters
    ----------
    thrust, torque : array
        [N] and [N m].
    thrust_coefficient, power_coefficient : array
        CT and CP [-].
    share : array
        Advance ratio of equal inflow over that of no thrust; negative where inflow is less than at rest [-].
    applies : bool array
        False beyond no thrust, in descent, and where edgewise inflow asks more than the range of the tables.
    """

    thrust: Array
    torque: Array
    thrust_coefficient: Array
    power_coefficient: Array
    share: Array
    applies: NDArray[np.bool_]


@dataclass(frozen=True)
class WorkingPropeller:
    """Coefficients on a grid of speed and of J over the J of no thrust.

    Parameters
    ----------
    diameter : float
        Diameter [m].
    blades : int
        Number of blades.
    source : str
        What the numbers come from.
    bands : dict
        Error that nine rows in ten keep, by range of J and quantity; edgewise inflow has none.
    thrust, power : (n_speeds, n_shares) array
        CT and CP [-].
    no_thrust_j : (n_speeds,) array
        Advance ratio of no thrust [-].
    """

    diameter: float
    blades: int
    source: str
    bands: Bands
    thrust: Array
    power: Array
    no_thrust_j: Array

    def at(
        self, speed: ArrayLike, axial: ArrayLike = 0.0, edgewise: ArrayLike = 0.0, density: float = 1.225
    ) -> Working:
        """Return thrust and torque; arguments broadcast.

        Parameters
        ----------
        speed : array-like
            Speed of rotation [rad/s].
        axial : array-like
            Speed of the air along the shaft into the disc, negative in descent [m/s].
        edgewise : array-like
            Speed of the air along the disc [m/s].
        density : float
            Of the air [kg/m^3].

        Returns
        -------
        Working
            In the arguments' common shape.
        """
        omega, v, u = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in (speed, axial, edgewise)))
        tip = omega * self.diameter / 2
        row = self._rows(omega)
        climb, mu = v / tip, np.abs(u) / tip
        share = math.pi * climb / row.no_thrust
        if np.any(mu > 0):
            share = np.where(mu > 0, _equal_inflow(row, climb, mu), share)
        ct, cp = row.thrust(share, mu), row.power(share, mu)
        turns = omega / (2 * math.pi)
        thrust = ct * density * turns**2 * self.diameter**4
        torque = cp * density * turns**2 * self.diameter**5 / (2 * math.pi)
        applies = (share <= 1) & (v >= 0) & (row.inflow(share) > _BELOW_REST * row.inflows[..., 0])
        return Working(thrust, torque, ct, cp, share, applies)

    def static(self, speed: float) -> tuple[float, float]:
        """Return CT and CP at rest at one speed [rad/s]; much faster than `at`."""
        place = math.log(speed)
        ct, cp = (np.interp(place, _LOG_SPEEDS, table[:, 0]) for table in (self.thrust, self.power))
        return float(ct), float(cp)

    def band(self, share: ArrayLike) -> tuple[Array, Array]:
        """Return the relative bands of CT and CP at shares of the J of no thrust.

        Beyond 0.7 a band is a share of the value at rest.
        """
        place = np.searchsorted([0.0, 0.3, 0.7], np.asarray(share, dtype=np.float64), side="left")
        ct, cp = (np.array([self.bands[span, q] for span in BANDS])[place] for q in ("CT", "CP"))
        return ct, cp

    def _rows(self, speed: Array) -> _Rows:
        place = np.interp(np.log(speed), _LOG_SPEEDS, np.arange(WORKING_SPEEDS.size))
        low = np.minimum(place.astype(int), WORKING_SPEEDS.size - 2)
        part = place - low
        ct, cp = ((1 - part)[..., None] * a[low] + part[..., None] * a[low + 1] for a in (self.thrust, self.power))
        no_thrust = (1 - part) * self.no_thrust_j[low] + part * self.no_thrust_j[low + 1]
        return _Rows(ct, cp, no_thrust, _axial_inflow(ct, no_thrust[..., None] * _SHARES))


def tabulate_propeller(
    predict: Callable[[Array, Array], Coefficients], diameter: float, blades: int, source: str, bands: Bands
) -> WorkingPropeller:
    """Tabulate a prediction.

    Parameters
    ----------
    predict : callable
        Coefficients from speeds [rad/s] and advance ratios.
    diameter : float
        Diameter [m].
    blades : int
        Number of blades.
    source : str
        What the numbers come from.
    bands : dict
        As in `WorkingPropeller`.

    Returns
    -------
    WorkingPropeller
        From 50 to 6000 rad/s; held at the ends.
    """
    no_thrust = predict(WORKING_SPEEDS, np.zeros_like(WORKING_SPEEDS)).zero_thrust_j
    made = predict(np.repeat(WORKING_SPEEDS, _SHARES.size), (no_thrust[:, None] * _SHARES).ravel())
    shape = (WORKING_SPEEDS.size, _SHARES.size)
    return WorkingPropeller(
        diameter, blades, source, bands, made.thrust.reshape(shape), made.power.reshape(shape), no_thrust
    )


@dataclass(frozen=True)
class _Rows:
    """Coefficients against share at the speeds asked for, and the inflow over tip speed by momentum theory."""

    ct: Array
    cp: Array
    no_thrust: Array
    inflows: Array

    def inflow(self, share: Array) -> Array:
        return _along(self.inflows, share)

    def thrust(self, share: Array, mu: Array) -> Array:
        rest, there = self.ct[..., 0], self.inflows
        slope = (rest - self.ct[..., -1]) / (there[..., -1] - there[..., 0])
        return _along(self.ct, share) + 1.5 * mu**2 * slope * there[..., -1]

    def power(self, share: Array, mu: Array) -> Array:
        """Return CP: what lifting takes, by momentum, and the rest, the blades' drag, which edgewise speed adds to."""
        ct, cp, inflow = _along(self.ct, share), _along(self.cp, share), self.inflow(share)
        lifting = math.pi * ct * inflow
        drag = np.maximum(cp - lifting, 0.0)
        return cp + _PROFILE * mu**2 * drag + math.pi * (self.thrust(share, mu) - ct) * inflow


def _along(table: Array, share: Array) -> Array:
    """Interpolate along the last axis; straight on beyond both ends."""
    place = np.asarray(share, dtype=np.float64) * (_SHARES.size - 1)
    low = np.clip(place.astype(int), 0, _SHARES.size - 2)
    part = place - low
    first = np.take_along_axis(table, low[..., None], axis=-1)[..., 0]
    second = np.take_along_axis(table, low[..., None] + 1, axis=-1)[..., 0]
    inside = first + part * (second - first)
    slope = (table[..., _SLOPE_TO] - table[..., 0]) / _SLOPE_TO
    return np.asarray(np.where(place < 0, table[..., 0] + slope * place, inside), dtype=np.float64)


def _axial_inflow(ct: Array, advance: Array) -> Array:
    climb = advance / math.pi
    return np.asarray(climb / 2 + np.sqrt(climb**2 / 4 + np.maximum(_TO_HELICOPTER * ct, 0.0) / 2), dtype=np.float64)


def _equal_inflow(row: _Rows, climb: Array, mu: Array) -> Array:
    """Bisect for the share whose axial inflow is climb + CT / (2 sqrt(mu^2 + inflow^2)), Glauert's."""
    low, high = np.full(climb.shape, -1.5), np.full(climb.shape, 2.0)
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        inflow = row.inflow(middle)
        thrust = np.maximum(_TO_HELICOPTER * row.thrust(middle, mu), 0.0)
        excess = inflow - climb - thrust / 2 / np.hypot(mu, np.maximum(inflow, 1e-6))
        low, high = np.where(excess < 0, middle, low), np.where(excess < 0, high, middle)
    return np.asarray((low + high) / 2)
