"""The load cases that every frame is judged by, as forces on named things; hits have the size of 1 N.

A flight case carries its real forces and is answered by a margin. A hit has no force of its own: what is asked is how
much energy the struck thing takes up until something fails.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.power import Battery, Propeller
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.study.strength_model import FrameModel

__all__ = ["FULL_THRUST", "STRAP_TENSION_N", "Case", "built_in_cases"]

Floats = NDArray[np.float64]

FULL_THRUST = 8.0  # static thrust by weight of a freestyle craft (common practice, no source) [-]
STRAP_TENSION_N = 30.0  # of a hand-tightened strap (common practice, no source)
_TORQUE = 0.095  # torque by thrust times diameter, C_P / (2 pi C_T) of a static propeller (from memory) [-]


@dataclass(frozen=True)
class Case:
    """One load case.

    Parameters
    ----------
    name, text : str
        Short name, and what happens.
    load : (n,) float
        On the frame's freedoms [N], [N mm].
    is_hit : bool
        Answered by an energy, not by a margin.
    effective_mass : float
        That the blow meets; 0 for flight [t].
    """

    name: str
    text: str
    load: Floats
    is_hit: bool
    effective_mass: float = 0.0


def built_in_cases(assembly: Assembly, model: FrameModel, thrust_ratio: float = FULL_THRUST) -> list[Case]:
    """Return the cases that a frame's equipment makes possible.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    thrust_ratio : float
        Full static thrust by weight [-].
    """
    return [*_flight(assembly, model, thrust_ratio), *_tip_hits(assembly, model), *_body_hits(assembly, model)]


def _flight(assembly: Assembly, model: FrameModel, ratio: float) -> list[Case]:
    frame, found = model.frame, []
    weight = model.mass * STANDARD_GRAVITY * MM_PER_M
    down = frame.weight(np.array([0.0, 0.0, -STANDARD_GRAVITY * MM_PER_M]))
    n = len(model.rotor_points)
    if n:
        unit = sum(
            (frame.load(p, _six(z=1.0), model.seats[r]) for r, p in model.rotor_points.items()), np.zeros(len(down))
        )
        found.append(
            Case("hover", "thrust of each rotor carries its share of the weight", unit * weight / n + down, False)
        )
        text = f"all rotors at full thrust, {ratio:g} times the weight"
        found.append(Case("full thrust", text, unit * ratio * weight / n + down, False))
        diameter = _propeller_diameter(assembly)
        if diameter:
            torque = _TORQUE * ratio * weight / n * diameter
            turns = {r.number: 1.0 if r.turns == "cw" else -1.0 for r in assembly.rotors}
            load = sum(
                (frame.load(p, _six(mz=torque * turns[r])) for r, p in model.rotor_points.items()), np.zeros(len(down))
            )
            found.append(Case("motor torque", "torque of all motors at full thrust", load, False))
    strap = _strap(assembly, model)
    if strap is not None:
        found.append(Case("strap", f"a battery strap pulled to {STRAP_TENSION_N:g} N", strap, False))
    return found


def _tip_hits(assembly: Assembly, model: FrameModel) -> list[Case]:
    """Hits on the motor of the first rotor, in the directions of its arm."""
    if not model.rotor_points:
        return []
    rotor = min(model.rotor_points)
    point = model.rotor_points[rotor]
    out = point.position.copy()
    out[2] = 0.0
    out /= max(float(np.linalg.norm(out)), 1e-9)
    up = np.array([0.0, 0.0, 1.0])
    side = np.cross(up, out)
    ways = (
        ("tip from above", "on the motor, straight down", -up),
        ("tip from below", "on the motor, straight up", up),
        ("tip edgewise", "on the motor, level and across the arm", side),
        ("tip along", "on the motor, along the arm towards the middle", -out),
        ("tip oblique", "on the motor, inwards and down at 45 degrees", -(out + up) / math.sqrt(2)),
    )
    found = [_hit(model, name, text, point.position, way, rotor=rotor) for name, text, way in ways]
    diameter = _propeller_diameter(assembly)
    if diameter:
        load = model.frame.load(point, np.concatenate([side, up * diameter / 2]), model.seats[rotor])
        found.append(
            Case(
                "propeller strike",
                "a blade's tip catches: level across the arm, with its moment about the shaft",
                load,
                True,
                model.frame.effective_mass(point, side),
            )
        )
    return found


def _body_hits(assembly: Assembly, model: FrameModel) -> list[Case]:
    found = []
    lowest = min(
        (p for p in model.frame.plates if abs(p.axes[2, 2]) > 0.5), key=lambda p: float(p.origin[2]), default=None
    )
    if lowest is not None:
        number = model.plates[lowest.name]
        bolted = [model.frame.point(number, n) for n in range(len(model.parts[_part(assembly, lowest.name)].holes))]
        load = sum((model.frame.load(p, _six(z=1 / len(bolted))) for p in bolted), np.zeros(len(model.frame.mass)))
        text = f"flat on the bolts of {lowest.name}, straight up"
        found.append(Case("belly landing", text, load, True, model.mass))
    for kind, name, text, way in (
        (Battery, "battery landing", "upside down on the battery", np.array([0.0, 0, -1])),
        (Camera, "nose hit", "on the camera, straight back", np.array([-1.0, 0, 0])),
    ):
        thing = _thing(assembly, model, kind)
        if thing is not None:
            found.append(_hit(model, name, text, model.centres[thing], way, thing=thing))
    return found


def _part(assembly: Assembly, place: str) -> str:
    return assembly.instances[place].part.id


def _hit(
    model: FrameModel, name: str, text: str, at: Floats, way: Floats, rotor: int | None = None, thing: str = ""
) -> Case:
    point = (model.rotor_points[rotor] if rotor is not None else model.things[thing]).at(at)
    load = model.frame.load(point, np.concatenate([way, np.zeros(3)]))
    return Case(name, text, load, True, model.frame.effective_mass(point, way))


def _thing(assembly: Assembly, model: FrameModel, kind: type) -> str | None:
    for equipment in assembly.design.equipment:
        for role, record in equipment.use.items():
            name = f"{equipment.id}.{role}"
            if isinstance(assembly.catalogue.find(record)[0], kind) and name in model.things:
                return name
    return None


def _propeller_diameter(assembly: Assembly) -> float | None:
    for equipment in assembly.design.equipment:
        for record in equipment.use.values():
            found = assembly.catalogue.find(record)[0]
            if isinstance(found, Propeller):
                return found.diameter_mm
    return None


def _strap(assembly: Assembly, model: FrameModel) -> Floats | None:
    """Return the load of a strap: up at both slots, down on the battery."""
    battery = _thing(assembly, model, Battery)
    strap = next((e for e in assembly.design.equipment if "strap" in e.use and e.on), None)
    if battery is None or strap is None:
        return None
    plate = next((n for n in model.plates if assembly.instances[n].place.id == strap.on), None)
    if plate is None or not strap.spacing_mm:
        return None
    number = model.plates[plate]
    placed = model.frame.plates[number]
    nodes = placed.reduced.mesh.nodes
    load = model.frame.load(model.things[battery], _six(z=-2 * STRAP_TENSION_N))
    centre = np.array([float(strap.at_mm[0]), float(strap.at_mm[1]), placed.origin[2]])
    for sign in (1, -1):
        x, y, _ = placed.axes.T @ (centre + np.array([0, sign * strap.spacing_mm / 2, 0]) - placed.origin)
        near = np.argsort(np.hypot(nodes[:, 0] - x, nodes[:, 1] - y), kind="stable")[:16]
        load += model.frame.load(model.frame.patch(number, near), _six(z=STRAP_TENSION_N))
    return load


def _six(z: float = 0.0, mz: float = 0.0) -> Floats:
    return np.array([0.0, 0.0, z, 0.0, 0.0, mz])
