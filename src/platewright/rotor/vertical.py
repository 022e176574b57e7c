"""Hover, full throttle and level flight without wakes, the propeller's coefficients taken at the speed that is found.

A lower rotor of a coaxial pair stands in the wake of the upper one: the pair's induced power is 1.22 times that of two
rotors alone, 1.16 to 1.28. Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import RotorError
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.battery import Pack, current_for_power
from platewright.rotor.hover import FullThrottle, Hover, Rotor, full_throttle, hover
from platewright.rotor.motor import Motor, run_at_speed
from platewright.rotor.working import WorkingPropeller

__all__ = ["COAXIAL", "Craft", "Factors", "Level", "level", "lift", "most_lift"]

Array = NDArray[np.float64]

COAXIAL = 1.22
_START = 1200.0
_ROUNDS = 7
_LOG_ENDS = math.log(60.0), math.log(5500.0)  # of speed [rad/s]
_LEAST_THRUST = 1e-3  # N


@dataclass(frozen=True)
class Craft:
    """What hovers: equal rotors on equal motors.

    Parameters
    ----------
    mass : float
        Of the whole craft [kg].
    rotors : int
        Number of rotors.
    propeller : WorkingPropeller
        Of each.
    motor : Motor
        Of each, with its controller.
    pack : Pack
        The battery.
    other_power : float
        Of boards, camera and transmitter [W].
    is_coaxial : bool
        Whether rotors stand in pairs.
    density : float
        Of the air [kg/m^3].
    """

    mass: float
    rotors: int
    propeller: WorkingPropeller
    motor: Motor
    pack: Pack
    other_power: float = 0.0
    is_coaxial: bool = False
    density: float = 1.225

    @property
    def weight(self) -> float:
        """Weight [N]."""
        return self.mass * STANDARD_GRAVITY


@dataclass(frozen=True)
class Factors:
    """By what CT, CP and the motor's resistance are multiplied, for bands [-]."""

    thrust: float = 1.0
    power: float = 1.0
    resistance: float = 1.0


@dataclass(frozen=True)
class Level:
    """Level flight at one speed, all rotors alike.

    Parameters
    ----------
    speed : float
        Of flight [m/s].
    tilt : float
        Of the thrust from upright [rad].
    running_speed, motor_current : float
        Of each motor [rad/s] and [A].
    voltage, power, current : float
        Of the motors [V], out of the battery [W] and [A].
    throttle : float
        Share of the battery's sagged voltage [-].
    """

    speed: float
    tilt: float
    running_speed: float
    motor_current: float
    voltage: float
    power: float
    current: float
    throttle: float


def lift(craft: Craft, times: float = 1.0, factors: Factors = Factors(), charge: float = 0.5) -> Hover:
    """Return what it takes to lift a multiple of the weight at rest.

    Parameters
    ----------
    craft : Craft
        What hovers.
    times : float
        Thrust over weight [-].
    factors : Factors
        For bands.
    charge : float
        Of the battery, 0 to 1 [-].

    Returns
    -------
    Hover
        Throttle, currents, power.

    Raises
    ------
    RotorError
        If the battery or the voltage does not suffice.
    """
    motor = _motor(craft, factors)
    speed = _START
    for _ in range(_ROUNDS):
        rotor = _rotor(craft, speed, factors)
        speed = math.sqrt(times * craft.weight / craft.rotors / rotor.thrust_factor)
    rotor = _rotor(craft, speed, factors)
    return hover(
        times * craft.mass, craft.rotors, rotor, motor, craft.pack, charge=charge, other_power=craft.other_power
    )


def most_lift(craft: Craft, factors: Factors = Factors(), charge: float = 0.9) -> FullThrottle:
    """Return the thrust of all rotors at full throttle, whatever the limits of current.

    Parameters
    ----------
    craft : Craft
        What hovers.
    factors : Factors
        For bands.
    charge : float
        Of the battery, 0 to 1 [-].

    Returns
    -------
    FullThrottle
        Thrust, currents.
    """
    motor = _motor(craft, factors)
    speed, found = _START, None
    for _ in range(_ROUNDS):
        found = full_throttle(craft.rotors, _rotor(craft, speed, factors), motor, craft.pack, charge=charge)
        speed = found.running.speed
    if found is None or not math.isfinite(found.thrust):
        message = "the motors must turn their propellers (no running point was found); check Kv and resistance."
        raise RotorError(message)
    return found


def level(craft: Craft, speeds: Array, drag_area: float, charge: float = 0.5) -> tuple[Level, ...]:
    """Return level flight at speeds that the battery can give, each rotor carrying its share, without other wakes.

    Parameters
    ----------
    craft : Craft
        What flies.
    speeds : (n,) array
        Of flight [m/s].
    drag_area : float
        Of the craft, drag over dynamic pressure [m^2].
    charge : float
        Of the battery, 0 to 1 [-].

    Returns
    -------
    tuple of Level
        Rising in speed; those beyond the battery's voltage or power are left out.
    """
    drag = craft.density / 2 * speeds**2 * drag_area
    tilt = np.arctan2(drag, craft.weight)
    wanted = np.hypot(drag, craft.weight) / craft.rotors
    axial, edgewise = speeds * np.sin(tilt), speeds * np.cos(tilt)
    omega = _speeds_for(craft, wanted, axial, edgewise)
    made = craft.propeller.at(omega, axial, edgewise, craft.density)
    found = []
    for n, speed in enumerate(speeds):
        turning = float(omega[n])
        running = run_at_speed(craft.motor, float(made.torque[n]) / turning**2, turning)
        power = craft.rotors * running.voltage * running.current + craft.other_power
        try:
            current = current_for_power(craft.pack, power, charge)
        except RotorError:
            break
        throttle = running.voltage * current / power
        if throttle > 1:
            break
        found.append(
            Level(float(speed), float(tilt[n]), turning, running.current, running.voltage, power, current, throttle)
        )
    return tuple(found)


def _speeds_for(craft: Craft, wanted: Array, axial: Array, edgewise: Array) -> Array:
    """Return speeds of rotation by the secant method in logarithms of speed and thrust."""

    def lacks(log_speed: Array) -> Array:
        thrust = craft.propeller.at(np.exp(log_speed), axial, edgewise, craft.density).thrust
        return np.asarray(np.log(np.maximum(thrust, _LEAST_THRUST) / wanted))

    ct, _ = craft.propeller.static(_START)
    factor = ct * craft.density * craft.propeller.diameter**4 / (2 * math.pi) ** 2
    least = math.pi * axial / (0.9 * craft.propeller.no_thrust_j.min() * craft.propeller.diameter / 2)
    new = np.log(np.maximum(np.sqrt(wanted / factor), least))
    old, before = new - 0.2, lacks(new - 0.2)
    for _ in range(_ROUNDS):
        here = lacks(new)
        slope = np.clip((here - before) / np.where(new == old, 1.0, new - old), 1.0, 12.0)
        old, before, new = new, here, np.clip(new - here / slope, *_LOG_ENDS)
    return np.exp(new)


def _motor(craft: Craft, factors: Factors) -> Motor:
    own = craft.motor
    return Motor(own.speed_constant, own.resistance * factors.resistance, own.no_load_current, own.current_limit)


def _rotor(craft: Craft, speed: float, factors: Factors) -> Rotor:
    ct, cp = craft.propeller.static(speed)
    ct, cp = ct * factors.thrust, cp * factors.power
    if craft.is_coaxial:
        cp += (COAXIAL - 1) * math.sqrt(2 / math.pi) * ct**1.5
    return Rotor(craft.propeller.diameter, ct, cp, craft.density)
