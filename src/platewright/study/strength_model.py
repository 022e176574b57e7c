"""From an assembly to a frame of reduced plates: parts once, screws and standoffs as links, the rest as masses.

Between two plates on a line stand what the stack says: nothing (clamped face to face), or tubes and the screw in them.
Boards and the camera are rigid bodies on their screws and grommets; the battery rests on its pad. Everything else is a
mass at what carries it. Three joint models, soft, typical and stiff, give the range.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
from platewright.study.strength_stacks import Stacks

__all__ = ["FrameModel", "frame_model", "frame_models"]

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
    like: Mapping[str, ModelPart] | None = None,
) -> FrameModel:
    """Return the model of a frame with one joint model; everything else as in `frame_models`."""
    (model,) = frame_models(assembly, (joints,), cache, size_factor, like)
    return model


def frame_models(
    assembly: Assembly,
    choices: Sequence[JointModel],
    cache: PartCache | None = None,
    size_factor: float = 1.0,
    like: Mapping[str, ModelPart] | None = None,
) -> list[FrameModel]:
    """Return models of a frame that differ in their links only.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    choices : sequence of JointModel
        How stiff joints are taken, a model for each.
    cache : dict or None
        Keeps reduced parts from one call to the next.
    size_factor : float
        On the size of the mesh [-].
    like : mapping of str to ModelPart or None
        Parts of a similar frame, by id, whose meshes are carried along.

    Raises
    ------
    StructureError
        If a plate cannot be modelled, or something hangs together by nothing.
    """
    places = assembly.instances
    lines = [line for line in assembly.lines if line.fitted]
    wanted = PartPoints(assembly, places, {} if cache is None else cache, size_factor, like or {})
    masses, stacks = Masses(assembly, places), Stacks(assembly)
    used = {n: i for n, i in places.items() if i.part.id in wanted.wanted}
    parts = {p: wanted.part(p) for p in dict.fromkeys(i.part.id for i in used.values())}
    if not used:
        msg = "no fitted column holds a plate; the frame has no structure to solve."
        raise StructureError(msg)
    placed = _placed(assembly, used, parts)
    numbers = {p.name: n for n, p in enumerate(placed)}
    bodies, loose = masses.bodies(lines, wanted.line_group, numbers)
    bare = Frame(placed, [item.centre for item in bodies])
    points = {key: bare.point(numbers[key[1]], group) for key, group in wanted.line_group.items()}
    rotors = {r: bare.point(numbers[place], group) for r, (place, group) in wanted.motor_group.items()}
    things = {item.name: bare.body(n) for n, item in enumerate(bodies)}
    pads = masses.carry(bare, bodies, loose, numbers, things)
    masses.carry_rest(bare, points, rotors, things)
    tabs = _tabs(bare, wanted, numbers)
    found = []
    for choice in choices:
        frame, joints = bare.twin(), Joints(assembly, choice, stacks)
        links = [joints.of_line(line, points, things, numbers) for line in lines]
        for spring in (
            *(spring for between, held in links for spring in (*(b.spring for b in between), *held)),
            *(Spring(name, near, far, far.position, joints.tab()) for name, near, far in tabs),
            *(spring for pad in pads for spring in joints.battery(*pad)),
        ):
            frame.join(spring)
        frame.check()
        found.append(
            FrameModel(
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
                choice,
                tuple(b for between, _ in links for b in between),
            )
        )
    return found


def _placed(assembly: Assembly, used: Mapping[str, Instance], parts: Mapping[str, ModelPart]) -> list[PlacedPlate]:
    frames = {b.name: b.frame for b in assembly.bodies if b.role == "plate"}
    found = []
    for name, instance in used.items():
        frame = frames[name]
        origin = np.array(frame.point(0.0, 0.0, instance.part.thickness_mm / 2))
        axes = np.column_stack([frame.u, frame.v, frame.n])
        found.append(PlacedPlate(name, parts[instance.part.id].reduced, origin, axes))
    return found


def _tabs(frame: Frame, wanted: PartPoints, numbers: Mapping[str, int]) -> list[tuple[str, Point, Point]]:
    """Return name, point on the standing plate and point on the plate that it enters, of each tab."""
    found = []
    for n, standing, own, plate, other in wanted.tab_group:
        near, far = (
            frame.point(numbers[place], wanted.n_groups(wanted.places[place].part.id) + point)
            for place, point in ((standing, own), (plate, other))
        )
        found.append((f"tab {wanted.assembly.tabs[n].tab.id} of {standing} in {plate}", near, far))
    return found


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
