"""Holes and slots that columns and equipment ask for, each at one instance.

Lines ask for clearance, press and access holes, motors for the relief hole under their shaft, antennas for their neck,
straps for two slots. Lengths in mm, in the part's own axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.heads import screw_direction
from platewright.assembly.heights import Levels
from platewright.assembly.instances import Instance, instance_at, mirror_signs
from platewright.assembly.lines import Item, Line
from platewright.assembly.standing import on_plane
from platewright.geometry.sketch import RectangleCut
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import Antenna
from platewright.model.catalogue.fasteners import Nut, Screw
from platewright.model.catalogue.power import Motor
from platewright.model.design import Design, Equipment
from platewright.model.stack import ItemKind

__all__ = ["Countersink", "Request", "equipment_requests", "line_requests", "relief_hole", "strap_slots"]

_SHAFT_PLAY = 1.0  # a relief hole is at least this much wider than the shaft (common practice, no source) [mm]


@dataclass(frozen=True)
class Countersink:
    """A countersunk hole: diameter at the face [mm], angle [deg], and whether it opens on the part's upper face."""

    diameter: float
    angle_deg: float
    on_upper_face: bool


@dataclass(frozen=True)
class Request:
    """One hole asked for at one instance.

    Parameters
    ----------
    x, y, diameter : float
        In the part's own axes [mm].
    instance, source : str
        Who asks: the instance, and the line or piece of equipment.
    used : bool
        False for provisions (`fitted = false`).
    """

    x: float
    y: float
    diameter: float
    instance: str
    source: str
    used: bool
    purpose: str
    countersink: Countersink | None = None


def line_requests(
    lines: Sequence[Line], instances: Mapping[str, Instance], levels: Levels, catalogue: Catalogue
) -> list[tuple[Request, str]]:
    """Return the holes that bolt lines ask for in the plates they go through, each with the id of the part."""
    made = []
    for line in lines:
        for n, item in enumerate(line.items):
            if item.instance is not None:
                point = on_plane(line.a, line.b, line.foot, item.instance, instances, levels)
                request = _request(line, n, item, item.instance.in_part(*point), catalogue)
                made.append((request, item.instance.part.id))
    return made


def equipment_requests(
    design: Design,
    catalogue: Catalogue,
    instances: Mapping[str, Instance],
    lines: Sequence[Line],
    rotor_axes: Sequence[tuple[float, float]],
) -> list[tuple[Request, str]]:
    """Return the holes that motors and antennas ask for beside their screws, each with the id of the part."""
    made = []
    records = {e.id: e for e in design.equipment}
    seen: set[tuple[str, int]] = set()
    for line in lines:
        motors = [n for n, i in enumerate(line.items) if isinstance(i.record, Motor)]
        plates = [(n, i.instance) for n, i in enumerate(line.items) if i.instance is not None and not i.is_access]
        if not motors or not plates or line.rotor is None:
            continue
        _, instance = min(plates, key=lambda p, m=motors[0]: abs(p[0] - m))  # type: ignore[misc]
        if (instance.name, line.rotor) in seen:
            continue
        seen.add((instance.name, line.rotor))
        x, y = instance.in_part(*rotor_axes[(line.rotor - 1) % len(rotor_axes)])
        source = f"{line.owner}.{line.rotor}"
        motor = line.items[motors[0]].record
        assert isinstance(motor, Motor)
        pattern = records[line.owner].pattern or motor.patterns[0]
        relief = relief_hole(motor, pattern, catalogue, design.checks.motor_hole_to_edge_mm)
        request = Request(round(x, 9), round(y, 9), relief, instance.name, source, line.fitted, "motor relief")
        made.append((request, instance.part.id))
    for equipment in design.equipment:
        for record in (catalogue.find(i)[0] for i in equipment.use.values()):
            wanted = _panel_hole(record)
            if wanted is None:
                continue
            for place in equipment.through:
                for a, b, _ in _copies(equipment):
                    instance = instance_at(instances, place, a, b)
                    x, y = instance.in_part(a, b)
                    x, y = round(x, 9), round(y, 9)
                    request = Request(x, y, wanted, instance.name, equipment.id, equipment.fitted, "antenna")
                    made.append((request, instance.part.id))
    return made


