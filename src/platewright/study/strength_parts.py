"""The parts of a frame's model: which points each plate needs, and its reduction to them, identical parts once.

A plate's point is a hole that a fitted line passes through, all holes of one motor, or the place of a tab.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Outline
from platewright.model.catalogue.power import Motor
from platewright.structure.laminate import Laminate, Section, section_of
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.mesh_carried import carried_mesh
from platewright.structure.recover import StrainRecovery, strain_recovery
from platewright.structure.reduce import ReducedPlate, reduce_plate
from platewright.structure.supports import Tie, tie_group
from platewright.study.part_notches import part_notches
from platewright.study.strength_laminates import plate_laminate

__all__ = ["ModelPart", "PartCache", "PartPoints"]

Ints = NDArray[np.intp]

_LARGEST_MESH = 3.5  # of a thin plate; a thick one's is its thickness [mm]
_SAME_PLACE = 1e-9  # between places that rounding moved [mm]
_SAME_HOLE = 0.3  # how far a line may be off the hole that it made [mm]

PartKey = tuple[object, ...]
PartCache = MutableMapping[PartKey, "ModelPart"]


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
    recovery : StrainRecovery
        Its strains per freedom.
    """

    outline: Outline
    laminate: Laminate
    turn: float
    section: Section
    reduced: ReducedPlate
    stiff: Ints
    holes: tuple[tuple[int, ...], ...]
    recovery: StrainRecovery


class PartPoints:
    """Which points each part needs, and the parts reduced to them.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    places : mapping of str to Instance
        Places that are modelled.
    cache : mutable mapping
        Keeps reduced parts from one call to the next.
    size_factor : float
        On the size of the mesh [-].
    like : mapping of str to ModelPart
        Parts of a similar frame, by id: their meshes are carried along where that can be done.

    Attributes
    ----------
    line_group : dict of (str, str) to int
        Number of the point on a place that a line passes through.
    motor_group : dict of int to (str, int)
        Place and point of each rotor's motor.
    tab_group : list of (int, str, int, str, int)
        Number of the tab, its standing place and point, and the place and point it enters.
    """

    def __init__(
        self,
        assembly: Assembly,
        places: Mapping[str, Instance],
        cache: PartCache,
        size_factor: float,
        like: Mapping[str, ModelPart],
    ) -> None:
        self.assembly, self.places, self.cache = assembly, places, cache
        self.size_factor, self.like = size_factor, like
        self.wanted: dict[str, _Wanted] = {}
        self.line_group: dict[tuple[str, str], int] = {}
        self.motor_group: dict[int, tuple[str, int]] = {}
        self.tab_group: list[tuple[int, str, int, str, int]] = []
        self._want_lines([line for line in assembly.lines if line.fitted])
        self._want_tabs()

    def part(self, part_id: str) -> ModelPart:
        """Return a part, reduced to the points it needs."""
        finished = self.assembly.parts[part_id]
        part, wanted = finished.part, self.wanted[part_id]
        laminate = plate_laminate(self.assembly.catalogue, part.material, part.thickness_mm)
        turn = math.radians(part.grain_deg)
        like = self.like.get(part_id)
        if like is not None and _is_same(like, finished.outline, laminate, turn, wanted):
            return like
        size = self.size_factor * max(_LARGEST_MESH, part.thickness_mm)
        key = (finished.outline, laminate, turn, tuple(wanted.groups), tuple(wanted.tabs), size)
        try:
            mesh = None if like is None else carried_mesh(like.reduced.mesh, like.outline, finished.outline)
            if mesh is not None:
                return _reduced(mesh, finished.outline, laminate, turn, wanted)
            found = self.cache.get(key)
            if found is None:
                mesh = mesh_outline(finished.outline, size)
                found = self.cache[key] = _reduced(mesh, finished.outline, laminate, turn, wanted)
        except StructureError as error:
            msg = f"part '{part_id}': {error}"
            raise StructureError(msg) from error
        return found

    def n_groups(self, part_id: str) -> int:
        """Return how many points of a part are holes; those of tabs come after them."""
        return len(self.wanted[part_id].groups)

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


def _is_same(part: ModelPart, outline: Outline, laminate: Laminate, turn: float, wanted: _Wanted) -> bool:
    """Whether a part is as another, but for rounding in the places of its tabs."""
    if (part.outline, part.laminate, part.turn, part.holes) != (outline, laminate, turn, tuple(wanted.groups)):
        return False
    tabs = np.array([tab[:2] for tab in wanted.tabs]).reshape(-1, 2)
    places = part.reduced.points[len(part.holes) :]
    return places.shape == tabs.shape and np.allclose(places, tabs, rtol=0.0, atol=_SAME_PLACE)


def _reduced(mesh: Mesh, outline: Outline, laminate: Laminate, turn: float, wanted: _Wanted) -> ModelPart:
    section = section_of(laminate, turn)
    centres = [(c.x, c.y) for c in outline.circles]
    ties = [tie_group([mesh.rims[n] for n in g], [centres[n] for n in g]) for g in wanted.groups]
    taken = set(np.concatenate([t.nodes for t in ties]).tolist()) if ties else set()
    for x, y, radius in wanted.tabs:
        ties.append(_tab_tie(mesh, x, y, radius, taken))
        taken |= set(ties[-1].nodes.tolist())
    stiff = np.array(sorted(taken), dtype=np.intp)
    reduced = reduce_plate(mesh, section, ties)
    notches = part_notches(outline, chain.from_iterable(wanted.groups))
    recovery = strain_recovery(reduced, laminate, turn, stiff, notches)
    return ModelPart(outline, laminate, turn, section, reduced, stiff, tuple(wanted.groups), recovery)


def _tab_tie(mesh: Mesh, x: float, y: float, radius: float, taken: set[int]) -> Tie:
    away = np.hypot(mesh.nodes[:, 0] - x, mesh.nodes[:, 1] - y)
    free = np.array([n for n in np.argsort(away) if int(n) not in taken], dtype=np.intp)
    near = free[away[free] <= radius]
    return Tie(near if len(near) >= 6 else free[:6], (x, y))
