"""Hover, cruise, hard flying and full throttle of a design, with bands, and what its parts are asked for it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from platewright.foundation.errors import RotorError
from platewright.foundation.units import RAD_PER_S_PER_RPM
from platewright.rotor.air import standard_air
from platewright.rotor.battery import USABLE_FRACTION
from platewright.rotor.coaxial import WAKE_BAND
from platewright.rotor.heat import heating_time, shed_power
from platewright.rotor.hover import FullThrottle, Hover
from platewright.rotor.motor import Running, speed_up_time
from platewright.rotor.vertical import Craft, Factors, lift, most_lift
from platewright.study.coaxial import coaxial_report, coaxial_words, pair_of
from platewright.study.hover_air import STILL, Cruise, InAir
from platewright.study.hover_results import Band, HoverReport, LimitRow, UseRow
from platewright.study.powertrain import CONTROLLER_MOHM, Powertrain

__all__ = ["HARD_FLYING", "craft_of", "hover_report", "hover_spread"]

HARD_FLYING = ((0.30, 1.0), (0.35, 1.7), (0.25, 3.0), (0.10, math.inf))
"""Shares of time and thrust over weight of a hard flight, the last at full throttle; our own, no source."""
_MIN_PER_H = 60.0
_M_PER_MM, _KG_PER_G = 1e-3, 1e-3
_MASS_TO_G = 1e3


@dataclass(frozen=True)
class _Flown:
    """Hover, cruise, full throttle and the mean of hard flying."""

    hover: Hover
    full: FullThrottle
    hard_current: float  # out of the battery [A]
    hard_power: float
    hard_loss: float  # of one motor [W]
    hard_motor: tuple[float, float, float]  # throttle [-], speed [rad/s], current [A]


def craft_of(train: Powertrain, wakes: float = 1.0) -> Craft:
    """Return a powertrain as the rotor layer hovers it, at sea level.

    Parameters
    ----------
    train : Powertrain
        Of a design.
    wakes : float
        Strength of the wakes between rotors on one axis, over what is reckoned [-].
    """
    pair = pair_of(train, wakes)
    return Craft(
        train.mass,
        train.rotors,
        train.propeller if pair is None else pair.propeller,
        train.motor.turning,
        train.pack,
        train.other_power,
        standard_air().density,
    )


def hover_report(train: Powertrain, air: InAir = STILL) -> HoverReport:
    """Return what a design takes to fly.

    Parameters
    ----------
    train : Powertrain
        Motor, propeller, battery.
    air : InAir
        What plates in the wakes take, and the cruise that was found.

    Raises
    ------
    RotorError
        If it cannot hover; one sentence says why.
    """
    craft = craft_of(train)
    flown = _fly(craft, Factors(), air.lost)
    changes = [_change(c, flown, f, air.lost) for c, f in _doubts(train, craft)]
    ratio = flown.full.thrust * (1 - air.lost) / craft.weight
    spread = math.hypot(*(c["ratio"] for c in changes))
    shed = shed_power(train.motor_record.bell_d_mm * _M_PER_MM, train.motor_record.seat_height_mm * _M_PER_MM)
    full_loss = _loss(flown.full.running)
    bearing = heating_time(train.motor_record.mass_g * _KG_PER_G, full_loss, shed)
    running = flown.hover.running
    return HoverReport(
        True,
        train.mass * _MASS_TO_G,
        train.rotors,
        ratio,
        (ratio * (1 - spread), ratio * (1 + spread)),
        flown.hover.figure_of_merit,
        _uses(craft, flown, air.cruise, changes),
        _limits(train, flown, shed),
        None if math.isinf(bearing) else bearing,
        1000
        * speed_up_time(
            train.motor.turning,
            running.torque / running.speed**2,
            train.inertia,
            flown.hover.voltage,
            flown.hover.throttle,
        ),
        train.propeller.source,
        f"{train.motor_record.title}, {train.motor.kv_rpm_per_v:.0f} rpm/V, {train.motor.resistance_mohm:.0f} mohm "
        f"with controller, {train.motor.no_load_current_a:.2f} A without load: {train.motor.source}",
        f"{train.pack.cells} cells, {train.battery_record.capacity_mah:g} mAh: {train.battery_record.source}",
        _assumptions(train, air, running.speed),
    )


def hover_spread(train: Powertrain) -> float:
    """Return how far the power of hover may be off, over it: propeller, winding and wakes of pairs, as independent [-].

    Parameters
    ----------
    train : Powertrain
        Of a design.

    Returns
    -------
    float
        Infinite where it does not hover at one end of a band.
    """
    craft = craft_of(train)
    try:
        power = lift(craft).power
        return math.hypot(*(lift(c, factors=f).power / power - 1 for c, f in _doubts(train, craft)))
    except RotorError:
        return math.inf


def _fly(craft: Craft, factors: Factors, lost: float) -> _Flown:
    """Fly all ways; what plates take is thrust that the rotors must give more."""
    found, full = lift(craft, 1 / (1 - lost), factors), most_lift(craft, factors)
    most = most_lift(craft, factors, charge=0.5)
    current = power = loss = 0.0
    motor = np.zeros(3)
    for share, times in HARD_FLYING:
        try:
            if math.isinf(times):
                raise RotorError
            one = lift(craft, times / (1 - lost), factors)
            point = (one.current, one.power, one.running, one.throttle)
        except RotorError:  # beyond what it can: full throttle instead
            point = (most.current, most.voltage * most.current, most.running, 1.0)
        current, power = current + share * point[0], power + share * point[1]
        loss += share * _loss(point[2])
        motor += share * np.array([point[3], point[2].speed, point[2].current])
    return _Flown(found, full, current, power, loss, (float(motor[0]), float(motor[1]), float(motor[2])))


def _doubts(train: Powertrain, craft: Craft) -> tuple[tuple[Craft, Factors], ...]:
    """Return one end of each band; the other end is taken to lie as far off."""
    ct, cp = (float(b) for b in train.propeller.band(0.0))
    factors = (Factors(thrust=1 - ct), Factors(power=1 + cp), Factors(resistance=1 + train.motor.band))
    pairs = () if train.pair_gap is None else ((craft_of(train, WAKE_BAND[1]), Factors()),)
    return (*((craft, f) for f in factors), *pairs)


def _change(craft: Craft, nominal: _Flown, factors: Factors, lost_to_plates: float) -> dict[str, float]:
    """Return relative changes; a craft that no longer hovers counts as one that has lost what its thrust loses."""
    try:
        other = _fly(craft, factors, lost_to_plates)
    except RotorError:
        full = most_lift(craft, factors)
        lost = abs(1 - full.thrust / nominal.full.thrust)
        return {"ratio": lost, "hover": 1.5 * lost, "hard": 1.5 * lost, "full": lost}
    pairs: dict[str, Callable[[_Flown], float]] = {
        "ratio": lambda f: f.full.thrust,
        "hover": lambda f: f.hover.power,
        "hard": lambda f: f.hard_power,
        "full": lambda f: f.full.voltage * f.full.current,
    }
    return {name: abs(of(other) / of(nominal) - 1) for name, of in pairs.items()}


def _uses(craft: Craft, flown: _Flown, cruise: Cruise | None, changes: list[dict[str, float]]) -> tuple[UseRow, ...]:
    spread = {name: math.hypot(*(c[name] for c in changes)) for name in changes[0]}
    one, full = flown.hover, flown.full
    motor = (one.throttle, one.running.speed, one.running.current)
    rows = [_use(craft, "hover", 0.0, motor, one.current, one.power, spread["hover"])]
    if cruise is not None:
        motor = (cruise.throttle, cruise.turning, cruise.motor_current)
        rows.append(_use(craft, "cruise", cruise.speed, motor, cruise.current, cruise.power, spread["hover"]))
    rows.append(_use(craft, "hard flying", 0.0, flown.hard_motor, flown.hard_current, flown.hard_power, spread["hard"]))
    most = (1.0, full.running.speed, full.running.current)
    last = _use(craft, "full throttle", 0.0, most, full.current, full.voltage * full.current, spread["full"])
    return (*rows, replace(last, endurance_min=None, endurance_band_min=None))


def _use(
    craft: Craft, name: str, speed: float, motor: tuple[float, float, float], current: float, power: float, band: float
) -> UseRow:
    minutes = USABLE_FRACTION * craft.pack.capacity / current * _MIN_PER_H

    def around(value: float) -> Band:
        return value / (1 + band), value * (1 + band)

    throttle, turning, own = motor
    rpm = turning / RAD_PER_S_PER_RPM
    return UseRow(name, speed, 100 * throttle, rpm, own, current, power, around(power), minutes, around(minutes))


def _limits(train: Powertrain, flown: _Flown, shed: float) -> tuple[LimitRow, ...]:
    one, hard, full = flown.hover, flown.hard_motor, flown.full
    motor = (one.running.current, hard[2], full.running.current)
    battery = (one.current, flown.hard_current, full.current)
    rows = [LimitRow("motor", "A", *motor, None, train.motor_record.current_max_a)]
    if train.controller is not None:
        board = train.controller
        rows.append(LimitRow("controller", "A", *motor, board.current_continuous_a, board.current_burst_a))
    rows.append(LimitRow("battery", "A", *battery, train.pack.current_limit, None))
    if train.plug is not None:
        rows.append(LimitRow("plug", "A", *battery, train.plug.current_continuous_a, None))
    rows.append(LimitRow("motor's loss", "W", _loss(one.running), flown.hard_loss, _loss(full.running), shed, None))
    sound, radius = standard_air().sound_speed, train.propeller.diameter / 2
    speeds = (one.running.speed, hard[1], full.running.speed)
    tips = (speeds[0] * radius / sound, speeds[1] * radius / sound, speeds[2] * radius / sound)
    rows.append(LimitRow("blade tips", "Mach", *tips, None, None))
    return tuple(rows)


def _loss(running: Running) -> float:
    """Return electric less shaft power of a motor with its controller [W]."""
    return running.voltage * running.current - running.speed * running.torque


def _assumptions(train: Powertrain, air: InAir, turning: float) -> tuple[str, ...]:
    said = [
        f"sea level, standard air; {air.lost:.1%} of the thrust lost to plates, arms and boxes in the wakes",
        f"{train.other_power:g} W for boards, camera and transmitter",
        f"controller and leads {CONTROLLER_MOHM:g} mohm in each motor's path, from memory, +-50 %",
        "cruise: trimmed level flight of least energy for its way (platewright fly)",
        "hard flying, our own: " + ", ".join(_share(s, t) for s, t in HARD_FLYING),
        "landed with a fifth of the charge left (common practice, no source)",
    ]
    pairs = coaxial_report(train, turning)
    return tuple(said) if pairs is None else (*said, coaxial_words(pairs))


def _share(share: float, times: float) -> str:
    what = "full throttle" if math.isinf(times) else f"{times:g} times the weight"
    return f"{share:.0%} of the time at {what}"
