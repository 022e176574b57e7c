"""Speed, thrust and current of motors with propellers at full command, fitted together to one thrust stand.

Each motor has Kv, R and I0, each propeller a torque and a thrust at one speed; torque and thrust go with powers of
speed near 2 that all share, I0 with a power of voltage. A motor also has a small factor on thrust, since its bell and
arm stand in the wake. Wide normal priors keep what the rows do not tell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

__all__ = ["PairRows", "Pairs", "fit_pairs"]

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
_SPEED, _VOLTAGE = 1500.0, 10.0  # where the fitted torque, thrust [rad/s] and I0 [V] stand
_TYPICAL = (0.12, 0.6, 0.035, 2.8)  # R [ohm], I0 [A], torque [N m], thrust [N] of 5-inch propellers at that speed
_SIGMA = (0.006, 0.02, 0.012)  # of ln speed, thrust, current: how exact rows are
_PRIOR_WIDTHS = (3.0, 3.0, 0.02, 0.1, 0.3)  # of ln R, ln I0, thrust factor, powers of speed, power of voltage
_ROUNDS = 12


@dataclass(frozen=True)
class PairRows:
    """Rows at full command.

    Parameters
    ----------
    motor, propeller : (n_rows,) int array
        Numbers of motor and propeller.
    nominal_kv : (n_motors,) array
        What is printed on the motors [rad/s/V].
    n_propellers : int
        How many propellers there are, with rows or without.
    voltage, speed, thrust, current : (n_rows,) array
        Measured [V], [rad/s], [N], [A].
    """

    motor: Indices
    propeller: Indices
    nominal_kv: Array
    n_propellers: int
    voltage: Array
    speed: Array
    thrust: Array
    current: Array

    def only(self, rows: NDArray[np.bool_]) -> PairRows:
        """Return some of the rows; motors and propellers keep their numbers."""
        picked = (a[rows] for a in (self.voltage, self.speed, self.thrust, self.current))
        return PairRows(self.motor[rows], self.propeller[rows], self.nominal_kv, self.n_propellers, *picked)


@dataclass(frozen=True)
class Pairs:
    """A fit.

    Parameters
    ----------
    kv, resistance, no_load, blocking : (n_motors,) array
        ln Kv, ln R, ln I0 and ln of the factor on thrust.
    torque, thrust : (n_propellers,) array
        ln of torque and thrust at 1500 rad/s.
    powers : (3,) array
        Of speed for torque and thrust, of voltage for I0 [-].
    """

    kv: Array
    resistance: Array
    no_load: Array
    blocking: Array
    torque: Array
    thrust: Array
    powers: Array

    def logarithms(self, motor: Indices, propeller: Indices, voltage: Array) -> tuple[Array, Array, Array]:
        """Return ln speed [rad/s], ln thrust [N] and ln current [A] of pairs.

        Parameters
        ----------
        motor, propeller : (n_rows,) int array
            Numbers of motor and propeller.
        voltage : (n_rows,) array
            At full command, under load [V].

        Returns
        -------
        three (n_rows,) arrays
            Logarithms.
        """
        kv, resistance = np.exp(self.kv[motor]), np.exp(self.resistance[motor])
        no_load = np.exp(self.no_load[motor]) * (voltage / _VOLTAGE) ** self.powers[2]
        speed = 0.8 * kv * voltage
        for _ in range(_ROUNDS):  # Newton's method on omega = Kv (V - R I)
            torque = np.exp(self.torque[propeller]) * (speed / _SPEED) ** self.powers[0]
            excess = speed - kv * (voltage - resistance * (no_load + kv * torque))
            slope = 1 + kv**2 * resistance * torque * self.powers[0] / speed
            speed = np.maximum(speed - excess / slope, 0.05 * kv * voltage)
        torque = np.exp(self.torque[propeller]) * (speed / _SPEED) ** self.powers[0]
        thrust = self.thrust[propeller] + self.blocking[motor] + self.powers[1] * np.log(speed / _SPEED)
        return np.log(speed), thrust, np.log(no_load + kv * torque)


def fit_pairs(rows: PairRows) -> Pairs:
    """Fit all motors and propellers together, far rows weighing less.

    A motor or propeller without rows gets what is typical of the others: Kv by its nominal one.

    Parameters
    ----------
    rows : PairRows
        At full command, none cut short by the bench.

    Returns
    -------
    Pairs
        The fit.
    """
    n_motors, n_propellers = rows.nominal_kv.size, rows.n_propellers
    typical = np.log(_TYPICAL)
    counts = (n_motors, n_motors, n_motors, n_motors, n_propellers, n_propellers, 3)
    ends = np.cumsum(counts)[:-1]
    nominal = np.log(0.95 * rows.nominal_kv)
    start = np.concatenate(
        [
            nominal,
            np.full(n_motors, typical[0]),
            np.full(n_motors, typical[1]),
            np.zeros(n_motors),
            np.full(n_propellers, typical[2]),
            np.full(n_propellers, typical[3]),
            [2.0, 2.0, 0.5],
        ]
    )
    widths = _PRIOR_WIDTHS
    prior = np.concatenate(
        [
            np.full(n_motors, 1.0),
            np.full(n_motors, widths[0]),
            np.full(n_motors, widths[1]),
            np.full(n_motors, widths[2]),
            np.full(2 * n_propellers, 1.0),
            [widths[3], widths[3], widths[4]],
        ]
    )
    measured = [np.log(x) for x in (rows.speed, rows.thrust, rows.current)]

    def residual(x: Array) -> Array:
        made = Pairs(*np.split(x, ends)).logarithms(rows.motor, rows.propeller, rows.voltage)
        misfit = [(m - p) / s for m, p, s in zip(measured, made, _SIGMA, strict=True)]
        return np.concatenate([*misfit, (x - start) / prior])

    found = least_squares(residual, start, loss="soft_l1", f_scale=1.5, max_nfev=40)
    return _filled(Pairs(*np.split(found.x, ends)), rows, nominal)


def _filled(fit: Pairs, rows: PairRows, nominal: Array) -> Pairs:
    """Give motors and propellers without rows the middle of the others."""
    has = np.isin(np.arange(fit.kv.size), rows.motor)
    turned = np.isin(np.arange(fit.torque.size), rows.propeller)
    return Pairs(
        np.where(has, fit.kv, nominal + np.median((fit.kv - nominal)[has])),
        np.where(has, fit.resistance, np.median(fit.resistance[has])),
        np.where(has, fit.no_load, np.median(fit.no_load[has])),
        np.where(has, fit.blocking, 0.0),
        np.where(turned, fit.torque, np.median(fit.torque[turned])),
        np.where(turned, fit.thrust, np.median(fit.thrust[turned])),
        fit.powers,
    )
