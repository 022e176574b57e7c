"""From an assembly to what handles: effectiveness of its rotors, inertia tensor, limits of thrust, lag, in SI units."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import MassItem, mass_items, total_mass
from platewright.foundation.units import G_PER_T, KG_PER_G, M2_PER_MM2
from platewright.rotor.gridded import GriddedPropeller, gridded
from platewright.rotor.mixing import effectiveness
from platewright.rotor.motor import speed_up_time
from platewright.rotor.rate_control import Drive
from platewright.rotor.simulate import Rigid
from platewright.rotor.vertical import lift, most_lift
from platewright.study.flight_model import FlightModel
from platewright.study.hover import craft_of
from platewright.study.powertrain import Powertrain

__all__ = ["IDLE", "HandlingModel", "effectiveness_of", "handling_model", "inertia_of", "other_side"]

Floats = NDArray[np.float64]
IDLE = 0.1
"""Least speed of rotation over that at full throttle (common practice, no source) [-]."""
_CHARGE = 0.5
_NUDGE = 0.5  # axial inflow either way, for its slope [m/s]
_PLATES = ("base", "brace", "deck")


@dataclass(frozen=True)
class HandlingModel:
    """A frame for the study of handling.

    Parameters
    ----------
    craft : Rigid
        What flies.
    drive : Drive
        Of each rotor, about hover.
    low, high : float
        Limits of each rotor's thrust [N].
    propeller : GriddedPropeller
        In air that comes along and across the discs.
    items : tuple of MassItem
        Everything that weighs.
    """

    craft: Rigid
    drive: Drive
    low: float
    high: float
    propeller: GriddedPropeller
    items: tuple[MassItem, ...]


@dataclass(frozen=True)
class OtherSide:
    """The battery on the other side of the frame: where it is and would be, how far up [mm], what weighs then."""

    name_now: str
    name: str
    shift: float
    items: tuple[MassItem, ...]


def handling_model(assembly: Assembly, power: Powertrain, flight: FlightModel) -> HandlingModel:
    """Return the model of a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    power : Powertrain
        What turns its rotors.
    flight : FlightModel
        Discs and drag.

    Raises
    ------
    RotorError
        If it cannot hover.
    """
    craft, motor = craft_of(power), power.motor.turning
    hovering, full = lift(craft, charge=_CHARGE), most_lift(craft, charge=_CHARGE)
    running, propeller = hovering.running, gridded(power.propeller)
    square = running.speed**2
    slope = propeller.at(running.speed, -_NUDGE).thrust - propeller.at(running.speed, _NUDGE).thrust
    drive = Drive(
        hovering.thrust / square,
        running.torque / square,
        IDLE * full.running.speed,
        full.running.speed,
        float(slope) / (2 * _NUDGE * running.speed),
    )
    items = mass_items(assembly)
    turns = {r.number: 1.0 if r.turns == "ccw" else -1.0 for r in assembly.rotors}
    air = flight.airframe
    rigid = Rigid(
        air.mass,
        inertia_of(items),
        air.discs,
        np.array([turns[d.rotor] for d in flight.discs]),
        power.inertia,
        speed_up_time(motor, drive.torque_factor, power.inertia, hovering.voltage, hovering.throttle),
        np.array([air.front_drag, sum(d.drag_area for d in flight.side_drags), air.top_drag + air.washed_drag]),
    )
    most = full.thrust / power.rotors
    return HandlingModel(rigid, drive, IDLE**2 * most, most, propeller, items)


def effectiveness_of(model: HandlingModel, places: Floats | None = None) -> Floats:
    """Return the wrench of each rotor for a thrust of 1 N, its discs where they are or at other places [m].

    Parameters
    ----------
    model : HandlingModel
        Of a frame.
    places : (n, 3) array, optional
        Discs from the centre of gravity [m].
    """
    at = model.craft.places if places is None else places
    upright = np.tile([0.0, 0.0, 1.0], (len(at), 1))
    return effectiveness(at, upright, model.craft.spins, model.drive.torque_factor / model.drive.thrust_factor)


def inertia_of(items: Iterable[MassItem]) -> Floats:
    """Return the inertia tensor of several things about their common centre of gravity [kg m^2].

    Parameters
    ----------
    items : iterable of MassItem
        What weighs.
    """
    return np.asarray(total_mass(items).inertia * G_PER_T * KG_PER_G * M2_PER_MM2)


def other_side(flight: FlightModel, items: Sequence[MassItem]) -> OtherSide | None:
    """Put the battery under the frame if it is on top, or on top if it is under it; None without battery or plates.

    Parameters
    ----------
    flight : FlightModel
        Bodies of the frame.
    items : sequence of MassItem
        What weighs.

    Notes
    -----
    It keeps its gap to the outermost plate, and its place in plan. What stands in its way there is not looked at.
    """
    packs = [b for b in flight.bodies if b.kind == "battery"]
    plates = [b for b in flight.bodies if b.kind in _PLATES]
    if not packs or not plates:
        return None
    bottom, top = min(b.bottom for b in packs), max(b.top for b in packs)
    lowest, highest = min(b.bottom for b in plates), max(b.top for b in plates)
    on_top = (bottom + top) / 2 > (lowest + highest) / 2
    gap = max(bottom - highest if on_top else lowest - top, 0.0)
    shift = lowest - gap - top if on_top else highest + gap - bottom
    moved = tuple(
        replace(i, centre=i.centre + np.array([0.0, 0.0, shift])) if i.group == "battery" else i for i in items
    )
    names = ("battery on top", "battery below")
    now, then = names if on_top else names[::-1]
    return OtherSide(now, then, shift, moved)
