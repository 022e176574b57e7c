"""From an assembly to a frame of reduced plates: parts once, screws and standoffs as links, the rest as masses.

A plate's point is a hole that a fitted line passes through, all holes of one motor, or the place of a tab. Between two
plates on a line stand what the stack says: nothing (clamped face to face), or tubes and the screw in them. Boards and
the camera are rigid bodies on their screws and grommets; the battery rests on its pad. Everything else is a mass at
what carries it. Three joint models, soft, typical and stiff, give the range.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.assembly.mass import MassItem, mass_items
from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Outline
from platewright.model.catalogue.electronics import Board, Camera
from platewright.model.catalogue.power import Battery, Motor
from platewright.structure.frame import Frame, Lump, PlacedPlate, Point, Spring
from platewright.structure.laminate import Laminate, Section, section_of
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.reduce import ReducedPlate, reduce_plate
from platewright.structure.supports import Tie, tie_group
from platewright.study.strength_joints import Bolted, JointModel, Joints
from platewright.study.strength_laminates import plate_laminate

__all__ = ["FrameModel", "ModelPart", "PartCache", "frame_model"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_LARGEST_MESH = 3.5  # of a thin plate; a thick one's is its thickness [mm]
_PATCH = 5.0  # radius over which a small thing without screws sits on its plate [mm]
_LEAST_INERTIA = 1e-6  # keeps a body that is drawn as a point from having none [t mm^2]
_SAME_LEVEL = 0.5  # plates that a battery rests on together differ by no more in height [mm]
_LEVEL = 0.9  # cosine of the tilt of a plate that lies level [-]
_SAME_HOLE = 0.3  # how far a line may be off the hole that it made [mm]

PartKey = tuple[object, ...]
PartCache = dict[PartKey, "ModelPart"]


@dataclass(frozen=True)
class ModelPart:
    """A part as the frame uses it.

    Parameters
    ----------
    outline : Outline
        As cut [mm].
    laminate : Laminate
        Its plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    section : Section
        Of the plate.
    reduced : ReducedPlate
        With its points.
    stiff : tuple of int
        Numbers of nodes on tied rims and tabs.
    holes : tuple of tuple of int
        Numbers of the holes of each point; the points of tabs come after them.
    """

    outline: Outline
    laminate: Laminate
    turn: float
    section: Section
    reduced: ReducedPlate
    stiff: Ints
    holes: tuple[tuple[int, ...], ...]


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
    things: Mapping[str, Point]
    centres: Mapping[str, Floats]
    mass: float
    joints: JointModel
    bolted: tuple[Bolted, ...]


@dataclass
class _Wanted:
    """Points of one part, in its own axes, as they are asked for."""

    groups: list[tuple[int, ...]] = field(default_factory=list)
    tabs: list[tuple[float, float, float]] = field(default_factory=list)

    def group(self, holes: tuple[int, ...]) -> int:
        if holes not in self.groups:
            self.groups.append(holes)
        return self.groups.index(holes)

    def tab(self, x: float, y: float, radius: float) -> int:
        for n, (a, b, _) in enumerate(self.tabs):
            if math.hypot(a - x, b - y) < 1e-3:
                return n
        self.tabs.append((x, y, radius))
        return len(self.tabs) - 1


def frame_model(
    assembly: Assembly,
    joints: JointModel,
    cache: PartCache | None = None,
    without: frozenset[str] = frozenset(),
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
    without : frozenset of str
        Places that are left out.
    size_factor : float
        On the size of the mesh [-].

    Raises
    ------
    StructureError
        If a plate cannot be modelled, or something hangs together by nothing.
    """
    model = _Maker(assembly, joints, {} if cache is None else cache, without, size_factor).make()
    model.frame.check()
    return model


