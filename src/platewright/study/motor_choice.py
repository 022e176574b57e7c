"""Motors of the catalogue on one frame, and propellers on its motor: lift, torque for its mass, time to change speed.

Everything but what is compared stays as the design has it; the craft gets the difference in mass. A class's usual range
of propellers is shown as advice: the numbers decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RotorError
from platewright.foundation.units import KG_PER_G, OHM_PER_MOHM
from platewright.model.catalogue import Motor, Propeller
from platewright.model.drive import Drive
from platewright.rotor.air import standard_air
from platewright.rotor.heat import shed_power
from platewright.rotor.motor import time_to_speed
from platewright.rotor.vertical import lift, most_lift
from platewright.study.hover import craft_of
from platewright.study.powertrain import CONTROLLER_MOHM, Powertrain, frame_powertrain, motor_numbers, spin_inertia
from platewright.study.propulsion import drive_propeller

__all__ = ["MotorChoice", "MotorRow", "motor_choice"]

_NEAR_FULL = 0.9  # of the speed at full throttle
_SIZES = 1.5  # largest ratio between a propeller and the design's own


@dataclass(frozen=True)
class MotorRow:
    """A motor with a propeller on this frame.

    Parameters
    ----------
    motor, propeller : str
        Ids.
    is_own : bool
        What the design has.
    usual : bool
        Whether the propeller lies in the motor class's usual range: advice.
    why_not : str
        Why it cannot hover, else empty; then the numbers after Kv are 0.
    motor_mass_g, kv_rpm_per_v, resistance_mohm : float
        Of one motor; the resistance with its controller.
    torque_per_loss_mnm : float
        Torque for a square root of a watt lost in the winding, a measure of its size, in mN m / W^0.5.
    torque_per_loss_per_g : float
        The same for each gram of motor.
    torque_per_mass_mnm_g : float
        Torque at the class's greatest current for each gram, in mN m / g.
    craft_mass_g, hover_power_w, thrust_to_weight : float
        Of the craft with it.
    full_current_a, current_max_a : float
        Of one motor at full throttle, and what its class bears.
    full_loss_w, shed_w : float
        Electric less shaft power at full throttle, and what the bell sheds for ever.
    inertia_g_cm2 : float
        Of bell and propeller.
    response_ms : float or None
        Time at full throttle from the speed of hover to nine tenths of the full one; None where it does not get there.
    tip_mach : float
        Of the blades at full throttle.
    source : str
        Of the propeller's numbers.
    """

    motor: str
    propeller: str
    is_own: bool
    usual: bool
    why_not: str
    motor_mass_g: float
    kv_rpm_per_v: float
    resistance_mohm: float
    torque_per_loss_mnm: float
    torque_per_loss_per_g: float
    torque_per_mass_mnm_g: float
    craft_mass_g: float
    hover_power_w: float
    thrust_to_weight: float
    full_current_a: float
    current_max_a: float
    full_loss_w: float
    shed_w: float
    inertia_g_cm2: float
    response_ms: float | None
    tip_mach: float
    source: str


@dataclass(frozen=True)
class MotorChoice:
    """Rows of motors with the design's propeller, lightest first, and of propellers with its motor, smallest first.

    Parameters
    ----------
    frame : str
        Its name.
    motors, propellers : tuple of MotorRow
        The design's own among them.
    assumptions : tuple of str
        What holds for all.
    """

    frame: str
    motors: tuple[MotorRow, ...]
    propellers: tuple[MotorRow, ...]
    assumptions: tuple[str, ...]


def motor_choice(assembly: Assembly) -> MotorChoice:
    """Compare motors and propellers on a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.

    Raises
    ------
    RotorError
        If the design lacks motor, propeller or battery.
    """
    train = frame_powertrain(assembly)
    if train is None:
        message = "the design must carry a motor, a propeller and a battery to compare others; add them as equipment."
        raise RotorError(message)
    own = train.motor_record
    motors = sorted(assembly.catalogue.of_class(Motor), key=lambda m: m.mass_g)
    return MotorChoice(
        assembly.design.frame.name,
        tuple(_row(train, _with_motor(assembly, train, m), m.id == own.id) for m in motors),
        tuple(
            _row(train, other, other.propeller_record.id == train.propeller_record.id)
            for other in _with_propellers(assembly, train)
        ),
        _assumptions(train),
    )


def _with_motor(assembly: Assembly, train: Powertrain, record: Motor) -> Powertrain:
    drive = assembly.design.drive if record.id == train.motor_record.id else Drive()
    numbers = motor_numbers(record, train.pack.cells, drive, assembly.catalogue)
    more = train.rotors * (record.mass_g - train.motor_record.mass_g) * KG_PER_G
    return replace(
        train,
        mass=train.mass + more,
        motor=numbers,
        motor_record=record,
        inertia=spin_inertia(record, train.propeller_record),
    )


def _with_propellers(assembly: Assembly, train: Powertrain) -> Iterator[Powertrain]:
    own = train.propeller_record
    for record in sorted(assembly.catalogue.of_class(Propeller), key=lambda p: p.diameter_in):
        if record.id == own.id:
            yield train
        elif 1 / _SIZES <= record.diameter_in / own.diameter_in <= _SIZES:
            more = train.rotors * (record.mass_g - own.mass_g) * KG_PER_G
            yield replace(
                train,
                mass=train.mass + more,
                propeller=drive_propeller(record, Drive(), assembly.catalogue),
                propeller_record=record,
                inertia=spin_inertia(train.motor_record, record),
            )


def _row(design: Powertrain, train: Powertrain, is_own: bool) -> MotorRow:
    motor, record, propeller = train.motor.turning, train.motor_record, train.propeller_record
    winding = motor.resistance - CONTROLLER_MOHM * OHM_PER_MOHM
    per_loss = 1000 / motor.speed_constant / math.sqrt(max(winding, 1e-4))
    low, high = record.propeller_d_range_in
    why_not = ""
    flown: tuple[float, float, float, float, float | None, float] = (0.0, 0.0, 0.0, 0.0, None, 0.0)
    try:
        flown = _flown(design, train)
    except RotorError as error:
        why_not = str(error)
    hover_power, ratio, full_current, full_loss, response, mach = flown
    return MotorRow(
        record.id,
        propeller.id,
        is_own,
        low <= propeller.diameter_in <= high,
        why_not,
        record.mass_g,
        train.motor.kv_rpm_per_v,
        train.motor.resistance_mohm,
        per_loss,
        per_loss / record.mass_g,
        1000 * record.current_max_a / motor.speed_constant / record.mass_g,
        train.mass / KG_PER_G,
        hover_power,
        ratio,
        full_current,
        record.current_max_a,
        full_loss,
        shed_power(record.bell_d_mm / 1000, record.seat_height_mm / 1000),
        train.inertia * 1e7,
        response,
        mach,
        train.propeller.source,
    )


def _flown(design: Powertrain, train: Powertrain) -> tuple[float, float, float, float, float | None, float]:
    """Return hover power, thrust ratio, current and loss at full throttle, response and tip Mach number."""
    craft = craft_of(train)
    hover, full = lift(craft), most_lift(craft)
    running = full.running
    limit = math.inf
    if design.controller is not None and design.controller.current_burst_a is not None:
        limit = max(design.controller.current_burst_a, running.current)
    seconds = time_to_speed(
        train.motor.turning,
        running.torque / running.speed**2,
        train.inertia,
        full.voltage,
        hover.running.speed,
        _NEAR_FULL * running.speed,
        limit,
    )
    return (
        hover.power,
        full.thrust / craft.weight,
        running.current,
        running.voltage * running.current - running.speed * running.torque,
        None if math.isinf(seconds) else 1000 * seconds,
        running.speed * train.propeller.diameter / 2 / standard_air().sound_speed,
    )


def _assumptions(train: Powertrain) -> tuple[str, ...]:
    board = train.controller
    limit = "unlimited" if board is None or board.current_burst_a is None else f"{board.current_burst_a:g} A at most"
    return (
        f"{train.pack.cells} cells; Kv as usual for them in each class, windings from memory or by stator volume",
        f"current while speeding up {limit}, voltage that of full throttle",
        "half of a motor's mass turns at 0.43 of its bell's diameter, a propeller at 0.47 of its radius, +-30 %",
        "whether it is mounted and its disc is free: platewright check",
    )
