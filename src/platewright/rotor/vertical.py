"""Hover and full throttle of a propeller at work, its coefficients taken at the speed that is found.

Rotors in pairs on one axis come with the coefficients of a pair at rest: `coaxial.pair_at_rest`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.foundation.errors import RotorError
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.battery import Pack
from platewright.rotor.hover import FullThrottle, Hover, Rotor, full_throttle, hover
from platewright.rotor.motor import Motor
from platewright.rotor.working import WorkingPropeller

__all__ = ["Craft", "Factors", "lift", "most_lift"]

_START = 1200.0
_ROUNDS = 7


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
        Of each; of rotors in pairs the mean of both.
    motor : Motor
        Of each, with its controller.
    pack : Pack
        The battery.
    other_power : float
        Of boards, camera and transmitter [W].
    density : float
        Of the air [kg/m^3].
    """

    mass: float
    rotors: int
    propeller: WorkingPropeller
    motor: Motor
    pack: Pack
    other_power: float = 0.0
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


def _motor(craft: Craft, factors: Factors) -> Motor:
    own = craft.motor
    return Motor(own.speed_constant, own.resistance * factors.resistance, own.no_load_current, own.current_limit)


def _rotor(craft: Craft, speed: float, factors: Factors) -> Rotor:
    ct, cp = craft.propeller.static(speed)
    return Rotor(craft.propeller.diameter, ct * factors.thrust, cp * factors.power, craft.density)