class _Maker:
    def __init__(
        self, assembly: Assembly, joints: JointModel, cache: PartCache, without: frozenset[str], size_factor: float
    ) -> None:
        self.assembly, self.cache, self.size_factor = assembly, cache, size_factor
        self.joints = Joints(assembly, joints)
        self.places = {n: i for n, i in assembly.instances.items() if i.place.id not in without}
        self.frames = {b.name: b.frame for b in assembly.bodies if b.role == "plate"}
        self.wanted: dict[str, _Wanted] = {}
        self.line_group: dict[tuple[str, str], int] = {}  # line and place -> group
        self.motor_group: dict[int, tuple[str, int]] = {}
        self.tab_group: list[tuple[int, str, int, str, int]] = []
        self.items = mass_items(assembly)

    def make(self) -> FrameModel:
        lines = [line for line in self.assembly.lines if line.fitted]
        self._want_lines(lines)
        self._want_tabs()
        used = {n: i for n, i in self.places.items() if i.part.id in self.wanted}
        parts = {p: self._part(p) for p in dict.fromkeys(i.part.id for i in used.values())}
        if not used:
            msg = "no fitted column holds a plate; the frame has no structure to solve."
            raise StructureError(msg)
        placed = [self._placed(n, i, parts[i.part.id]) for n, i in used.items()]
        numbers = {p.name: n for n, p in enumerate(placed)}
        bodies, carriers = self._bodies(lines, numbers)
        frame = Frame(placed, [item.centre for item in bodies])
        points = {key: frame.point(numbers[key[1]], group) for key, group in self.line_group.items()}
        rotors = {r: frame.point(numbers[place], group) for r, (place, group) in self.motor_group.items()}
        things = {item.name: frame.body(n) for n, item in enumerate(bodies)}
        bolted: list[Bolted] = []
        for line in lines:
            between, held = self.joints.of_line(line, points, things, numbers)
            bolted += between
            for spring in (*(b.spring for b in between), *held):
                frame.join(spring)
        self._join_tabs(frame, numbers)
        for item in bodies:
            frame.carry(_lump(item, things[item.name]))
        for item, plate in carriers:
            if item.name in things:
                self._join_battery(frame, item, numbers[plate], things[item.name])
            else:
                things[item.name] = self._patch(frame, item, numbers[plate])
                frame.carry(_lump(item, things[item.name]))
        self._carry_rest(frame, points, rotors, things)
        centres = {i.name: i.centre for i in self.items}
        return FrameModel(
            frame,
            parts,
            numbers,
            points,
            rotors,
            self._seats(rotors),
            things,
            centres,
            sum(i.mass for i in self.items),
            self.joints.model,
            tuple(bolted),
        )

    def _want_lines(self, lines: Sequence[Line]) -> None:
        motors: dict[tuple[int, str], list[int]] = {}
        for line in lines:
            has_motor = any(isinstance(i.record, Motor) for i in line.items)
            for item in line.items:
                place = item.instance
                if place is None or item.is_access or place.name not in self.places:
                    continue
                hole = self._hole(place, line)
                if hole is None:
                    continue
                if has_motor and line.rotor is not None:
                    motors.setdefault((line.rotor, place.name), []).append(hole)
                else:
                    self.line_group[line.name, place.name] = self._wants(place.part.id).group((hole,))
        for (rotor, name), holes in motors.items():
            group = self._wants(self.places[name].part.id).group(tuple(sorted(set(holes))))
            self.motor_group[rotor] = (name, group)

    def _wants(self, part: str) -> _Wanted:
        return self.wanted.setdefault(part, _Wanted())

    def _hole(self, place: Instance, line: Line) -> int | None:
        x, y = place.in_part(line.a, line.b)
        circles = self.assembly.parts[place.part.id].outline.circles
        if not circles:
            return None
        away = [math.hypot(c.x - x, c.y - y) for c in circles]
        nearest = int(np.argmin(away))
        return nearest if away[nearest] < _SAME_HOLE else None

    def _want_tabs(self) -> None:
        for n, tab in enumerate(self.assembly.tabs):
            if tab.standing.name not in self.places or tab.plate.name not in self.places:
                continue
            half = tab.tab.length_mm / 2 + 1.0
            mid = (tab.low + tab.high) / 2
            own = self._wants(tab.standing.part.id).tab(*tab.standing.in_part(tab.along, mid), half)
            x, y = (tab.along, tab.middle) if tab.standing.normal == "y" else (tab.middle, tab.along)
            other = self._wants(tab.plate.part.id).tab(*tab.plate.in_part(x, y), half)
            self.tab_group.append((n, tab.standing.name, own, tab.plate.name, other))

    def _part(self, part_id: str) -> ModelPart:
        finished = self.assembly.parts[part_id]
        part, wanted = finished.part, self.wanted[part_id]
        laminate = plate_laminate(self.assembly.catalogue, part.material, part.thickness_mm)
        turn = math.radians(part.grain_deg)
        size = self.size_factor * max(_LARGEST_MESH, part.thickness_mm)
        key = (finished.outline, laminate, turn, tuple(wanted.groups), tuple(wanted.tabs), size)
        found = self.cache.get(key)
        if found is None:
            found = _reduced(finished.outline, laminate, turn, wanted, size, part_id)
            self.cache[key] = found
        return found

    def _placed(self, name: str, instance: Instance, part: ModelPart) -> PlacedPlate:
        frame = self.frames[name]
        origin = np.array(frame.point(0.0, 0.0, instance.part.thickness_mm / 2))
        return PlacedPlate(name, part.reduced, origin, np.column_stack([frame.u, frame.v, frame.n]))

    def _bodies(
        self, lines: Sequence[Line], numbers: Mapping[str, int]
    ) -> tuple[list[MassItem], list[tuple[MassItem, str]]]:
        """Return what moves as a body of its own, and what sits on a plate without screws, with that plate."""
        held = {
            f"{item.word.name}.{item.word.role}"
            for line in lines
            for item in line.items
            if isinstance(item.record, Board | Camera) and any((line.name, n) in self.line_group for n in numbers)
        }
        own = [i for i in self.items if i.name in held]
        on = {e.id: e.on for e in self.assembly.design.equipment if e.on}
        batteries = {
            f"{e.id}.{role}"
            for e in self.assembly.design.equipment
            for role, record in e.use.items()
            if e.on
            and self._place_named(e.on, numbers)
            and isinstance(self.assembly.catalogue.find(record)[0], Battery)
        }
        own += [i for i in self.items if i.name in batteries]
        taken = {i.name for i in own if i.name not in batteries}
        loose = []
        for item in self.items:
            owner = item.name.partition(".")[0]
            if item.group in ("equipment", "battery") and item.name not in taken and owner in on:
                plate = self._place_named(on[owner], numbers)
                if plate is not None:
                    loose.append((item, plate))
        return own, loose

    def _place_named(self, place: str, numbers: Mapping[str, int]) -> str | None:
        return next((n for n in numbers if self.places[n].place.id == place), None)

    def _patch(self, frame: Frame, item: MassItem, plate: int) -> Point:
        """Return the mean motion of the plate within a small circle under a thing, widened until it is one."""
        placed = frame.plates[plate]
        local = placed.axes.T @ (item.centre - placed.origin)
        nodes = placed.reduced.mesh.nodes
        away = np.hypot(nodes[:, 0] - local[0], nodes[:, 1] - local[1])
        nearest, count = np.argsort(away, kind="stable"), max(int((away <= _PATCH).sum()), 8)
        while not _spread(nodes[nearest[:count]]):
            count += 4
        return frame.patch(plate, np.sort(nearest[:count]))

    def _join_battery(self, frame: Frame, item: MassItem, carrier: int, body: Point) -> None:
        """Rest a battery on its pad: on its carrier, and on every plate of the same height under its box."""
        # a box: I_x = m (b^2 + c^2) / 12 and so on
        squares = np.diag(item.inertia) * 12 / item.mass
        half = np.sqrt(np.maximum(squares.sum() / 2 - squares, 1.0)) / 2
        height = frame.plates[carrier].origin[2]
        patches = []
        for number, placed in enumerate(frame.plates):
            if abs(placed.origin[2] - height) > _SAME_LEVEL or abs(placed.axes[2, 2]) < _LEVEL:
                continue
            nodes = placed.reduced.mesh.nodes
            places = placed.origin + np.column_stack([nodes, np.zeros(len(nodes))]) @ placed.axes.T
            under = np.flatnonzero((np.abs(places - item.centre) <= half)[:, :2].all(axis=1))
            if _spread(nodes[under]):
                patches.append((placed.name, frame.patch(number, under)))
        if not patches:
            patches.append((frame.plates[carrier].name, self._patch(frame, item, carrier)))
        for name, patch in patches:
            stiffness = self.joints.battery() / len(patches)
            frame.join(Spring(f"{item.name} on {name}", patch, body, patch.position, stiffness))

    def _join_tabs(self, frame: Frame, numbers: Mapping[str, int]) -> None:
        for n, standing, own, plate, other in self.tab_group:
            tab = self.assembly.tabs[n]
            near = frame.point(numbers[standing], len(self.wanted[self.places[standing].part.id].groups) + own)
            far = frame.point(numbers[plate], len(self.wanted[self.places[plate].part.id].groups) + other)
            stiffness = self.joints.tab(tab)
            frame.join(Spring(f"tab {tab.tab.id} of {standing} in {plate}", near, far, far.position, stiffness))

    def _carry_rest(
        self,
        frame: Frame,
        points: Mapping[tuple[str, str], Point],
        rotors: Mapping[int, Point],
        things: Mapping[str, Point],
    ) -> None:
        """Carry what has not been carried: hardware by its line, motors and propellers by their seat."""
        by_line: dict[str, list[Point]] = {}
        for (line, _), point in points.items():
            by_line.setdefault(line, []).append(point)
        seats = {n.name: rotors[n.rotor] for n in self.assembly.lines if n.rotor is not None and n.rotor in rotors}
        for item in self.items:
            if item.group == "plates" or item.name in things:
                continue
            line, mark, _ = item.name.partition("#")
            if mark and line in seats:
                near: Point | None = seats[line]
            elif mark and line in by_line:
                near = min(by_line[line], key=lambda p: float(np.linalg.norm(p.position - item.centre)))
            else:
                near = _nearest_rotor(item, rotors) or self._nearest(frame, item)
            if near is not None:
                frame.carry(_lump(item, near))

    def _nearest(self, frame: Frame, item: MassItem) -> Point:
        """Return the point of a plate nearest to a thing that names no carrier."""
        best = min(
            ((n, k) for n, p in enumerate(frame.plates) for k in range(p.reduced.n_points)),
            key=lambda nk: float(
                np.linalg.norm(
                    frame.plates[nk[0]].place(*frame.plates[nk[0]].reduced.points[nk[1]].tolist()) - item.centre
                )
            ),
        )
        return frame.point(*best)

    def _seats(self, rotors: Mapping[int, Point]) -> dict[int, Floats]:
        found = {}
        for rotor, point in rotors.items():
            discs = [b for b in self.assembly.bodies if b.role == "propeller" and b.name.endswith(f".{rotor}")]
            found[rotor] = np.array(discs[0].frame.origin) if discs else point.position
        return found


