"""Power, current, range and what is left of the rotors' authority in trimmed flight.

Authority is counted in speed of rotation about the mean: rotors behind may go up to full throttle, rotors ahead down to
idle, and the smaller of the two is what pitching has. Trim takes `share` of it. Full throttle is that of the sagged
battery in the air that meets the disc. Idle is a tenth of full speed (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.battery import USABLE_FRACTION, Pack
from platewright.rotor.motor import Motor
from platewright.rotor.trim_records import Propelled, Trim

__all__ = ["Flight", "fly", "top_speed"]

Array = NDArray[np.float64]
_IDLE = 0.1
_ROUNDS = 4
_LEAST_AVAILABLE = 1e-3
_LEAST_DRIVE = 1.0  # rad/s, of a motor that the battery cannot turn
_S_PER_H = 3600.0


@dataclass(frozen=True)
class Flight:
    """What trimmed flight takes; axes are those of `Trim`.

    Parameters
    ----------
    power, current : (c, s) array
        Out of the battery [W] and [A]; NaN where it cannot give the power.
    endurance : (c, s) array
        On the usable charge [s].
    range : (c, s) array
        Through still air [m].
    motor_current : (c, s, n) array
        Of each motor [A].
    full_speed : (c, s, n) array
        Speed of rotation at full throttle [rad/s].
    used : (c, s) array
        Largest speed of rotation over that at full throttle [-]; above 1 the flight cannot be held.
    eaten : (c, s) array
        Share of the pitching authority that trim takes [-]; 1 and more where nothing is left.
    """

    power: Array
    current: Array
    endurance: Array
    range: Array
    motor_current: Array
    full_speed: Array
    used: Array
    eaten: Array


def fly(
    trimmed: Trim,
    propeller: Propelled,
    motor: Motor,
    pack: Pack,
    speeds: Array,
    *,
    charge: float = 0.5,
    other_power: float = 0.0,
    density: float = 1.225,
) -> Flight:
    """Return what trimmed flight takes.

    Parameters
    ----------
    trimmed : Trim
        From `trim`.
    propeller : Propelled
        That it was trimmed with.
    motor, pack : Motor, Pack
        On each rotor; the battery.
    speeds : (s,) array
        That it was trimmed at [m/s].
    charge : float
        Of the battery, 0 to 1 [-].
    other_power : float
        Of boards, camera and transmitter [W].
    density : float
        Of the air [kg/m^3].

    Returns
    -------
    Flight
        Values where the balance was not found are without meaning; see `Trim.applies`.
    """
    motor_current = motor.no_load_current + motor.speed_constant * np.maximum(trimmed.torque, 0.0)
    voltage = trimmed.speed / motor.speed_constant + motor_current * motor.resistance
    power = (voltage * motor_current).sum(axis=-1) + other_power
    open_voltage = pack.open_voltage(charge)
    root = open_voltage**2 - 4 * pack.resistance * power
    current = np.where(root >= 0, 2 * power / (open_voltage + np.sqrt(np.maximum(root, 0.0))), np.nan)
    endurance = USABLE_FRACTION * pack.capacity * _S_PER_H / current
    left = open_voltage - pack.resistance * other_power / open_voltage  # what boards and camera leave at full throttle
    full = _full_speed(trimmed, propeller, motor, pack, left, density)
    used = (trimmed.speed / full).max(axis=-1)
    return Flight(power, current, endurance, endurance * speeds, motor_current, full, used, _eaten(trimmed, full))


def top_speed(used: Array, applies: NDArray[np.bool_], speeds: Array) -> float | None:
    """Return the speed at which a rotor reaches full throttle.

    Parameters
    ----------
    used : (s,) array
        From `fly` [-].
    applies : (s,) bool array
        From `trim`; speeds where it is false end the search.
    speeds : (s,) array
        Rising [m/s].

    Returns
    -------
    float or None
        By a straight line between speeds [m/s]; None where full throttle is not reached among them.

    Examples
    --------
    >>> top_speed(np.array([0.5, 0.75, 1.25]), np.array([True, True, True]), np.array([0.0, 10.0, 20.0]))
    15.0
    """
    for n in range(1, len(speeds)):
        if not (applies[n] and applies[n - 1]):
            continue
        if used[n] >= 1 > used[n - 1]:
            part = (1 - used[n - 1]) / (used[n] - used[n - 1])
            return float(speeds[n - 1] + part * (speeds[n] - speeds[n - 1]))
    return None


def _full_speed(
    trimmed: Trim, propeller: Propelled, motor: Motor, pack: Pack, open_voltage: float, density: float
) -> Array:
    """Solve motor against propeller with all motors on the sagging battery, torque brought up to date each round."""
    resistance = motor.resistance + trimmed.speed.shape[-1] * pack.resistance
    drive = max(motor.speed_constant * (open_voltage - resistance * motor.no_load_current), _LEAST_DRIVE)
    full = trimmed.speed
    for _ in range(_ROUNDS):
        torque = propeller.at(full, trimmed.axial, trimmed.edgewise, density).torque
        square = motor.speed_constant**2 * resistance * np.maximum(torque, 0.0) / full**2
        full = np.asarray(2 * drive / (1 + np.sqrt(1 + 4 * square * drive)), dtype=np.float64)
    return full


def _eaten(trimmed: Trim, full: Array) -> Array:
    """Return the share of authority that trim takes, in the direction it takes it."""
    mean = trimmed.speed.mean(axis=-1, keepdims=True)
    up = np.maximum((full - mean) / mean, _LEAST_AVAILABLE)
    down = np.maximum((mean - _IDLE * full) / mean, _LEAST_AVAILABLE)
    away = (trimmed.speed - mean) / mean
    return np.asarray(np.max(np.abs(away) / np.minimum(up, down), axis=-1), dtype=np.float64)
