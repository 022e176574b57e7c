"""How an unbalanced propeller shakes the flight controller and the camera, beside the plate that carries them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M, RAD_PER_S_PER_RPM, T_PER_G
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.power import Propeller
from platewright.structure.points import Point
from platewright.structure.vibration import motion_amplitude, turning_response, unbalance_force
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import ShakeRow, SpeedRow

__all__ = ["BALANCE_QUALITY", "LOSS_FACTOR", "shake_rows"]

Floats = NDArray[np.float64]

BALANCE_QUALITY = 6.3  # of each propeller, an assumption: grade G 6.3 of ISO 21940-11 (from memory) [mm/s]
LOSS_FACTOR = 0.04  # of bolted carbon, 0.02 to 0.1 (common practice, no source) [-]


def shake_rows(assembly: Assembly, model: FrameModel, speeds: Sequence[SpeedRow]) -> tuple[ShakeRow, ...]:
    """Return accelerations at the flight controller and the camera at each speed.

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
    """
    mass = _turning_mass(assembly)
    watched = _watched(assembly, model)
    if mass is None or not watched:
        return ()
    seats = [(point, model.seats[rotor]) for rotor, point in model.rotor_points.items()]
    rows = []
    for row in speeds:
        speed = row.speed_rpm * RAD_PER_S_PER_RPM
        force = unbalance_force(mass, BALANCE_QUALITY, speed)
        response = turning_response(model.frame, seats, speed, LOSS_FACTOR)

        def shake(point: Point, response: NDArray[np.complex128] = response, size: float = force * speed**2) -> float:
            return float(np.linalg.norm(motion_amplitude(point, response).sum(axis=0))) * size / MM_PER_M

        for name, body, carrier in watched:
            rows.append(ShakeRow(row.state, name, shake(body), shake(carrier)))
    return tuple(rows)


def _turning_mass(assembly: Assembly) -> float | None:
    for equipment in assembly.design.equipment:
        for record in equipment.use.values():
            found = assembly.catalogue.find(record)[0]
            if isinstance(found, Propeller):
                return found.mass_g * T_PER_G
    return None


def _watched(assembly: Assembly, model: FrameModel) -> list[tuple[str, Point, Point]]:
    """Return flight controllers and cameras, each with the bolted point of a plate nearest to it."""
    found = []
    for equipment in assembly.design.equipment:
        for role, record in equipment.use.items():
            name = f"{equipment.id}.{role}"
            is_camera = isinstance(assembly.catalogue.find(record)[0], Camera)
            if (role == "fc" or is_camera) and name in model.things:
                own = [p for (line, _), p in model.line_points.items() if line.partition(".")[0] == equipment.id]
                if own:
                    at = model.centres[name]
                    near = min(own, key=lambda p: float(np.linalg.norm(p.position - at)))
                    found.append((name, model.things[name].at(at), near))
    return found
