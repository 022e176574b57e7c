"""Bolt lines: every column and every equipment stack, once per point, with its items looked up.

A line runs along +z, +y or +x. Lines along z stand at (x, y); sideways ones at (x or y, height above the top of their
foot) and are centred on the column's `centre_mm`. Lengths in mm, angles in rad.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.affine import Affine, exactly, plus_minus
from platewright.assembly.bolt_points import board_points, column_points, distinct, motor_points
from platewright.assembly.instances import Instance, instance_at, mirror_signs
from platewright.assembly.stance import ArmLine, Rotor, rotors_at
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import Board, Camera
from platewright.model.catalogue.power import Motor
from platewright.model.design import Design, Equipment
from platewright.model.stack import ItemKind, StackItem

__all__ = ["Item", "Line", "lines_of"]


@dataclass(frozen=True)
class Item:
    """One thing on a line.

    Parameters
    ----------
    word : StackItem
        As the design says it.
    thickness : Affine
        What it adds to the stack [mm]; nothing for screws, gaps and access places.
    instance : Instance or None
        The placed part, for places.
    record : Record or None
        The catalogue record of hardware and equipment.
    """

    word: StackItem
    thickness: Affine
    instance: Instance | None = None
    record: Record | None = None

    @property
    def is_access(self) -> bool:
        """Surrounds a head or driver and touches nothing."""
        return self.word.access_mm is not None

    @property
    def touches(self) -> bool:
        """Adds to the stack: neither air, nor an access place, nor a screw."""
        return self.word.kind not in (ItemKind.GAP, ItemKind.SCREW) and not self.is_access

    @property
    def label(self) -> str:
        """What a person calls it: the instance, or the words of the stack."""
        return self.instance.name if self.instance is not None else self.word.text


@dataclass(frozen=True)
class Line:
    """One bolt line.

    Parameters
    ----------
    name : str
        Owner's id, with `.1` and so on where it has several.
    owner : str
        Id of the column or piece of equipment.
    is_equipment : bool
        It belongs to equipment, not to a column.
    axis : str
        "z", "y" or "x".
    a, b : float
        (x, y) for z; (x, height) for y; (y, height) for x [mm].
    items : tuple of Item
        Along +axis.
    """

    name: str
    owner: str
    is_equipment: bool
    axis: str
    a: float
    b: float
    items: tuple[Item, ...]
    fitted: bool
    hole: str
    sets_level: tuple[str, ...] = ()
    foot: str | None = None
    centre: float = 0.0
    rotor: int | None = None


def lines_of(
    design: Design, catalogue: Catalogue, instances: Mapping[str, Instance], rotors: Sequence[Rotor]
) -> tuple[Line, ...]:
    """All bolt lines of a design, columns first, in the order of the file.

    Parameters
    ----------
    design : Design
        The design, references valid.
    catalogue : Catalogue
        Where hardware and equipment are looked up.
    instances : mapping
        From `instances_of`.
    rotors : sequence of Rotor
        From `rotors_of`.
    """
    look = _Lookup(design, catalogue, instances)
    lines: list[Line] = []
    for column in design.column:
        points = column_points(column, instances)
        for name, a, b, arm in _named(column.id, points):
            items = look.items(name, column.items, column.axis, a, b, arm)
            lines.append(
                Line(
                    name,
                    column.id,
                    False,
                    column.axis,
                    a,
                    b,
                    items,
                    column.fitted,
                    column.hole,
                    column.sets_level,
                    column.foot,
                    column.centre_mm,
                )
            )
    for equipment in design.equipment:
        if equipment.stack:
            lines += _equipment_lines(equipment, look, rotors)
    return tuple(lines)


def _named(owner: str, points: Sequence[tuple[float, float, int | None]]) -> list[tuple[str, float, float, int | None]]:
    if len(points) == 1:
        return [(owner, *points[0])]
    return [(f"{owner}.{i + 1}", *point) for i, point in enumerate(points)]


def _equipment_lines(equipment: Equipment, look: _Lookup, rotors: Sequence[Rotor]) -> list[Line]:
    made: list[Line] = []
    record = look.pattern_record(equipment)
    if equipment.at is not None:
        for rotor in rotors_at(equipment.at, rotors):
            arm = look.arm_of(equipment, rotor.axis)
            points = [
                (rotor.x + dx, rotor.y + dy) for dx, dy in motor_points(equipment, look.catalogue, record, rotor, arm)
            ]
            words = tuple(reversed(equipment.items)) if rotor.below else equipment.items
            for i, (x, y) in enumerate(points):
                name = f"{equipment.id}.{rotor.number}.{i + 1}"
                items = look.items(name, words, "z", x, y, rotor.axis, f"{equipment.id}.{rotor.number}")
                made.append(
                    Line(
                        name, equipment.id, True, "z", x, y, items, equipment.fitted, equipment.hole, rotor=rotor.number
                    )
                )
        return made
    base = (float(equipment.at_mm[0]), float(equipment.at_mm[1]))
    points = (
        [base] if equipment.axis != "z" or record is None else board_points(equipment, look.catalogue, record, base)
    )
    copies = distinct(
        [
            (sx * x, (sy if equipment.axis == "z" else 1) * y, None)
            for x, y in points
            for sx, sy in mirror_signs(equipment.mirror)
        ]
    )
    for name, a, b, _ in _named(equipment.id, copies):
        items = look.items(name, equipment.items, equipment.axis, a, b, None, equipment.id)
        made.append(
            Line(
                name,
                equipment.id,
                True,
                equipment.axis,
                a,
                b,
                items,
                equipment.fitted,
                equipment.hole,
                foot=equipment.foot,
            )
        )
    return made


class _Lookup:
    """Finds what the words of a stack mean at a point."""

    def __init__(self, design: Design, catalogue: Catalogue, instances: Mapping[str, Instance]) -> None:
        self.catalogue = catalogue
        self._instances = instances
        self._equipment = {e.id: e for e in design.equipment}
        self._places = {p.id for p in design.place}

    def pattern_record(self, equipment: Equipment) -> Record | None:
        """Return the record that gives the hole pattern: the first board or motor of the equipment."""
        records = [self.catalogue.find(i)[0] for i in equipment.use.values()]
        return next((r for r in records if isinstance(r, Motor) or (isinstance(r, Board) and r.pattern)), None)

    def arm_of(self, equipment: Equipment, axis: int) -> ArmLine | None:
        """Return the arm that carries the equipment at a rotor axis, if an arm does."""
        for word in equipment.items:
            for instance in self._instances.values():
                if instance.place.id == word.name and instance.arm is not None and instance.index == axis:
                    return instance.arm
        return None

    def items(
        self, line: str, words: Sequence[StackItem], axis: str, a: float, b: float, index: int | None, body: str = ""
    ) -> tuple[Item, ...]:
        """Items of one line; `body` names the piece of equipment, so that its four lines share its thickness."""
        return tuple(self._item(f"{line}#{i}", word, axis, a, b, index, body) for i, word in enumerate(words))

    def _item(self, name: str, word: StackItem, axis: str, a: float, b: float, index: int | None, body: str) -> Item:
        if word.kind is ItemKind.THING:
            if word.name in self._places:
                return self._place(word, a, b, index)
            return self._body(word, body or word.name)
        return self._hardware(name, word)

    def _place(self, word: StackItem, a: float, b: float, index: int | None) -> Item:
        if word.role:
            instance = self._instances[f"{word.name}.{word.role}"]
        else:
            arms = [i for i in self._instances.values() if i.place.id == word.name and i.arm is not None]
            own = next((i for i in arms if i.index == index), None)
            instance = own or instance_at(self._instances, word.name, a, b)
        part = instance.part
        tolerance = self.catalogue.thickness_tolerance_mm(part.thickness_mm)
        thickness = plus_minus(part.thickness_mm, tolerance, f"thickness of {instance.name}")
        return Item(word, exactly(0.0) if word.access_mm is not None else thickness, instance)

    def _body(self, word: StackItem, body: str) -> Item:
        record = self.catalogue.find(self._equipment[word.name].use[word.role])[0]
        name = f"{body}.{word.role}"
        if isinstance(record, Board) and word.in_grommet:
            grommet = self.catalogue.grommet(self._thread_of(word.name))
            return Item(word, plus_minus(grommet.compressed_height_mm, grommet.height_tolerance_mm, name), None, record)
        if isinstance(record, Board) and record.pcb_thickness_mm is not None:
            return Item(
                word, plus_minus(record.pcb_thickness_mm, record.pcb_thickness_tolerance_mm or 0.0, name), None, record
            )
        if isinstance(record, Motor):
            low, high = record.base_thickness_range_mm
            return Item(word, plus_minus((low + high) / 2, (high - low) / 2, name), None, record)
        if isinstance(record, Camera):
            low, high = record.body_width_range_mm
            half = min(record.body_width_mm - low, high - record.body_width_mm)
            return Item(word, plus_minus(record.body_width_mm, max(half, 0.0), name), None, record)
        return Item(word, exactly(0.0), None, record)

    def _thread_of(self, equipment: str) -> str:
        return next(w.size for w in self._equipment[equipment].items if w.kind is ItemKind.SCREW)

    def _hardware(self, name: str, word: StackItem) -> Item:
        catalogue, length = self.catalogue, word.length_mm or 0.0
        if word.kind is ItemKind.SCREW:
            return Item(word, exactly(0.0), None, catalogue.screw(word.size, word.style))
        if word.kind is ItemKind.NUT:
            nut = catalogue.nut(word.size, word.style)
            return Item(word, plus_minus(nut.height_mm, nut.height_tolerance_mm, name), None, nut)
        if word.kind is ItemKind.WASHER:
            washer = catalogue.washer(word.size, word.style)
            return Item(word, plus_minus(washer.thickness_mm, washer.thickness_tolerance_mm, name), None, washer)
        if word.kind is ItemKind.STANDOFF:
            standoff = catalogue.standoff(word.size, "studded" if word.studded else "plain")
            return Item(word, plus_minus(length, standoff.length_tolerance_mm, name), None, standoff)
        if word.kind is ItemKind.SPACER:
            spacer = catalogue.spacer(word.size, None, word.style or None)
            return Item(word, plus_minus(length, spacer.length_tolerance_mm, name), None, spacer)
        return Item(word, exactly(0.0))
