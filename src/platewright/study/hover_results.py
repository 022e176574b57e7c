"""What `check` says about hover: ways of flying, what is asked of motors, boards and battery, sources of numbers."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Band", "HoverReport", "LimitRow", "UseRow"]

Band = tuple[float, float]
"""Low and high end, where nine in ten lie."""


@dataclass(frozen=True)
class UseRow:
    """One way of flying; numbers at half charge, full throttle at 90 %.

    Parameters
    ----------
    name : str
        Hover, cruise, hard flying or full throttle.
    speed_m_s : float
        Of flight.
    throttle_pct, speed_rpm, motor_current_a, battery_current_a, power_w : float
        Means over time for hard flying; the throttle is a share of the sagged voltage.
    power_band_w : Band
        From the bands of CT, CP and the winding's resistance, taken as independent.
    endurance_min : float or None
        On four fifths of the capacity; None for full throttle.
    endurance_band_min : Band or None
        The same with the band of power.
    """

    name: str
    speed_m_s: float
    throttle_pct: float
    speed_rpm: float
    motor_current_a: float
    battery_current_a: float
    power_w: float
    power_band_w: Band
    endurance_min: float | None
    endurance_band_min: Band | None


@dataclass(frozen=True)
class LimitRow:
    """What one thing is asked and what it bears.

    Parameters
    ----------
    what : str
        Motor, controller, battery, plug, winding or blade tips.
    unit : str
        Of the numbers.
    hover, hard, full : float
        Asked in hover, as a mean of hard flying, at full throttle.
    lasting, short : float or None
        What it bears for long and for seconds; None where unknown.
    """

    what: str
    unit: str
    hover: float
    hard: float
    full: float
    lasting: float | None
    short: float | None


@dataclass(frozen=True)
class HoverReport:
    """Hover and vertical flight of a design.

    Parameters
    ----------
    can_hover : bool
        Whether it lifts itself; if not, rows and limits are empty and the rest is 0.
    mass_g : float
        With the battery.
    rotors : int
        Number of rotors.
    thrust_to_weight : float
        At full throttle and 90 % charge, before any limit of current [-].
    thrust_to_weight_band : Band
        From CT, CP and resistance.
    figure_of_merit : float
        In hover, without the motor [-].
    uses : tuple of UseRow
        Hover, cruise, hard flying, full throttle.
    limits : tuple of LimitRow
        What things are asked and bear.
    full_throttle_s : float or None
        Time until a winding at the temperature of the air reaches its limit; None for never.
    speed_up_ms : float
        Time constant of speed about hover after a small step of throttle.
    propeller, motor, battery : str
        What they are and where their numbers come from.
    assumptions : tuple of str
        What was assumed.
    """

    can_hover: bool
    mass_g: float
    rotors: int
    thrust_to_weight: float
    thrust_to_weight_band: Band
    figure_of_merit: float
    uses: tuple[UseRow, ...]
    limits: tuple[LimitRow, ...]
    full_throttle_s: float | None
    speed_up_ms: float
    propeller: str
    motor: str
    battery: str
    assumptions: tuple[str, ...]
