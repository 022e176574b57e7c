"""Motor, controller and battery of a design as the rotor layer takes them, with where their numbers come from.

A motor class without a winding record gets one from the others: R Kv^2 and I0 go with powers of the stator's volume
D^2 H, fitted to the motors that have one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items, total_mass
from platewright.fit.discs import discs_of
from platewright.foundation.units import (
    AH_PER_MAH,
    G_PER_T,
    KG_PER_G,
    M_PER_INCH,
    M_PER_MM,
    OHM_PER_MOHM,
    RAD_PER_S_PER_RPM,
)
from platewright.model.catalogue import Battery, Board, Catalogue, Motor, PowerConnector, Propeller
from platewright.model.catalogue.base import middle
from platewright.model.drive import Drive
from platewright.rotor.battery import Pack
from platewright.rotor.motor import Motor as TurningMotor
from platewright.rotor.working import WorkingPropeller
from platewright.study.propulsion import carried_records, drive_propeller

__all__ = [
    "CONTROLLER_MOHM",
    "MotorNumbers",
    "Powertrain",
    "battery_pack",
    "frame_powertrain",
    "motor_numbers",
    "spin_inertia",
    "stator_size",
]

CONTROLLER_MOHM = 8.0
"""Two switches in the path and their leads; from memory, +-50 %."""
_BELL_SHARE, _BELL_RADIUS = 0.5, 0.43  # turning share of a motor's mass, its gyration radius over the bell's diameter
_BLADE_GYRATION = 0.47  # gyration radius of a propeller over its radius


@dataclass(frozen=True)
class MotorNumbers:
    """A motor with its controller.

    Parameters
    ----------
    turning : TurningMotor
        In SI units, its limit of current included.
    kv_rpm_per_v, resistance_mohm, no_load_current_a : float
        The same in the shop's units; the resistance holds winding, controller and leads.
    band : float
        Of the resistance, relative [-].
    source : str
        Where they come from.
    """

    turning: TurningMotor
    kv_rpm_per_v: float
    resistance_mohm: float
    no_load_current_a: float
    band: float
    source: str


@dataclass(frozen=True)
class Powertrain:
    """All that turns and feeds the rotors of a design.

    Parameters
    ----------
    rotors : int
        Number of rotors.
    pair_gap : float or None
        Between the discs of rotors in pairs, one below the other [m]; None where each has an axis of its own.
    mass : float
        Of the craft with its battery [kg].
    propeller : WorkingPropeller
        One of them.
    motor : MotorNumbers
        One of them.
    pack : Pack
        The battery, with the middle of its class's resistance and C-rating.
    limits : tuple
        Current that the pack bears for long, by the low and the high end of the realistic C-rating [A].
    inertia : float
        Of bell and propeller about the shaft [kg m^2].
    other_power : float
        Of boards, camera and transmitter [W].
    motor_record, propeller_record, battery_record : records
        From the catalogue.
    controller : Board or None
        The board that feeds the motors.
    plug : PowerConnector or None
        The battery's connector.
    """

    rotors: int
    pair_gap: float | None
    mass: float
    propeller: WorkingPropeller
    motor: MotorNumbers
    pack: Pack
    limits: tuple[float, float]
    inertia: float
    other_power: float
    motor_record: Motor
    propeller_record: Propeller
    battery_record: Battery
    controller: Board | None
    plug: PowerConnector | None


def frame_powertrain(assembly: Assembly) -> Powertrain | None:
    """Return what turns and feeds the rotors; None where motor, propeller or battery is missing.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    records = tuple(carried_records(assembly))
    motor = next((r for r in records if isinstance(r, Motor)), None)
    propeller = next((r for r in records if isinstance(r, Propeller)), None)
    battery = next((r for r in records if isinstance(r, Battery)), None)
    if motor is None or propeller is None or battery is None:
        return None
    drive = assembly.design.drive
    boards = [r for r in records if isinstance(r, Board) and r.current_continuous_a is not None]
    return Powertrain(
        len(assembly.rotors),
        _pair_gap(assembly),
        total_mass(mass_items(assembly)).mass * G_PER_T * KG_PER_G,
        drive_propeller(propeller, drive, assembly.catalogue),
        motor_numbers(motor, battery.cells_series, drive, assembly.catalogue),
        battery_pack(battery),
        (battery.c_rating_realistic_range[0] * _ah(battery), battery.c_rating_realistic_range[1] * _ah(battery)),
        spin_inertia(motor, propeller),
        drive.other_power_w,
        motor,
        propeller,
        battery,
        min(boards, key=lambda b: b.current_continuous_a or 0.0, default=None),
        next((r for r in records if isinstance(r, PowerConnector)), None),
    )


