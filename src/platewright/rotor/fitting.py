"""Coefficients of a propeller and constants of a motor from the rows of a thrust stand, outliers set aside.

Rows far from the fit are left out by `robust`; a few rows cannot pull it, wherever they lie.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import RotorError
from platewright.foundation.units import M_PER_INCH, MM_PER_INCH
from platewright.rotor.robust import robust_line, robust_ratio

__all__ = ["MotorFit", "PropellerFit", "current_limited", "fit_motor", "fit_propeller"]

Array = NDArray[np.float64]
_LEAST_ROWS = 5
_CT = (0.01, 0.5)  # what a static CT can be
_KV = (10.0, 3500.0)  # what Kv can be, in rad/s per volt
_NEAR_LIMIT = 0.955
_TOLD = 0.5  # a no-load current is told where its error is below this share of it, or ...
_TOLD_A = 0.3  # ... below this [A]
_LEAST_SCATTER = 0.005  # of a reading of current, at best [-]


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
    errors : tuple
        Of CT and CP at the reference that nine in ten keep, from the scatter alone, relative [-].
    outliers : tuple of int
        Positions of the rows left out.
    off : tuple of float
        How far each of them lies from the fit of CT, or of CP where that put it aside, relative [-]; NaN without one.
    """

    reference: float
    thrust: tuple[float, float]
    power: tuple[float, float] | None
    scatter: float
    errors: tuple[float, float | None]
    outliers: tuple[int, ...]
    off: tuple[float, ...]


@dataclass(frozen=True)
class MotorFit:
    """Constants of a motor with its controller and leads, from full-command rows.

    Parameters
    ----------
    speed_constant : float
        Kv [rad/s/V].
    resistance : float
        Winding, controller and leads [ohm].
    no_load_current : float or None
        I0 [A]; None where the rows cannot tell it.
    scatter : float
        Standard deviation of the kept rows' voltage about the fit [V].
    errors : tuple
        Of Kv, relative [-], and of the resistance [ohm] that nine in ten keep, from the scatter alone.
    outliers : tuple of int
        Positions of the rows left out.
    off : tuple of float
        How far the voltage of each of them lies from the fit, relative [-]; NaN where a reading is not positive.
    """

    speed_constant: float
    resistance: float
    no_load_current: float | None
    scatter: float
    errors: tuple[float, float]
    outliers: tuple[int, ...]
    off: tuple[float, ...]


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
    _plausible_speed(float(np.median(ct[good])), float(np.median(turns[good])), diameter)
    reference = float(np.median(speed[good]))
    position = np.log(np.where(good, speed, reference) / reference)
    line = robust_line(position, np.log(ct), good)
    kept, off, power, power_error = line.kept, np.where(good, np.expm1(line.residual), np.nan), None, None
    if torque is not None:
        turned = kept & (torque > 0)
        _enough(int(np.count_nonzero(turned)), "rows with positive torque")
        cp = 2 * math.pi * np.where(turned, torque, 1.0) / (density * np.where(turned, turns, 1.0) ** 2 * diameter**5)
        second = robust_line(position, np.log(cp), turned)
        off = np.where(kept & ~second.kept, np.where(turned, np.expm1(second.residual), np.nan), off)
        kept, power, power_error = second.kept, _power_law(second.factors), float(second.error[1])
    out = np.flatnonzero(~kept)
    return PropellerFit(
        reference,
        _power_law(line.factors),
        power,
        line.scatter,
        (float(line.error[1]), power_error),
        tuple(out.tolist()),
        tuple(off[out].tolist()),
    )


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

    scaled = design / np.where(good, voltage, 1.0)[:, None]
    _must_differ(scaled[good])
    fit = robust_ratio(scaled, np.ones(len(scaled)), good)
    kept = fit.kept
    _must_differ(scaled[kept])
    per_speed, resistance = (float(f) for f in fit.factors)
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
    sigma = fit.scatter * float(np.median(voltage[kept]))
    out = np.flatnonzero(~kept)
    off = np.where(good, fit.residual, np.nan)[out]
    errors = float(fit.error[0] / per_speed), float(fit.error[1])
    return MotorFit(kv, resistance, no_load, sigma, errors, tuple(out.tolist()), tuple(off.tolist()))


def _must_differ(scaled: Array) -> None:
    if np.linalg.cond(scaled / np.abs(scaled).mean(axis=0)) > 200:
        message = (
            "rows at full command must differ in current at one voltage, as with several propellers or supplies "
            "(all are alike, so Kv and resistance cannot be told apart); add rows with another load."
        )
        raise RotorError(message)


def _no_load(current: Array, speed: Array, propellers: Sequence[str]) -> float | None:
    """Return I0; None where rows of each propeller at unlike speeds are too few or too alike to tell it."""
    names = sorted(set(propellers))
    mine = np.array([[p == name for name in names] for p in propellers])
    design = np.column_stack([np.ones_like(speed), mine * (speed[:, None] / speed.max()) ** 2])
    spare = current.size - design.shape[1]
    if spare < 1 or np.linalg.matrix_rank(design) < design.shape[1]:
        return None
    found, *_ = np.linalg.lstsq(design, current, rcond=None)
    rest = current - design @ found
    sigma = max(math.sqrt(float(rest @ rest) / spare), _LEAST_SCATTER * float(current.mean()))
    error = sigma * math.sqrt(float(np.linalg.inv(design.T @ design)[0, 0]))
    no_load = float(found[0])
    return no_load if no_load >= 0 and error <= max(_TOLD * no_load, _TOLD_A) else None


def _power_law(factors: Array) -> tuple[float, float]:
    return math.exp(float(factors[1])), float(factors[0])


def _enough(count: int, what: str) -> None:
    if count < _LEAST_ROWS:
        message = f"the table must hold {_LEAST_ROWS} {what} or more (got {count}); measure more points."
        raise RotorError(message)


def _plausible_speed(ct: float, turns: float, diameter: float) -> None:
    if _CT[0] <= ct <= _CT[1]:
        return
    likely = {
        "revolutions per second, so multiply it by 60": ct / 60**2,
        "rad/s, so multiply it by 9.549": ct / (60 / (2 * math.pi)) ** 2,
        "electrical revolutions, so divide it by the pole pairs": ct * 7**2,
    }
    hint = next((f"speed looks like {text}" for text, value in likely.items() if _CT[0] <= value <= _CT[1]), "")
    if _CT[0] <= ct * MM_PER_INCH**4 <= _CT[1]:
        hint = "the diameter looks like millimetres, so divide it by 25.4"
    message = (
        f"speed must be in revolutions per minute, thrust in the unit of its column and the diameter in inches: "
        f"{turns * 60:.0f} at {diameter / M_PER_INCH:g} gives a static CT of {ct:.3g}, where {_CT[0]:g} to {_CT[1]:g} "
        f"is possible; {hint or 'correct the unit of one of them'}."
    )
    raise RotorError(message)
