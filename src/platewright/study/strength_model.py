"""From an assembly to a frame of reduced plates: parts once, screws and standoffs as links, the rest as masses.

Between two plates on a line stand what the stack says: nothing (clamped face to face), or tubes and the screw in them.
Boards and the camera are rigid bodies on their screws and grommets; the battery rests on its pad. Everything else is a
mass at what carries it. Three joint models, soft, typical and stiff, give the range.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Cylinder
from platewright.assembly.instances import Instance
from platewright.foundation.errors import StructureError
from platewright.structure.frame import Frame
from platewright.structure.points import PlacedPlate, Point, Spring
from platewright.study.strength_joints import Bolted, JointModel, Joints
from platewright.study.strength_masses import Masses
from platewright.study.strength_parts import ModelPart, PartCache, PartPoints

__all__ = ["FrameModel", "frame_model"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class FrameModel:
    """A frame ready to be loaded.

    Parameters
    ----------
    frame : Frame
        Plates, bodies and links.
    parts : mapping of str to ModelPart
        By part id.
    plates : mapping of str to int
        Number of each place in the frame.
    line_points : mapping of (str, str) to Point
        By line and place.
    rotor_points : mapping of int to Point
        Motor seats by rotor.
    seats : mapping of int to (3,) float
        Where thrust acts: the propeller's centre, or the motor's without one [mm].
    bells : mapping of int to (3,) float
        Middles of the motors' bells [mm].
    things : mapping of str to Point
        Bodies and carried things by name.
    centres : mapping of str to (3,) float
        Their centres of gravity [mm].
    mass : float
        Of everything [t].
    joints : JointModel
        Which was used.
    bolted : tuple of Bolted
        The links between plates.
    """

    frame: Frame
    parts: Mapping[str, ModelPart]
    plates: Mapping[str, int]
    line_points: Mapping[tuple[str, str], Point]
    rotor_points: Mapping[int, Point]
    seats: Mapping[int, Floats]
    bells: Mapping[int, Floats]
    things: Mapping[str, Point]
    centres: Mapping[str, Floats]
    mass: float
    joints: JointModel
    bolted: tuple[Bolted, ...]


def frame_model(
    assembly: Assembly,
    joints: JointModel,
    cache: PartCache | None = None,
    size_factor: float = 1.0,
) -> FrameModel:
    """Return the model of a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    joints : JointModel
        How stiff joints are taken.
    cache : dict or None
        Keeps reduced parts from one call to the next.
    size_factor : float
        On the size of the mesh [-].

    Raises
    ------
    StructureError
        If a plate cannot be modelled, or something hangs together by nothing.
    """
    model = _made(assembly, joints, {} if cache is None else cache, size_factor)
    model.frame.check()
    return model


def _made(assembly: Assembly, model: JointModel, cache: PartCache, size_factor: float) -> FrameModel:
    joints = Joints(assembly, model)
    places = assembly.instances
    lines = [line for line in assembly.lines if line.fitted]
    wanted, masses = PartPoints(assembly, places, cache, size_factor), Masses(assembly, places)
    used = {n: i for n, i in places.items() if i.part.id in wanted.wanted}
    parts = {p: wanted.part(p) for p in dict.fromkeys(i.part.id for i in used.values())}
    if not used:
        msg = "no fitted column holds a plate; the frame has no structure to solve."
        raise StructureError(msg)
    placed = _placed(assembly, used, parts)
    numbers = {p.name: n for n, p in enumerate(placed)}
    found = masses.bodies(lines, wanted.line_group, numbers)
    frame = Frame(placed, [item.centre for item in found[0]])
    points = {key: frame.point(numbers[key[1]], group) for key, group in wanted.line_group.items()}
    rotors = {r: frame.point(numbers[place], group) for r, (place, group) in wanted.motor_group.items()}
    things = {item.name: frame.body(n) for n, item in enumerate(found[0])}
    bolted: list[Bolted] = []
    for line in lines:
        between, held = joints.of_line(line, points, things, numbers)
        bolted += between
        for spring in (*(b.spring for b in between), *held):
            frame.join(spring)
    _join_tabs(frame, joints, wanted, numbers)
    masses.carry(frame, joints, found, numbers, things)
    masses.carry_rest(frame, points, rotors, things)
    return FrameModel(
        frame,
        parts,
        numbers,
        points,
        rotors,
        _seats(assembly, rotors),
        _bells(assembly, rotors),
        things,
        {i.name: i.centre for i in masses.items},
        sum(i.mass for i in masses.items),
        model,
        tuple(bolted),
    )


def _placed(assembly: Assembly, used: Mapping[str, Instance], parts: Mapping[str, ModelPart]) -> list[PlacedPlate]:
    frames = {b.name: b.frame for b in assembly.bodies if b.role == "plate"}
    found = []
    for name, instance in used.items():
        frame = frames[name]
        origin = np.array(frame.point(0.0, 0.0, instance.part.thickness_mm / 2))
        axes = np.column_stack([frame.u, frame.v, frame.n])
        found.append(PlacedPlate(name, parts[instance.part.id].reduced, origin, axes))
    return found


def _join_tabs(frame: Frame, joints: Joints, wanted: PartPoints, numbers: Mapping[str, int]) -> None:
    for n, standing, own, plate, other in wanted.tab_group:
        tab = wanted.assembly.tabs[n]
        near, far = (
            frame.point(numbers[place], wanted.n_groups(wanted.places[place].part.id) + point)
            for place, point in ((standing, own), (plate, other))
        )
        stiffness = joints.tab(tab)
        frame.join(Spring(f"tab {tab.tab.id} of {standing} in {plate}", near, far, far.position, stiffness))


def _seats(assembly: Assembly, rotors: Mapping[int, Point]) -> dict[int, Floats]:
    found = {}
    for rotor, point in rotors.items():
        discs = [b for b in assembly.bodies if b.role == "propeller" and b.name.endswith(f".{rotor}")]
        found[rotor] = np.array(discs[0].frame.origin) if discs else point.position
    return found


def _bells(assembly: Assembly, rotors: Mapping[int, Point]) -> dict[int, Floats]:
    """Return the middle of each motor's widest solid; the seat where a motor has no body."""
    found = {}
    for rotor, point in rotors.items():
        body = next((b for b in assembly.bodies if b.role == "motor" and b.name.endswith(f".{rotor}")), None)
        bells = [s for s in body.solids if isinstance(s.shape, Cylinder)] if body is not None else []
        if body is None or not bells:
            found[rotor] = point.position
            continue
        bell = max(bells, key=lambda s: s.shape.radius if isinstance(s.shape, Cylinder) else 0.0)
        found[rotor] = np.array(body.frame.point(0.0, 0.0, bell.offset + bell.shape.height / 2))
    return found
