"""How an unbalanced propeller shakes the flight controller and the camera, and the plate at the controller's bolts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M, RAD_PER_S_PER_RPM, T_PER_G
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.power import Propeller
from platewright.structure.points import Point
from platewright.structure.vibration import motion_amplitude, turn_amplitude, turning_response, unbalance_force
from platewright.study.propulsion import carried_records
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import BoardPlaceRow, ShakeRow, SpeedRow

__all__ = ["BALANCE_QUALITY", "LOSS_FACTOR", "SHAKEN_BY", "shaken"]

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

BALANCE_QUALITY = 6.3  # of each propeller, an assumption: grade G 6.3 of ISO 21940-11 (from memory) [mm/s]
LOSS_FACTOR = 0.04  # of bolted carbon, 0.02 to 0.1 (common practice, no source) [-]
_CONTROLLERS = ("fc", "aio")  # roles of boards that hold the gyroscope
SHAKEN_BY = (
    f"each propeller unbalanced to grade G {BALANCE_QUALITY:g} of ISO 21940-11 (an assumption; the grade from memory), "
    f"all in phase; loss factor {LOSS_FACTOR:g} (0.02 to 0.1, common practice, no source)"
)


@dataclass(frozen=True)
class _Watched:
    """A thing on screws: its body at its centre, and the bolted points of plates that carry it, by line and place."""

    name: str
    body: Point
    centre: Floats
    bolts: tuple[tuple[str, str, Point], ...]
    is_controller: bool


def shaken(
    assembly: Assembly, model: FrameModel, speeds: Sequence[SpeedRow]
) -> tuple[tuple[ShakeRow, ...], tuple[BoardPlaceRow, ...]]:
    """Return how flight controller and camera shake at each speed, and the plates at each bolt of the controller.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    speeds : sequence of SpeedRow
        Rotor speeds.

    Notes
    -----
    Every rotor is taken to be unbalanced alike; their motions are added as if they met in phase, each axis by itself.
    A rigid plate has one angular rate. What is left of that of each bolt after the mean of all of them on the same
    plate is taken away is local bending.
    """
    watched = _watched(assembly, model)
    responses = _responses(assembly, model, speeds) if watched else []
    things = [_shake_row(thing, *response) for response in responses for thing in watched]
    boards = [thing for thing in watched if thing.is_controller]
    places = [row for response in responses for thing in boards for row in _place_rows(thing, *response)]
    return tuple(things), tuple(places)


def _shake_row(thing: _Watched, row: SpeedRow, response: Complex, speed: float) -> ShakeRow:
    near = min((p for _, _, p in thing.bolts), key=lambda p: float(np.linalg.norm(p.position - thing.centre)))
    edges = [_shake(thing.body.at(p.position), response, speed) for _, _, p in thing.bolts]
    return ShakeRow(
        row.state,
        thing.name,
        _shake(thing.body.at(thing.centre), response, speed),
        max(edges),
        _rate(turn_amplitude(thing.body, response), speed),
        _shake(near, response, speed),
        _rate(turn_amplitude(near, response), speed),
    )


def _place_rows(thing: _Watched, row: SpeedRow, response: Complex, speed: float) -> Iterator[BoardPlaceRow]:
    turns = {p: [_turns(q, response) for _, o, q in thing.bolts if o == p] for _, p, _ in thing.bolts}
    for line, plate, point in thing.bolts:
        own = _turns(point, response)
        apart = np.abs(own - np.mean(turns[plate], axis=0))
        shake = _shake(point, response, speed)
        yield BoardPlaceRow(row.state, line, plate, shake, _rate(np.abs(own), speed), _rate(apart, speed))


def _responses(
    assembly: Assembly, model: FrameModel, speeds: Sequence[SpeedRow]
) -> list[tuple[SpeedRow, Complex, float]]:
    """Return each speed with the motions that its unbalance makes, by rotor, and the speed [rad/s]."""
    propeller = next((r for r in carried_records(assembly) if isinstance(r, Propeller)), None)
    if propeller is None:
        return []
    seats = [(point, model.seats[rotor]) for rotor, point in model.rotor_points.items()]
    found = []
    for row in speeds:
        speed = row.speed_rpm * RAD_PER_S_PER_RPM
        force = unbalance_force(propeller.mass_g * T_PER_G, BALANCE_QUALITY, speed)
        found.append((row, force * turning_response(model.frame, seats, speed, LOSS_FACTOR), speed))
    return found


def _shake(point: Point, response: Complex, speed: float) -> float:
    """Return the acceleration of a point, all rotors together [m/s^2]."""
    return float(np.linalg.norm(motion_amplitude(point, response).sum(axis=0))) * speed**2 / MM_PER_M


def _turns(point: Point, response: Complex) -> Complex:
    found: Complex = response[:, point.columns] @ point.matrix[3:].T
    return found


def _rate(turns: Floats, speed: float) -> float:
    """Return an angular rate, all rotors together [deg/s]."""
    return float(np.linalg.norm(turns.sum(axis=0))) * math.degrees(speed)


def _watched(assembly: Assembly, model: FrameModel) -> list[_Watched]:
    """Return flight controllers and cameras that stand on bolts."""
    found = []
    for equipment in assembly.design.equipment:
        for role, record in equipment.use.items():
            name = f"{equipment.id}.{role}"
            is_camera = isinstance(assembly.catalogue.find(record)[0], Camera)
            is_controller = role in _CONTROLLERS
            if (is_controller or is_camera) and name in model.things:
                bolts = tuple(
                    (line, place, point)
                    for (line, place), point in model.line_points.items()
                    if line.partition(".")[0] == equipment.id
                )
                if bolts:
                    found.append(_Watched(name, model.things[name], model.centres[name], bolts, is_controller))
    return found
