"""Where bolt lines stand: points of columns, hole patterns of motors and boards. Lengths in mm, angles in rad."""

from __future__ import annotations

import math
from collections.abc import Mapping

from platewright.assembly.instances import Instance, mirror_signs
from platewright.assembly.stance import ArmLine, Rotor
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import Board
from platewright.model.catalogue.power import Motor
from platewright.model.design import Column, Equipment

__all__ = ["board_points", "column_points", "distinct", "motor_points"]


def column_points(column: Column, instances: Mapping[str, Instance]) -> list[tuple[float, float, int | None]]:
    """Points of a column with its mirrored copies, each with the index of the arm it stands on, if any [mm]."""
    points: list[tuple[float, float, int | None]] = []
    if column.of is not None:
        for instance in instances.values():
            if instance.place.id == column.of:
                for x, y in column.at_mm:
                    for sx, sy in mirror_signs(column.mirror):
                        points.append((*instance.to_plane.apply(sx * x, sy * y), instance.index))
    else:
        signs = mirror_signs(column.mirror)
        if column.axis != "z":  # heights are never mirrored
            signs = tuple((sx * sy, 1) for sx, sy in signs)
        points = [(sx * x, sy * y, None) for x, y in column.at_mm for sx, sy in signs]
    return distinct(points)


def motor_points(
    equipment: Equipment, catalogue: Catalogue, record: Record | None, rotor: Rotor, arm: ArmLine | None
) -> list[tuple[float, float]]:
    """Offsets of a motor's holes: opposite pairs, turned with the arm, mirrored where the frame is."""
    if not isinstance(record, Motor):
        return [(0.0, 0.0)]
    pattern = catalogue.motor_pattern(equipment.pattern or record.patterns[0])
    turn = math.radians(equipment.turn_deg)
    if arm is not None:
        start = arm.bearing + (-turn if arm.left_handed else turn)
    else:
        start = math.atan2(rotor.y, rotor.x) + (-turn if rotor.x * rotor.y < 0 else turn)
    distances = pattern.opposite_hole_distances_mm
    step = 2 * math.pi / pattern.holes
    return [
        (
            distances[i % len(distances)] / 2 * math.cos(start + i * step),
            distances[i % len(distances)] / 2 * math.sin(start + i * step),
        )
        for i in range(pattern.holes)
    ]


def board_points(
    equipment: Equipment, catalogue: Catalogue, record: Record, base: tuple[float, float]
) -> list[tuple[float, float]]:
    """Four corners of a board pattern, counter-clockwise from the front left, turned about its centre."""
    if not isinstance(record, Board) or record.pattern is None:
        return [base]
    half = catalogue.board_pattern(equipment.pattern or record.pattern).side_mm / 2
    turn = math.radians(equipment.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return [
        (base[0] + cos * sx * half - sin * sy * half, base[1] + sin * sx * half + cos * sy * half)
        for sx, sy in mirror_signs("xy")
    ]


def distinct(points: list[tuple[float, float, int | None]]) -> list[tuple[float, float, int | None]]:
    """Each point once: copies that a mirror lays on one another are one."""
    kept: list[tuple[float, float, int | None]] = []
    for point in points:
        if all(math.hypot(point[0] - k[0], point[1] - k[1]) > 1e-6 for k in kept):
            kept.append(point)
    return kept
