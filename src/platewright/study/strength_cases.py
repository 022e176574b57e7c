"""The load cases that every frame is judged by: records of the same form as those of the design file."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.power import Battery, Propeller
from platewright.model.load_case import CaseForce, Direction, LoadCase
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.study.strength_model import FrameModel
from platewright.study.strength_symmetry import like_rotors

__all__ = ["FULL_THRUST", "STRAP_TENSION_N", "built_in_cases"]

FULL_THRUST = 8.0  # static thrust by weight of a freestyle craft (common practice, no source) [-]
STRAP_TENSION_N = 30.0  # of a hand-tightened strap (common practice, no source)
_TORQUE = 0.095  # torque by thrust times diameter, C_P / (2 pi C_T) of a static propeller (from memory) [-]
_SAME_LEVEL = 0.5  # plates that touch the ground together differ by no more in height [mm]


def built_in_cases(assembly: Assembly, model: FrameModel, thrust_ratio: float = FULL_THRUST) -> tuple[LoadCase, ...]:
    """Return the cases that a frame's equipment makes possible.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    thrust_ratio : float
        Full static thrust by weight [-].

    Notes
    -----
    Weight is in none of them: a uniform acceleration of a free frame deforms nothing.
    """
    tips = [case for group in like_rotors(model) for case in _tip_hits(assembly, group)]
    return (*_flight(assembly, model, thrust_ratio), *tips, *_landings(assembly, model), *_nose(assembly, model))


def _flight(assembly: Assembly, model: FrameModel, ratio: float) -> list[LoadCase]:
    found = []
    rotors = list(model.rotor_points)
    if rotors:
        share = model.mass * STANDARD_GRAVITY * MM_PER_M / len(rotors)
        for name, text, thrust in (
            ("hover", "thrust of each rotor carries its share of the weight", share),
            ("full_thrust", f"all rotors at full thrust, {ratio:g} times the weight", ratio * share),
        ):
            loads = tuple(CaseForce(rotor=r, force_n=thrust, direction="up") for r in rotors)
            found.append(LoadCase(id=name, text=text, loads=loads))
        diameter = _propeller_diameter(assembly)
        if diameter:
            torque = _TORQUE * ratio * share * diameter
            turns = {r.number: 1.0 if r.turns == "cw" else -1.0 for r in assembly.rotors}
            loads = tuple(CaseForce(rotor=r, moment_n_mm=(0.0, 0.0, torque * turns[r])) for r in rotors)
            found.append(LoadCase(id="motor_torque", text="torque of all motors at full thrust", loads=loads))
    return found + _strap(assembly, model)


def _strap(assembly: Assembly, model: FrameModel) -> list[LoadCase]:
    """Return a strap that pulls up at both its slots and down on the battery."""
    battery = _thing(assembly, model, Battery)
    strap = next((e for e in assembly.design.equipment if "strap" in e.use and e.on), None)
    if battery is None or strap is None or not strap.spacing_mm:
        return []
    plate = next((n for n in model.plates if assembly.instances[n].place.id == strap.on), None)
    if plate is None:
        return []
    placed = model.frame.plates[model.plates[plate]]
    loads = [CaseForce(equipment=battery, force_n=2 * STRAP_TENSION_N, direction="down")]
    for sign in (1, -1):
        at = np.array([strap.at_mm[0], strap.at_mm[1] + sign * strap.spacing_mm / 2, placed.origin[2]])
        x, y, _ = (placed.axes.T @ (at - placed.origin)).tolist()
        loads.append(CaseForce(place=plate, at_mm=(x, y), force_n=STRAP_TENSION_N, direction="up"))
    text = f"a battery strap pulled to {STRAP_TENSION_N:g} N"
    return [LoadCase(id="strap", text=text, loads=tuple(loads))]


def _tip_hits(assembly: Assembly, group: Sequence[int]) -> list[LoadCase]:
    """Return hits on the motor of the first of some rotors that are mirror images."""
    rotor, *others = group
    also = f"; {' and '.join(map(str, others))} as mirror images" if others else ""
    on = f"on motor {rotor}"
    ways: tuple[tuple[str, str, tuple[tuple[Direction, float], ...]], ...] = (
        ("tip_from_above", "straight down", (("down", 1.0),)),
        ("tip_from_below", "straight up", (("up", 1.0),)),
        ("tip_edgewise", "level and across the arm", (("across", 1.0),)),
        ("tip_along", "along the arm towards the middle", (("inwards", 1.0),)),
        ("tip_oblique", "inwards and down at 45 degrees", (("inwards", 1.0), ("down", 1.0))),
    )
    found = []
    for name, text, pushes in ways:
        loads = tuple(CaseForce(rotor=rotor, at_bell=True, force_n=size, direction=way) for way, size in pushes)
        found.append(LoadCase(id=f"{name}_{rotor}", text=f"{on}, {text}{also}", answer="energy", loads=loads))
    diameter = _propeller_diameter(assembly)
    if diameter:
        moment = (0.0, 0.0, diameter / 2)
        load = CaseForce(rotor=rotor, at_propeller=True, force_n=1.0, direction="across", moment_n_mm=moment)
        text = f"a blade's tip at motor {rotor} catches: level across the arm, with its moment about the shaft{also}"
        found.append(LoadCase(id=f"propeller_strike_{rotor}", text=text, answer="energy", loads=(load,)))
    return found


def _landings(assembly: Assembly, model: FrameModel) -> list[LoadCase]:
    found = []
    level = [n for n, k in model.plates.items() if abs(model.frame.plates[k].axes[2, 2]) > 0.5]
    bottom = {
        n: float(model.frame.plates[model.plates[n]].origin[2]) - assembly.instances[n].part.thickness_mm / 2
        for n in level
        if model.parts[assembly.instances[n].part.id].holes
    }
    if bottom:
        touching = [n for n, z in bottom.items() if z < min(bottom.values()) + _SAME_LEVEL]
        loads = tuple(CaseForce(place=n, force_n=1 / len(touching), direction="up") for n in touching)
        text = f"flat on the bolts of {' and '.join(touching)}, straight up"
        found.append(LoadCase(id="belly_landing", text=text, answer="energy", loads=loads))
    battery = _thing(assembly, model, Battery)
    if battery is not None:
        hangs = bool(bottom) and float(model.centres[battery][2]) < min(bottom.values())
        way: Direction = "up" if hangs else "down"
        text = "flat on the battery that hangs below" if hangs else "upside down on the battery"
        load = CaseForce(equipment=battery, force_n=1.0, direction=way)
        found.append(LoadCase(id="battery_landing", text=text, answer="energy", loads=(load,)))
    return found


def _nose(assembly: Assembly, model: FrameModel) -> list[LoadCase]:
    camera = _thing(assembly, model, Camera)
    if camera is None:
        return []
    load = CaseForce(equipment=camera, force_n=1.0, direction="backward")
    return [LoadCase(id="nose_hit", text="on the camera, straight back", answer="energy", loads=(load,))]


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
