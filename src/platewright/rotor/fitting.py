"""Coefficients of a propeller and constants of a motor from the rows of a thrust stand, outliers set aside.

Rows are left out when they lie further from the fit than 3.5 times its scaled median absolute deviation.
Source: Rousseeuw & Leroy, Robust Regression and Outlier Detection (1987), ch. 1, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import RotorError

__all__ = ["MotorFit", "PropellerFit", "current_limited", "fit_motor", "fit_propeller"]

Array = NDArray[np.float64]
_LEAST_ROWS = 5
_OUTLIER = 3.5
_TO_SIGMA = 1.4826  # median absolute deviation to standard deviation of a normal law
_CT = (0.01, 0.5)  # what a static CT can be
_KV = (10.0, 3500.0)  # what Kv can be, in rad/s per volt
_NEAR_LIMIT = 0.955
_ROUNDS = 10


@dataclass(frozen=True)
class PropellerFit:
    """Static coefficients C = value * (speed / reference)^slope.

    Parameters
    ----------
    reference : float
        Middle speed of the rows [rad/s].
    thrust : tuple
        Value and slope of CT [-].
    power : tuple or None
        Value and slope of CP, where torque was measured [-].
    scatter : float
        Standard deviation of the kept rows about the fit of CT, relative [-].
    outliers : tuple of int
        Positions of the rows left out.
    """

    reference: float
    thrust: tuple[float, float]
    power: tuple[float, float] | None
    scatter: float
    outliers: tuple[int, ...]


@dataclass(frozen=True)
class MotorFit:
    """Constants of a motor with its controller and leads, from full-command rows.

    Parameters
    ----------
    speed_constant : float
        Kv [rad/s/V].
    resistance : float
        Winding, controller and leads [ohm].
    no_load_current : float
        I0 [A]; a fit that would make it negative gives 0.
    scatter : float
        Standard deviation of the kept rows' voltage about the fit [V].
    outliers : tuple of int
        Positions of the rows left out.
    """

    speed_constant: float
    resistance: float
    no_load_current: float
    scatter: float
    outliers: tuple[int, ...]


def current_limited(current: Array, runs: Sequence[str]) -> NDArray[np.bool_]:
    """Return which rows a bench's own limit of current cut short.

    Parameters
    ----------
    current : (n_rows,) array
        Current [A].
    runs : sequence of str
        Run of each row.

    Returns
    -------
    (n_rows,) bool array
        Rows within 4.5 % of the greatest current, if three runs or more come that near to it; else none.
    """
    near = current > _NEAR_LIMIT * current.max()
    reached = {run for run, is_near in zip(runs, near, strict=True) if is_near}
    return np.asarray(near) if len(reached) >= 3 else np.zeros(current.size, dtype=np.bool_)


def fit_propeller(
    speed: Array, thrust: Array, diameter: float, density: float, torque: Array | None = None
) -> PropellerFit:
    """Fit static CT, and CP where torque is known, with their slope against speed.

    Parameters
    ----------
    speed : (n_rows,) array
        Speed of rotation [rad/s].
    thrust : (n_rows,) array
        Static thrust [N].
    diameter : float
        Diameter [m].
    density : float
        Of the air [kg/m^3].
    torque : (n_rows,) array or None
        At the shaft [N m].

    Returns
    -------
    PropellerFit
        Coefficients; rows without thrust count as outliers.

    Raises
    ------
    RotorError
        If there are fewer than five rows with thrust, or the speeds are in another unit.
    """
    good = (thrust > 0) & (speed > 0)
    _enough(int(np.count_nonzero(good)), "rows with positive thrust and speed")
    turns = speed / (2 * math.pi)
    ct = np.where(good, thrust, 1.0) / (density * np.where(good, turns, 1.0) ** 2 * diameter**4)
    _plausible_speed(float(np.median(ct[good])), float(np.median(turns[good])))
    reference = float(np.median(speed[good]))
    position = np.log(np.where(good, speed, reference) / reference)
    line, kept, scatter = _line(position, np.log(ct), good)
    power = None
    if torque is not None:
        good = kept & (torque > 0)
        _enough(int(np.count_nonzero(good)), "rows with positive torque")
        cp = 2 * math.pi * np.where(good, torque, 1.0) / (density * np.where(good, turns, 1.0) ** 2 * diameter**5)
        power, kept, _ = _line(position, np.log(cp), good)
    return PropellerFit(reference, line, power, scatter, tuple(np.flatnonzero(~kept).tolist()))


def fit_motor(voltage: Array, current: Array, speed: Array, propellers: Sequence[str]) -> MotorFit:
    """Fit Kv, resistance and no-load current to rows at full command.

    Parameters
    ----------
    voltage, current : (n_rows,) array
        Measured before the controller [V] and [A].
    speed : (n_rows,) array
        Speed of rotation [rad/s].
    propellers : sequence of str
        Propeller of each row; torque of one goes with the square of speed.

    Returns
    -------
    MotorFit
        Constants.

    Raises
    ------
    RotorError
        If there are fewer than five rows, they are all alike, or the speeds are in another unit.

    Notes
    -----
    V = omega / Kv + R I, and I = I0 + Kv k omega^2 with a k for each propeller.
    """
    good = (voltage > 0) & (current > 0) & (speed > 0)
    _enough(int(np.count_nonzero(good)), "rows at full command")
    design = np.column_stack([speed, current])

    def solve(rows: NDArray[np.bool_]) -> Array:
        scaled = design[rows] / voltage[rows, None]
        if np.linalg.cond(scaled / np.abs(scaled).mean(axis=0)) > 200:
            message = (
                "rows at full command must differ in current at one voltage, as with several propellers or supplies "
                "(all are alike, so Kv and resistance cannot be told apart); add rows with another load."
            )
            raise RotorError(message)
        found, *_ = np.linalg.lstsq(scaled, np.ones(len(scaled)), rcond=None)
        return np.asarray(found, dtype=np.float64)

    (per_speed, resistance), kept, scatter = _robust(solve, lambda x: 1 - design @ x / voltage, good)
    kv = 1 / per_speed
    if not (_KV[0] < kv < _KV[1] and resistance > 0):
        rpm = kv * 60 / (2 * math.pi)
        message = (
            f"speeds must be mechanical revolutions per minute: the rows give Kv {rpm:.0f} rpm/V and "
            f"{resistance:.3f} ohm, where 100 to 33 000 rpm/V and more than 0 ohm are possible; correct the unit or "
            "the rows."
        )
        raise RotorError(message)
    no_load = _no_load(current[kept], speed[kept], [p for p, k in zip(propellers, kept, strict=True) if k])
    sigma = scatter * float(np.median(voltage[kept]))
    return MotorFit(kv, float(resistance), no_load, sigma, tuple(np.flatnonzero(~kept).tolist()))


def _no_load(current: Array, speed: Array, propellers: Sequence[str]) -> float:
    names = sorted(set(propellers))
    mine = np.array([[p == name for name in names] for p in propellers])
    design = np.column_stack([np.ones_like(speed), mine * (speed[:, None] / speed.max()) ** 2])
    found, *_ = np.linalg.lstsq(design, current, rcond=None)
    return max(0.0, float(found[0]))


def _line(
    position: Array, value: Array, good: NDArray[np.bool_]
) -> tuple[tuple[float, float], NDArray[np.bool_], float]:
    def solve(rows: NDArray[np.bool_]) -> Array:
        degree = 1 if np.ptp(position[rows]) > 0.1 else 0
        slope, level = (0.0, *np.polyfit(position[rows], value[rows], degree))[-2:]
        return np.array([slope, level])

    (slope, level), kept, scatter = _robust(solve, lambda x: value - np.polyval(x, position), good)
    return (math.exp(level), float(slope)), kept, scatter


def _robust(
    solve: Callable[[NDArray[np.bool_]], Array], residual: Callable[[Array], Array], good: NDArray[np.bool_]
) -> tuple[Array, NDArray[np.bool_], float]:
    """Fit, set aside what lies far off, and fit again until nothing changes; half of the rows stay at least."""
    kept, found = good, solve(good)
    for _ in range(_ROUNDS):
        rest = np.abs(residual(found))
        scale = max(_TO_SIGMA * float(np.median(rest[good])), 1e-6)
        fresh = good & (rest <= max(_OUTLIER * scale, float(np.median(rest[good]))))
        if np.array_equal(fresh, kept):
            break
        kept, found = fresh, solve(fresh)
    return found, kept, float(np.std(residual(found)[kept]))


def _enough(count: int, what: str) -> None:
    if count < _LEAST_ROWS:
        message = f"the table must hold {_LEAST_ROWS} {what} or more (got {count}); measure more points."
        raise RotorError(message)


def _plausible_speed(ct: float, turns: float) -> None:
    if _CT[0] <= ct <= _CT[1]:
        return
    likely = {
        "revolutions per second, so multiply it by 60": ct / 60**2,
        "rad/s, so multiply it by 9.549": ct / (60 / (2 * math.pi)) ** 2,
        "electrical revolutions, so divide it by the pole pairs": ct * 7**2,
    }
    hint = next((text for text, value in likely.items() if _CT[0] <= value <= _CT[1]), "in another unit, or thrust is")
    message = (
        f"speed must be in revolutions per minute: {turns * 60:.0f} gives a static CT of {ct:.3g}, where "
        f"{_CT[0]:g} to {_CT[1]:g} is possible; it looks like {hint}."
    )
    raise RotorError(message)
