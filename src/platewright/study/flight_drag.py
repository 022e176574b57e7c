"""Drag of a frame from the shapes of its parts, seen from ahead, from the side and from above; rotor's SI units out.

Arms are bars aslant to the air between the plates that hold them and the motors; motors upright cylinders; battery and
camera boxes; the rest, plates, boards, standoffs and antennas, the outline of all together as one box of many openings.
Coefficients and their source: `rotor.drag`. Motors and arms behind others are counted in full.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from platewright.foundation.units import M2_PER_MM2
from platewright.rotor.drag import BOX, CUBE, CYLINDER_SIDE, aslant_bar, bar_drag_coefficient, end_factor
from platewright.study.flight_bodies import AirBody, view_union

__all__ = ["DragItem", "arm_bar", "drag_items", "plate_plan"]


@dataclass(frozen=True)
class DragItem:
    """Drag of one group of things.

    Parameters
    ----------
    name : str
        arms, motors, battery, camera, frame and boards.
    area : float
        Across the air [mm^2].
    drag_area : float
        Area times coefficient [m^2].
    height : float
        Where it acts, in the frame's axes [mm].
    """

    name: str
    area: float
    drag_area: float
    height: float


@dataclass(frozen=True)
class ArmBar:
    """The free part of an arm: length, mean width [mm] and direction of its axis, (x, y)."""

    length: float
    width: float
    direction: tuple[float, float]


def drag_items(bodies: Sequence[AirBody], held: shapely.Geometry, view: str = "front") -> tuple[DragItem, ...]:
    """Return the drag of a frame by groups.

    Parameters
    ----------
    bodies : sequence of AirBody
        From `air_bodies`.
    held : shapely geometry
        From `plate_plan` [mm].
    view : str
        `front` for air from ahead, `side` for air from the left.
    """
    across = 1 if view == "front" else 0
    made = []
    arms = [b for b in bodies if b.kind == "arm"]
    if arms:
        area = drag = 0.0
        for body in arms:
            bar = arm_bar(body, held)
            if bar is not None:
                sine, cosine = bar.direction[across], bar.direction[1 - across]
                factor = bar_drag_coefficient(bar.width, body.thickness)
                factor *= end_factor(2 * bar.length, body.thickness)
                end = bar_drag_coefficient(bar.length, bar.width)
                area += body.thickness * (bar.length * abs(sine) + bar.width * abs(cosine))
                drag += aslant_bar(factor, body.thickness, bar.length, sine) * M2_PER_MM2
                drag += aslant_bar(end, body.thickness, bar.width, cosine) * M2_PER_MM2
        made.append(DragItem("arms", area, drag, _middle(arms, view)))
    for name, kind, coefficient in (("motors", "motor", CYLINDER_SIDE), ("battery", "battery", BOX)):
        made += _simple(name, [b for b in bodies if b.kind == kind], view, coefficient)
    made += _simple("camera", [b for b in bodies if b.kind == "camera"], view, CUBE)
    rest = [b for b in bodies if b.kind not in ("arm", "motor", "battery", "camera")]
    known = view_union([b for b in bodies if b.kind in ("battery", "camera")], view)
    seen = shapely.difference(view_union(rest, view), known)
    if not shapely.is_empty(seen):
        middle = float(shapely.get_y(shapely.centroid(seen)))
        area = float(shapely.area(seen))
        made.append(DragItem("plates, boards and the rest", area, CUBE * area * M2_PER_MM2, middle))
    return tuple(made)


def plate_plan(bodies: Sequence[AirBody]) -> shapely.Geometry:
    """Return the plates that hold the arms, seen from above [mm]."""
    return view_union([b for b in bodies if b.kind in ("base", "deck", "brace")], "plan")


def arm_bar(body: AirBody, held: shapely.Geometry) -> ArmBar | None:
    """Return the part of an arm that stands free of the plates that hold it; None if there is none.

    Parameters
    ----------
    body : AirBody
        The arm.
    held : shapely geometry
        From `plate_plan` [mm].
    """
    pieces = shapely.get_parts(shapely.difference(body.plan, held)).tolist()
    if not pieces or max(float(shapely.area(p)) for p in pieces) < 1.0:
        return None
    free = max(pieces, key=shapely.area)  # what shows through openings of the plates is no free arm
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(body.plan))
    edges = [(corners[k + 1] - corners[k]).tolist() for k in range(2)]
    long = max(edges, key=lambda e: math.hypot(*e))
    direction = (long[0] / math.hypot(*long), long[1] / math.hypot(*long))
    along = shapely.get_coordinates(free) @ direction
    length = float(along.max() - along.min())
    return ArmBar(length, float(shapely.area(free)) / length, direction)


def _simple(name: str, bodies: Sequence[AirBody], view: str, coefficient: float) -> list[DragItem]:
    if not bodies:
        return []
    area = sum(float(shapely.area(getattr(b, view))) for b in bodies)
    return [DragItem(name, area, coefficient * area * M2_PER_MM2, _middle(bodies, view))]


def _middle(bodies: Sequence[AirBody], view: str) -> float:
    """Mean height of things, by their area [mm]."""
    areas = [float(shapely.area(getattr(b, view))) for b in bodies]
    heights = [(b.bottom + b.top) / 2 for b in bodies]
    return sum(a * h for a, h in zip(areas, heights, strict=True)) / sum(areas)