def motor_numbers(record: Motor, cells: int, drive: Drive, catalogue: Catalogue) -> MotorNumbers:
    """Return Kv, resistance and no-load current of a motor class on a number of cells.

    Parameters
    ----------
    record : Motor
        The class.
    cells : int
        In series: the class has windings for several.
    drive : Drive
        The maker's own numbers come first.
    catalogue : Catalogue
        Motors with a known winding.
    """
    usual = _usual_kv(record, cells)
    kv = drive.kv_rpm_per_v or usual
    winding, said = record.winding, []
    if drive.kv_rpm_per_v:
        said.append("Kv of the design")
    elif winding is not None and _fits(record, winding.kv_rpm_per_v, cells):
        kv = winding.kv_rpm_per_v
        said.append("Kv of the class's typical winding")
    else:
        said.append(f"Kv in the middle of the class's range for {cells} cells")
    band = 0.25
    if winding is not None:  # a class keeps R Kv^2 and I0 over Kv
        resistance = winding.resistance_mohm * (winding.kv_rpm_per_v / kv) ** 2 + CONTROLLER_MOHM
        no_load = winding.no_load_current_a * kv / winding.kv_rpm_per_v
        said.append(f"winding {winding.source}")
    else:
        resistance, no_load = _from_others(record, kv, catalogue)
        band = 0.35
        said.append("winding by stator volume from the motors that have one, +-35 %")
    if drive.resistance_mohm is not None:
        resistance, band = drive.resistance_mohm, 0.05
        said.append("resistance of the design")
    no_load = no_load if drive.no_load_current_a is None else drive.no_load_current_a
    turning = TurningMotor(kv * RAD_PER_S_PER_RPM, resistance * OHM_PER_MOHM, no_load, record.current_max_a)
    return MotorNumbers(turning, kv, resistance, no_load, band, ", ".join(said))


def battery_pack(record: Battery) -> Pack:
    """Return a battery class as a pack, with the middle of its ranges.

    Parameters
    ----------
    record : Battery
        The class.
    """
    resistance = middle(record.cell_resistance_range_mohm) * OHM_PER_MOHM
    return Pack(record.cells_series, _ah(record), resistance, middle(record.c_rating_realistic_range))


def spin_inertia(motor: Motor, propeller: Propeller) -> float:
    """Return the inertia of bell and propeller about the shaft [kg m^2]; from memory, +-30 %.

    Parameters
    ----------
    motor, propeller : records
        Their classes.

    Notes
    -----
    Half of a motor's mass turns, at 0.43 of the bell's diameter; a propeller's gyration radius is 0.47 of its radius.
    """
    bell = _BELL_SHARE * motor.mass_g * KG_PER_G * (_BELL_RADIUS * motor.bell_d_mm * M_PER_MM) ** 2
    blades = propeller.mass_g * KG_PER_G * (_BLADE_GYRATION * propeller.diameter_in * M_PER_INCH / 2) ** 2
    return bell + blades


def stator_size(record: Motor) -> tuple[float, float]:
    """Return diameter and height of a stator from the name of its class [mm].

    Parameters
    ----------
    record : Motor
        Named DDHH or DDHH.H.

    Examples
    --------
    >>> from platewright.model.catalogue import load_catalogue
    >>> stator_size(load_catalogue().motor("motor_2806.5"))
    (28.0, 6.5)
    """
    return float(record.size[:2]), float(record.size[2:])


def _pair_gap(assembly: Assembly) -> float | None:
    axes = {rotor.number: rotor.axis for rotor in assembly.rotors}
    heights: dict[int, list[float]] = {}
    for disc in discs_of(assembly):
        heights.setdefault(axes[disc.rotor], []).append(disc.z)
    gaps = [max(z) - min(z) for z in heights.values() if len(z) > 1]
    return min(gaps) * M_PER_MM if gaps else None


def _fits(record: Motor, kv: float, cells: int) -> bool:
    around = record.kv_range_rpm_per_v.get(f"{cells}s")
    return around is None or around[0] <= kv <= around[1]


def _usual_kv(record: Motor, cells: int) -> float:
    """Return the middle of the class's range for these cells; for others the same product of Kv and cells."""
    ranges = {int(key.rstrip("s")): value for key, value in record.kv_range_rpm_per_v.items()}
    near = min(ranges, key=lambda n: abs(n - cells))
    return middle(ranges[near]) * near / cells


def _from_others(record: Motor, kv: float, catalogue: Catalogue) -> tuple[float, float]:
    """Return resistance [mohm] and no-load current [A] by straight lines in logarithms of stator volume."""
    known = [(m, m.winding) for m in catalogue.of_class(Motor) if m.winding is not None]
    volume = np.log([_volume(m) for m, _ in known])
    mine = math.log(_volume(record))
    by_kv = _line(volume, [w.resistance_mohm * w.kv_rpm_per_v**2 for _, w in known], mine)
    current = _line(volume, [w.no_load_current_a / w.kv_rpm_per_v for _, w in known], mine)
    return by_kv / kv**2 + CONTROLLER_MOHM, current * kv


def _line(places: np.typing.NDArray[np.float64], values: Sequence[float], at: float) -> float:
    return math.exp(float(np.polyval(np.polyfit(places, np.log(values), 1), at)))


def _volume(record: Motor) -> float:
    diameter, height = stator_size(record)
    return diameter**2 * height


def _ah(record: Battery) -> float:
    return record.capacity_mah * AH_PER_MAH
