"""Holes of every part: the union of what columns and equipment ask for at all its places.

A hole belongs to the part, so an instance may carry holes that nothing uses there: they are idle at that place. Two
holes closer than the merging distance with one diameter are one hole; holes that overlap without being the same are
near misses. Lengths in mm, in the part's own axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from platewright.assembly.heights import Levels
from platewright.assembly.hole_requests import Countersink, Request, equipment_requests, line_requests, strap_slots
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.geometry.loops import Circle
from platewright.geometry.sketch import RectangleCut
from platewright.model.catalogue import Catalogue
from platewright.model.design import Design

__all__ = ["Hole", "NearMiss", "PartHoles", "holes_of", "idle_holes"]


@dataclass(frozen=True)
class Hole:
    """One hole of a part and everything that asks for it."""

    x: float
    y: float
    diameter: float
    requests: tuple[Request, ...]

    @property
    def circle(self) -> Circle:
        """The hole as geometry."""
        return Circle(self.x, self.y, self.diameter / 2)

    @property
    def purpose(self) -> str:
        """What it is for, first asker."""
        return self.requests[0].purpose

    @property
    def countersinks(self) -> tuple[Countersink, ...]:
        """Countersinks asked for, each once."""
        return tuple(dict.fromkeys(r.countersink for r in self.requests if r.countersink is not None))

    def used_at(self, instance: str) -> bool:
        """Whether something fitted uses it at an instance."""
        return any(r.instance == instance and r.used for r in self.requests)


@dataclass(frozen=True)
class NearMiss:
    """Two holes of one part that overlap and are not the same."""

    part: str
    first: Hole
    second: Hole
    distance: float


@dataclass(frozen=True)
class PartHoles:
    """Holes and strap slots of one part."""

    part: str
    holes: tuple[Hole, ...]
    slots: tuple[RectangleCut, ...] = ()
    near_misses: tuple[NearMiss, ...] = field(default=())


def holes_of(
    design: Design,
    catalogue: Catalogue,
    instances: Mapping[str, Instance],
    lines: Sequence[Line],
    rotor_axes: Sequence[tuple[float, float]],
    levels: Levels,
) -> dict[str, PartHoles]:
    """Holes of every part, by part id.

    Parameters
    ----------
    design, catalogue, instances, lines
        The design and what was found from it.
    rotor_axes : sequence of (float, float)
        For the relief holes under the motors [mm].
    levels : Levels
        For standing plates and sideways lines that count their heights from different places.
    """
    requests: dict[str, list[Request]] = {part.id: [] for part in design.part}
    for request, part in line_requests(lines, instances, levels, catalogue):
        requests[part].append(request)
    for request, part in equipment_requests(design, catalogue, instances, lines, rotor_axes):
        requests[part].append(request)
    slots = strap_slots(design, catalogue, instances)
    merge = design.checks.hole_merge_mm
    made = {}
    for part, asked in requests.items():
        holes = _merged(asked, merge)
        made[part] = PartHoles(part, holes, tuple(slots.get(part, ())), tuple(_near_misses(part, holes)))
    return made


def idle_holes(holes: PartHoles, instance: str) -> tuple[Hole, ...]:
    """Return the holes of a part that nothing fitted uses at one of its instances."""
    return tuple(hole for hole in holes.holes if not hole.used_at(instance))


def _merged(requests: Sequence[Request], merge: float) -> tuple[Hole, ...]:
    groups: list[list[Request]] = []
    for request in requests:
        for group in groups:
            first = group[0]
            if (
                math.hypot(first.x - request.x, first.y - request.y) <= merge
                and abs(first.diameter - request.diameter) <= merge
            ):
                group.append(request)
                break
        else:
            groups.append([request])
    return tuple(Hole(g[0].x, g[0].y, g[0].diameter, tuple(g)) for g in groups)


def _near_misses(part: str, holes: Sequence[Hole]) -> list[NearMiss]:
    found = []
    for i, first in enumerate(holes):
        for second in holes[i + 1 :]:
            distance = math.hypot(first.x - second.x, first.y - second.y)
            if distance < (first.diameter + second.diameter) / 2:
                found.append(NearMiss(part, first, second, distance))
    return found