def strap_slots(
    design: Design, catalogue: Catalogue, instances: Mapping[str, Instance]
) -> dict[str, list[RectangleCut]]:
    """Two slots across the strap, ends as round as the slot is wide, in every place it goes through."""
    made: dict[str, list[RectangleCut]] = {}
    for equipment in design.equipment:
        if equipment.spacing_mm is None:
            continue
        strap = catalogue.strap(next(iter(equipment.use.values())))
        length, width = sum(strap.slot_length_range_mm) / 2, sum(strap.slot_width_range_mm) / 2
        half = equipment.spacing_mm / 2
        for place in equipment.through:
            for a, b, turn in _copies(equipment):
                instance = instance_at(instances, place, a, b)
                for side in (1, -1):
                    x, y = instance.in_part(a - side * half * math.sin(turn), b + side * half * math.cos(turn))
                    own_turn = instance.turn_in_part(turn)
                    slot = RectangleCut(round(x, 9), round(y, 9), length, width, width / 2, own_turn)
                    own = made.setdefault(instance.part.id, [])
                    if not any(math.hypot(slot.x - s.x, slot.y - s.y) < 1e-6 for s in own):
                        own.append(slot)
    return made


def relief_hole(motor: Motor, pattern: str, catalogue: Catalogue, plate_left: float) -> float:
    """Return the hole under a motor's shaft: the usual one, or what a small pattern leaves beside its screws [mm]."""
    usual = catalogue.rule("motor_mounting.centre_relief_hole_d_mm").value
    holes = catalogue.motor_pattern(pattern)
    left = min(holes.opposite_hole_distances_mm) - holes.plate_hole_d_mm - 2 * plate_left
    shaft = min(motor.shaft_d_mm + _SHAFT_PLAY, usual)
    return min(usual, max(left, shaft))


def _request(line: Line, n: int, item: Item, point: tuple[float, float], catalogue: Catalogue) -> Request:
    assert item.instance is not None
    x, y = point
    size = next((i.word.size for i in line.items if i.word.size), "M3")
    diameter, purpose = catalogue.clearance_hole(size, line.hole).d_mm, f"{size} {line.hole}"
    press = [i.record for i in line.items if i.word.kind is ItemKind.NUT and i.word.name == item.instance.place.id]
    if item.word.access_mm is not None:
        diameter, purpose = item.word.access_mm, "access"
    elif press and isinstance(press[0], Nut) and press[0].plate_hole_d_mm:
        diameter, purpose = press[0].plate_hole_d_mm, f"{size} press nut"
    elif any(isinstance(i.record, Motor) for i in line.items):
        purpose = f"{size} motor"
    return Request(
        round(x, 9),
        round(y, 9),
        diameter,
        item.instance.name,
        line.name,
        line.fitted,
        purpose,
        _countersink(line, n, item),
    )


def _countersink(line: Line, n: int, item: Item) -> Countersink | None:
    """Return the countersink for a countersunk screw whose head sits in this plate."""
    assert item.instance is not None
    for m in (n - 1, n + 1):
        if not 0 <= m < len(line.items):
            continue
        record = line.items[m].record
        head_here = isinstance(record, Screw) and screw_direction(line.items, m) == n - m
        if head_here and isinstance(record, Screw) and record.head_angle_deg is not None and not item.is_access:
            head_looks_up = n < m  # the screw above the plate points down, so its head is on the +axis side
            upper = head_looks_up != item.instance.over
            return Countersink(record.head_d_max_mm, record.head_angle_deg, upper)
    return None


def _copies(equipment: Equipment) -> list[tuple[float, float, float]]:
    """Where a piece of equipment and its mirrored copies stand [mm], and how they are turned [rad]."""
    x, y, turn = float(equipment.at_mm[0]), float(equipment.at_mm[1]), math.radians(equipment.turn_deg)
    points: dict[tuple[float, float], float] = {}
    for sx, sy in mirror_signs(equipment.mirror):
        points.setdefault((sx * x + 0.0, sy * y + 0.0), sx * sy * turn)
    return [(a, b, t) for (a, b), t in points.items()]


def _panel_hole(record: Record) -> float | None:
    """Return the hole an antenna needs in a plate: its threaded neck, or the widest of its tubes [mm]."""
    if not isinstance(record, Antenna):
        return None
    if record.panel_hole_d_mm is not None or record.tube_outer_d_range_mm is None:
        return record.panel_hole_d_mm
    return record.tube_outer_d_range_mm[1]