def _reduced(
    outline: Outline, laminate: Laminate, turn: float, wanted: _Wanted, size: float, part_id: str
) -> ModelPart:
    try:
        mesh = mesh_outline(outline, size)
        section = section_of(laminate, turn)
        centres = [(c.x, c.y) for c in outline.circles]
        ties = [tie_group([mesh.rims[n] for n in g], [centres[n] for n in g]) for g in wanted.groups]
        taken = set(np.concatenate([t.nodes for t in ties]).tolist()) if ties else set()
        for x, y, radius in wanted.tabs:
            ties.append(_tab_tie(mesh, x, y, radius, taken))
            taken |= set(ties[-1].nodes.tolist())
        reduced = reduce_plate(mesh, section, ties)
    except StructureError as error:
        msg = f"part '{part_id}': {error}"
        raise StructureError(msg) from error
    stiff = np.array(sorted(taken), dtype=np.intp)
    return ModelPart(outline, laminate, turn, section, reduced, stiff, tuple(wanted.groups))


def _tab_tie(mesh: Mesh, x: float, y: float, radius: float, taken: set[int]) -> Tie:
    away = np.hypot(mesh.nodes[:, 0] - x, mesh.nodes[:, 1] - y)
    free = np.array([n for n in np.argsort(away) if int(n) not in taken], dtype=np.intp)
    near = free[away[free] <= radius]
    return Tie(near if len(near) >= 6 else free[:6], (x, y))


def _spread(nodes: Floats) -> bool:
    """Whether nodes do not lie in one line."""
    return len(nodes) >= 6 and float(np.linalg.svd(nodes - nodes.mean(axis=0), compute_uv=False)[1]) > 1.0


def _lump(item: MassItem, point: Point) -> Lump:
    inertia = item.inertia + np.eye(3) * _LEAST_INERTIA
    return Lump(point, item.mass, item.centre, inertia)


def _nearest_rotor(item: MassItem, rotors: Mapping[int, Point]) -> Point | None:
    """Return the seat whose axis a motor, propeller or nut stands on."""
    for point in rotors.values():
        if math.hypot(*(item.centre - point.position)[:2].tolist()) < 1.0:
            return point
    return None
