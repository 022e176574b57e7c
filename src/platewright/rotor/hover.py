"""Hover of equal rotors: momentum theory, the speed, voltage and current it takes, and what is left above it.

Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2. Rotors do not disturb one another here, and nothing
stands in their wakes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.foundation.errors import RotorError
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.battery import Pack, current_for_power
from platewright.rotor.motor import Motor, Running, run_at_speed, run_at_voltage

__all__ = [
    "FullThrottle",
    "Hover",
    "Rotor",
    "figure_of_merit",
    "full_throttle",
    "hover",
    "ideal_power",
    "induced_velocity",
]


@dataclass(frozen=True)
class Rotor:
    """A propeller near the speed in question.

    Parameters
    ----------
    diameter : float
        Diameter [m].
    thrust_coefficient, power_coefficient : float
        Static CT and CP [-].
    density : float
        Of the air [kg/m^3].
    """

    diameter: float
    thrust_coefficient: float
    power_coefficient: float
    density: float

    @property
    def thrust_factor(self) -> float:
        """Thrust over the square of speed, in N per (rad/s)^2."""
        return self.thrust_coefficient * self.density * self.diameter**4 / (2 * math.pi) ** 2

    @property
    def torque_factor(self) -> float:
        """Torque over the square of speed, in N m per (rad/s)^2."""
        return self.power_coefficient * self.density * self.diameter**5 / (2 * math.pi) ** 3


@dataclass(frozen=True)
class Hover:
    """A craft at rest in the air.

    Parameters
    ----------
    thrust : float
        Of each rotor [N].
    running : Running
        Each motor.
    throttle : float
        Share of the battery's sagged voltage [-].
    voltage, current : float
        Of the battery under load [V] and [A], other consumers included.
    power : float
        Out of the battery [W].
    figure_of_merit : float
        Ideal over shaft power [-].
    """

    thrust: float
    running: Running
    throttle: float
    voltage: float
    current: float
    power: float
    figure_of_merit: float


@dataclass(frozen=True)
class FullThrottle:
    """All motors at the battery's whole voltage.

    Parameters
    ----------
    thrust : float
        Of all rotors [N].
    running : Running
        Each motor.
    voltage, current : float
        Of the battery under load [V] and [A].
    """

    thrust: float
    running: Running
    voltage: float
    current: float


def induced_velocity(thrust: float, area: float, density: float) -> float:
    """Return the velocity through the disc in hover, sqrt(T / (2 rho A)).

    Parameters
    ----------
    thrust : float
        Of one rotor [N].
    area : float
        Of its disc [m^2].
    density : float
        Of the air [kg/m^3].

    Returns
    -------
    float
        Velocity [m/s].

    Examples
    --------
    >>> round(induced_velocity(1.5936, 0.012668, 1.225), 3)
    7.166
    """
    return math.sqrt(thrust / (2 * density * area))


def ideal_power(thrust: float, area: float, density: float) -> float:
    """Return the least power of hover, thrust times induced velocity.

    Parameters
    ----------
    thrust : float
        Of one rotor [N].
    area : float
        Of its disc [m^2].
    density : float
        Of the air [kg/m^3].

    Returns
    -------
    float
        Power [W].
    """
    return thrust * induced_velocity(thrust, area, density)


def figure_of_merit(thrust_coefficient: float, power_coefficient: float) -> float:
    """Return ideal over true power from propeller coefficients, sqrt(2/pi) CT^1.5 / CP.

    Parameters
    ----------
    thrust_coefficient, power_coefficient : float
        Static CT and CP [-].

    Returns
    -------
    float
        Figure of merit [-].

    Examples
    --------
    >>> round(figure_of_merit(0.15, 0.09), 2)
    0.52
    """
    return math.sqrt(2 / math.pi * thrust_coefficient**3) / power_coefficient


def hover(
    mass: float, rotors: int, rotor: Rotor, motor: Motor, pack: Pack, *, charge: float = 0.5, other_power: float = 0.0
) -> Hover:
    """Return what it takes to hover.

    Parameters
    ----------
    mass : float
        Of the whole craft [kg].
    rotors : int
        Number of equal rotors.
    rotor : Rotor
        Its propellers.
    motor : Motor
        Its motors.
    pack : Pack
        Its battery.
    charge : float
        Of the battery, 0 to 1 [-].
    other_power : float
        Of boards, camera and transmitter [W].

    Returns
    -------
    Hover
        Throttle, current, power.

    Raises
    ------
    RotorError
        If the battery cannot give the current, or its voltage does not reach.
    """
    thrust = mass * STANDARD_GRAVITY / rotors
    running = run_at_speed(motor, rotor.torque_factor, math.sqrt(thrust / rotor.thrust_factor))
    power = rotors * running.voltage * running.current + other_power
    current = current_for_power(pack, power, charge)
    voltage = power / current
    if running.voltage > voltage:
        message = (
            f"the craft of {mass:.2f} kg cannot hover: each motor must have {running.voltage:.1f} V and the "
            f"battery gives {voltage:.1f} V under load; take more cells, a higher Kv, a larger propeller or less mass."
        )
        raise RotorError(message)
    merit = figure_of_merit(rotor.thrust_coefficient, rotor.power_coefficient)
    return Hover(thrust, running, running.voltage / voltage, voltage, current, power, merit)


def full_throttle(rotors: int, rotor: Rotor, motor: Motor, pack: Pack, *, charge: float = 0.9) -> FullThrottle:
    """Return the thrust of all rotors with the battery's sag, whatever the limits of current.

    Parameters
    ----------
    rotors : int
        Number of equal rotors.
    rotor : Rotor
        Its propellers.
    motor : Motor
        Its motors.
    pack : Pack
        Its battery.
    charge : float
        Of the battery, 0 to 1 [-].

    Returns
    -------
    FullThrottle
        Thrust, voltage, current.

    Notes
    -----
    The pack's resistance stands in series with all motors, as if each had rotors times it of its own.
    """
    together = Motor(
        motor.speed_constant, motor.resistance + rotors * pack.resistance, motor.no_load_current, motor.current_limit
    )
    found = run_at_voltage(together, rotor.torque_factor, pack.open_voltage(charge))
    running = run_at_speed(motor, rotor.torque_factor, found.speed)
    thrust = rotors * rotor.thrust_factor * running.speed**2
    return FullThrottle(thrust, running, running.voltage, rotors * running.current)
