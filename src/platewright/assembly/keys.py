"""Keys: neighbouring arms trimmed along the line of equal distance between them.

Lengths in mm; half planes in the part's own axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from platewright.assembly.instances import Instance
from platewright.geometry.sketch import HalfPlaneCut
from platewright.model.design import Design

__all__ = ["key_mismatches", "key_planes"]


def key_mismatches(design: Design, instances: Mapping[str, Instance]) -> tuple[str, ...]:
    """Return the instances that their key would trim otherwise than the first: they would not be the same part."""
    wrong = []
    for key in design.key:
        arms = [i for i in instances.values() if i.place.id == key.of]
        first = key_planes(arms, 0, key.clearance_mm)
        for n in range(1, len(arms)):
            own = key_planes(arms, n, key.clearance_mm)
            if any(min(_plane_difference(a, b) for b in own) > 1e-6 for a in first):
                wrong.append(arms[n].name)
    return tuple(wrong)


def key_planes(arms: Sequence[Instance], n: int, clearance: float) -> list[HalfPlaneCut]:
    """Half planes that trim arm n against both neighbours, in the part's own axes."""
    count = len(arms)
    if count < 2 or any(a.arm is None for a in arms):
        return []
    planes = []
    for other in {(n - 1) % count, (n + 1) % count} - {n}:
        px, py, nx, ny = _bisector(arms[n], arms[other])
        x, y = px - nx * clearance / 2, py - ny * clearance / 2
        back = arms[n].to_plane.inverse()
        (x0, y0), (x1, y1) = back.apply(x, y), back.apply(x + nx, y + ny)
        planes.append(HalfPlaneCut(round(x0, 9), round(y0, 9), round(x1 - x0, 12), round(y1 - y0, 12), mirrored=False))
    return sorted(planes, key=lambda p: (p.nx, p.ny))


def _bisector(one: Instance, other: Instance) -> tuple[float, float, float, float]:
    """Point and normal (towards the other arm) of the line of equal distance between two arms."""
    assert one.arm is not None
    assert other.arm is not None
    ux, uy = math.cos(one.arm.bearing), math.sin(one.arm.bearing)
    vx, vy = math.cos(other.arm.bearing), math.sin(other.arm.bearing)
    cross = ux * vy - uy * vx
    if abs(cross) < 1e-9:
        px, py = (one.arm.root_x + other.arm.root_x) / 2, (one.arm.root_y + other.arm.root_y) / 2
        nx, ny = (-uy, ux) if (other.arm.root_x - px) * -uy + (other.arm.root_y - py) * ux > 0 else (uy, -ux)
        return px, py, nx, ny
    t = ((other.arm.root_x - one.arm.root_x) * vy - (other.arm.root_y - one.arm.root_y) * vx) / cross
    px, py = one.arm.root_x + t * ux, one.arm.root_y + t * uy
    length = math.hypot(vx - ux, vy - uy)
    return px, py, (vx - ux) / length, (vy - uy) / length


def _plane_difference(a: HalfPlaneCut, b: HalfPlaneCut) -> float:
    offset = abs((a.x - b.x) * b.nx + (a.y - b.y) * b.ny)
    return max(abs(a.nx - b.nx), abs(a.ny - b.ny), offset)
