"""Hover, full throttle and endurance of a craft named in the shop's units, with bands from the propeller's."""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.foundation.units import AH_PER_MAH, KG_PER_G, M_PER_INCH, OHM_PER_MOHM, RAD_PER_S_PER_RPM
from platewright.rotor.air import STANDARD_GRAVITY, standard_air
from platewright.rotor.battery import USABLE_FRACTION, Pack
from platewright.rotor.hover import Rotor, full_throttle, hover
from platewright.rotor.motor import Motor
from platewright.study.propellers import PropellerEstimate, estimate_propeller

__all__ = ["Craft", "HoverEstimate", "estimate_hover"]

_ROUNDS = 6
_START_RPM = 12_000.0
_MIN_PER_H = 60.0


@dataclass(frozen=True)
class Craft:
    """What hovers.

    Parameters
    ----------
    mass_g : float
        Whole mass with the battery [g].
    rotors : int
        Number of equal rotors.
    diameter_in, pitch_in : float
        As printed on the propeller [in].
    blades : int
        Of each propeller.
    kv_rpm_per_v, resistance_mohm, no_load_current_a : float
        Of the motor with its controller and leads.
    cells : int
        In series.
    capacity_mah, cell_resistance_mohm, c_rating : float
        Of the battery; the realistic rating, not the label's.
    other_power_w : float
        Boards, camera, transmitter [W].
    current_limit_a : float
        Of one motor and its controller [A].
    """

    mass_g: float
    rotors: int
    diameter_in: float
    pitch_in: float
    blades: int
    kv_rpm_per_v: float
    resistance_mohm: float
    no_load_current_a: float
    cells: int
    capacity_mah: float
    cell_resistance_mohm: float
    c_rating: float
    other_power_w: float = 8.0
    current_limit_a: float = math.inf


@dataclass(frozen=True)
class HoverEstimate:
    """Hover in numbers; pairs are (low, high) where nine propellers in ten lie.

    Parameters
    ----------
    throttle : float
        Share of the sagged voltage [-].
    speed_rpm, motor_current_a, battery_current_a, power_w, figure_of_merit : float
        At half charge.
    power_band_w, endurance_band_min : tuple
        From the bands of CT and CP, taken as independent.
    endurance_min : float
        On four fifths of the capacity.
    thrust_to_weight : float
        At full throttle and 90 % charge, before any limit of current [-].
    thrust_to_weight_band : tuple
        From the band of CT.
    full_motor_current_a, full_battery_current_a : float
        At full throttle.
    motor_over_limit, battery_over_limit : bool
        Whether full throttle asks more than motor or battery bear for long.
    source : str
        What the propeller's numbers come from.
    """

    throttle: float
    speed_rpm: float
    motor_current_a: float
    battery_current_a: float
    power_w: float
    power_band_w: tuple[float, float]
    figure_of_merit: float
    endurance_min: float
    endurance_band_min: tuple[float, float]
    thrust_to_weight: float
    thrust_to_weight_band: tuple[float, float]
    full_motor_current_a: float
    full_battery_current_a: float
    motor_over_limit: bool
    battery_over_limit: bool
    source: str


def estimate_hover(craft: Craft, height_m: float = 0.0) -> HoverEstimate:
    """Estimate hover and full throttle, the propeller at its own Reynolds number in each.

    Parameters
    ----------
    craft : Craft
        What hovers.
    height_m : float
        Geopotential height in the standard atmosphere.

    Raises
    ------
    RotorError
        If it cannot hover, or its battery cannot give the power; one sentence says why.
    """
    density = standard_air(height_m).density
    motor = Motor(
        craft.kv_rpm_per_v * RAD_PER_S_PER_RPM,
        craft.resistance_mohm * OHM_PER_MOHM,
        craft.no_load_current_a,
        craft.current_limit_a,
    )
    capacity = craft.capacity_mah * AH_PER_MAH
    pack = Pack(craft.cells, capacity, craft.cell_resistance_mohm * OHM_PER_MOHM, craft.c_rating)
    mass, weight = craft.mass_g * KG_PER_G, craft.mass_g * KG_PER_G * STANDARD_GRAVITY
    speed, full_speed = _START_RPM, _START_RPM
    for _ in range(_ROUNDS):
        propeller, full_propeller = _propeller(craft, speed), _propeller(craft, full_speed)
        found = hover(
            mass, craft.rotors, _rotor(craft, propeller, density), motor, pack, other_power=craft.other_power_w
        )
        full = full_throttle(craft.rotors, _rotor(craft, full_propeller, density), motor, pack)
        speed, full_speed = (r.speed / RAD_PER_S_PER_RPM for r in (found.running, full.running))
    relative = math.hypot(1.5 * propeller.ct_band_pct, propeller.cp_band_pct) / 100
    power_band = (found.power / (1 + relative), found.power * (1 + relative))
    hours = USABLE_FRACTION * capacity / found.current
    minutes = hours * _MIN_PER_H
    ratio, band = full.thrust / weight, full_propeller.ct_band_pct / 100
    return HoverEstimate(
        found.throttle,
        speed,
        found.running.current,
        found.current,
        found.power,
        power_band,
        found.figure_of_merit,
        minutes,
        (minutes / (1 + relative), minutes * (1 + relative)),
        ratio,
        (ratio * (1 - band), ratio * (1 + band)),
        full.running.current,
        full.current,
        full.running.current > motor.current_limit,
        full.current > pack.current_limit,
        propeller.source,
    )


def _propeller(craft: Craft, speed_rpm: float) -> PropellerEstimate:
    return estimate_propeller(craft.diameter_in, craft.pitch_in, craft.blades, speed_rpm)


def _rotor(craft: Craft, propeller: PropellerEstimate, density: float) -> Rotor:
    return Rotor(craft.diameter_in * M_PER_INCH, propeller.ct, propeller.cp, density)
