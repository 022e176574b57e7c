"""A brushless motor with its controller as a direct-current machine: V = omega/Kv + I R, torque (I - I0)/Kv.

R holds the winding between two leads, the controller and the leads, as a fit to a thrust stand finds them together. I0
is held constant; it grows with speed in truth, by a tenth or two of an ampere.
Source: Hughes & Drury, Electric Motors and Drives, ch. 3, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from platewright.foundation.errors import RotorError

__all__ = ["Motor", "Running", "run_at_speed", "run_at_voltage", "speed_up_time", "time_to_speed"]


@dataclass(frozen=True)
class Motor:
    """What a motor does with volts and amperes.

    Parameters
    ----------
    speed_constant : float
        Kv, speed without load for a volt [rad/s/V].
    resistance : float
        Winding, controller and leads together [ohm].
    no_load_current : float
        Current without load [A].
    current_limit : float
        Current that winding and controller bear [A]; infinite where unknown.
    """

    speed_constant: float
    resistance: float
    no_load_current: float
    current_limit: float = math.inf

    def __post_init__(self) -> None:
        if not (self.speed_constant > 0 and self.resistance > 0 and self.no_load_current >= 0):
            message = f"Kv and resistance must be positive and the no-load current not negative (got {self})."
            raise ValueError(message)


@dataclass(frozen=True)
class Running:
    """A motor that turns a load.

    Parameters
    ----------
    speed : float
        Speed of rotation [rad/s].
    torque : float
        At the shaft [N m].
    voltage : float
        At the motor's controller, after it has cut it down [V].
    current : float
        Through the motor [A].
    """

    speed: float
    torque: float
    voltage: float
    current: float

    @property
    def efficiency(self) -> float:
        """Shaft power over electric power [-]."""
        return self.speed * self.torque / (self.voltage * self.current)


def run_at_speed(motor: Motor, load: float, speed: float) -> Running:
    """Return what it takes to turn a load at a speed.

    Parameters
    ----------
    motor : Motor
        The motor.
    load : float
        Torque over the square of speed, in N m per (rad/s)^2.
    speed : float
        Speed of rotation [rad/s].

    Returns
    -------
    Running
        Voltage and current.

    Examples
    --------
    >>> round(run_at_speed(Motor(200.0, 0.1, 1.0), 3e-8, 2000.0).current, 1)
    25.0
    """
    torque = load * speed**2
    current = motor.no_load_current + motor.speed_constant * torque
    return Running(speed, torque, speed / motor.speed_constant + current * motor.resistance, current)


def run_at_voltage(motor: Motor, load: float, voltage: float) -> Running:
    """Return how fast a motor turns a load.

    Parameters
    ----------
    motor : Motor
        The motor.
    load : float
        Torque over the square of speed, in N m per (rad/s)^2.
    voltage : float
        At the motor [V].

    Returns
    -------
    Running
        Speed and current.

    Raises
    ------
    RotorError
        If the voltage does not even drive the no-load current.

    Notes
    -----
    Kv^2 R k omega^2 + omega - Kv (V - R I0) = 0, the positive root.
    """
    drive = motor.speed_constant * (voltage - motor.resistance * motor.no_load_current)
    if drive <= 0:
        least = motor.resistance * motor.no_load_current
        message = f"the motor must have more than {least:.2f} V to turn at all (got {voltage:.2f} V); give more cells."
        raise RotorError(message)
    square = motor.speed_constant**2 * motor.resistance * load
    return run_at_speed(motor, load, 2 * drive / (1 + math.sqrt(1 + 4 * square * drive)))


def speed_up_time(motor: Motor, load: float, inertia: float, voltage: float, share: float = 0.1) -> float:
    """Return the time constant of speed after a small step of voltage.

    Parameters
    ----------
    motor : Motor
        The motor.
    load : float
        Torque over the square of speed, in N m per (rad/s)^2.
    inertia : float
        Of bell and propeller about the shaft [kg m^2].
    voltage : float
        At full throttle [V].
    share : float
        Where the step begins, as a share of that voltage [-].

    Returns
    -------
    float
        Time to two thirds (1 - 1/e) of the change [s].

    Notes
    -----
    J domega/dt = (V - omega/Kv)/(R Kv) - I0/Kv - k omega^2, linear about the running point.
    """
    running = run_at_voltage(motor, load, share * voltage)
    damping = 1 / (motor.speed_constant**2 * motor.resistance) + 2 * load * running.speed
    return inertia / damping


def time_to_speed(
    motor: Motor, load: float, inertia: float, voltage: float, start: float, end: float, current: float = math.inf
) -> float:
    """Return the time in which full throttle takes a motor from one speed to another; infinite where it never does.

    Parameters
    ----------
    motor : Motor
        The motor.
    load : float
        Torque over the square of speed, in N m per (rad/s)^2.
    inertia : float
        Of bell and propeller about the shaft [kg m^2].
    voltage : float
        At the motor [V].
    start, end : float
        Speeds of rotation, rising [rad/s].
    current : float
        The most that the controller lets through [A].

    Returns
    -------
    float
        Time [s].

    Examples
    --------
    >>> motor = Motor(200.0, 0.1, 0.0)
    >>> round(time_to_speed(motor, 0.0, 1e-5, 20.0, 0.0, 4000.0 * (1 - 1 / math.e)) / (1e-5 * 200.0**2 * 0.1), 3)
    1.0
    """
    speed = np.linspace(start, end, 401)
    through = np.minimum((voltage - speed / motor.speed_constant) / motor.resistance, current)
    torque = (through - motor.no_load_current) / motor.speed_constant - load * speed**2
    if torque.min() <= 0:
        return math.inf
    return float(np.trapezoid(inertia / torque, speed))
