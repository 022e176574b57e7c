"""What each plate, arm and box costs in the air of the propellers in hover, and what stands between the discs.

A thing is cut by the wake at its own height, less the motor's bell over it and less what stands above it in the same
wake. What is left is a bar as long as its box and as wide on average; its section gives the drag. Method:
`rotor.download`. Discs on one axis add up their speeds, each as slow as the other makes it: `rotor.coaxial`.
Lengths in mm, areas in mm^2.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from platewright.fit.discs import Disc
from platewright.rotor.coaxial import induced_shares
from platewright.rotor.download import thrust_lost, wake_radius, wake_speed
from platewright.rotor.drag import bar_drag_coefficient, end_factor
from platewright.study.flight_bodies import AirBody

__all__ = ["Bulk", "Washed", "bulks", "washed_pieces"]

_SOLID = {"arm", "base", "deck", "brace", "side", "camera", "other", "board", "battery", "antenna"}
_LEAST = 0.5  # pieces smaller than this are left out [mm^2]
_THINNEST = 0.5  # width and depth of a section that is asked for [mm]
_NEAR_AXIS = 3.0  # discs nearer than this, seen from above, stand on one axis [mm]


@dataclass(frozen=True)
class Washed:
    """A piece of a thing in the air of one rotor axis.

    Parameters
    ----------
    body : AirBody
        The thing.
    axis : int
        Number of the rotor axis, from 0.
    piece : shapely geometry
        Seen from above [mm].
    depth : float
        Of its upper face below the nearest disc above it, negative where it stands above all discs [mm].
    area, width : float
        Of the piece [mm^2], and its mean width [mm].
    speed : float
        Of the air over that at a disc that stands apart [-].
    slowed : float
        Mean induced speed of the discs on this axis over that of one that stands apart [-].
    coefficient : float
        Drag coefficient with sharp edges [-].
    lost : float
        Share of the thrust of the whole craft [-].
    """

    body: AirBody
    axis: int
    piece: shapely.Geometry
    depth: float
    area: float
    width: float
    speed: float
    slowed: float
    coefficient: float
    lost: float

    def lost_as(self, corner: float = 0.0, wider: float = 0.0, thicker: float = 0.0) -> float:
        """Return the share of thrust that another section of the same length would take [-].

        Parameters
        ----------
        corner : float
            Radius or chamfer of all its edges, no more than half of its depth [mm].
        wider, thicker : float
            Added to its width and to its depth [mm].
        """
        width, thickness = max(self.width + wider, _THINNEST), max(self.body.thickness + thicker, _THINNEST)
        length = self.area / self.width
        drag = _coefficient(thickness, width, length, min(corner, thickness / 2)) * width * length
        return self.lost * drag / (self.coefficient * self.area)


@dataclass(frozen=True)
class Bulk:
    """A thing beside discs: top above the plane of those next to it, gap in plan to the nearest rim [mm], area [mm^2].

    The area is seen from the side, within half a radius of the plane of that disc.
    """

    body: AirBody
    above: float
    gap: float
    beside: float


def washed_pieces(bodies: Sequence[AirBody], discs: Sequence[Disc]) -> tuple[Washed, ...]:
    """Return what stands in the propellers' air.

    Parameters
    ----------
    bodies : sequence of AirBody
        From `air_bodies`.
    discs : sequence of Disc
        From `discs_of`.
    """
    made: list[Washed] = []
    motors = [b for b in bodies if b.kind == "motor"]
    for number, group in enumerate(_by_axis(discs)):
        x, y = group[0].x, group[0].y
        shares = _shares(group)
        bells = shapely.union_all([m.plan for m in motors if shapely.distance(m.plan, shapely.Point(x, y)) < 1.0])
        shadow: shapely.Geometry = shapely.Polygon()
        for body in sorted((b for b in bodies if b.kind in _SOLID), key=lambda b: -b.top):
            found = _air_at(body, group, shares)
            if found is None:
                continue
            speed, radius, depth = found
            circle = shapely.buffer(shapely.Point(x, y), radius, quad_segs=24)
            if not shapely.intersects(circle, body.plan):
                continue
            piece = shapely.difference(shapely.intersection(body.plan, circle), shapely.union(bells, shadow))
            area = float(shapely.area(piece))
            if area < _LEAST:
                continue
            shadow = shapely.union(shadow, piece)
            slowed = sum(shares) / len(shares)
            made.append(_washed(body, number, piece, depth, (speed, slowed), group, len(discs)))
    return tuple(made)


def bulks(bodies: Sequence[AirBody], discs: Sequence[Disc]) -> tuple[Bulk, ...]:
    """Return things that reach within half a radius of a propeller plane, the one with most beside it first."""
    planes, radius = sorted({d.z for d in discs}), max(d.diameter for d in discs) / 2
    made = []
    for body in bodies:
        if body.kind in ("arm", "motor", "standoff"):
            continue
        gap = min(float(shapely.distance(body.plan, shapely.Point(d.x, d.y))) - d.diameter / 2 for d in discs)
        x0, _, x1, _ = shapely.bounds(body.side).tolist()
        bands = (shapely.box(x0 - 1, z - radius / 2, x1 + 1, z + radius / 2) for z in planes)
        beside = [float(shapely.area(shapely.intersection(body.side, band))) for band in bands]
        if max(beside) >= _LEAST:
            plane = planes[beside.index(max(beside))]
            made.append(Bulk(body, body.top - plane, gap, max(beside)))
    return tuple(sorted(made, key=lambda b: (-b.beside, b.body.name)))


def _by_axis(discs: Sequence[Disc]) -> list[list[Disc]]:
    groups: list[list[Disc]] = []
    for disc in discs:
        near = next((g for g in groups if math.hypot(g[0].x - disc.x, g[0].y - disc.y) < _NEAR_AXIS), None)
        if near is None:
            groups.append([disc])
        else:
            near.append(disc)
    return groups


def _shares(group: Sequence[Disc]) -> list[float]:
    """Return the induced speed of each disc on an axis over that of one that stands apart [-]."""
    if len(group) == 1:
        return [1.0]
    upper, lower = induced_shares(2 * (max(d.z for d in group) - min(d.z for d in group)) / group[0].diameter)
    return [upper if d.z == max(e.z for e in group) else lower for d in group]


def _air_at(body: AirBody, group: Sequence[Disc], shares: Sequence[float]) -> tuple[float, float, float] | None:
    """Return speed, radius of the air and depth at a thing; None where a disc cuts its heights."""
    radius = group[0].diameter / 2
    above = [d.z - body.top for d in group if d.z >= body.top]
    below = [body.bottom - d.z for d in group if d.z <= body.bottom]
    if len(above) + len(below) < len(group):
        return None
    depths = (d.z - (body.top if d.z >= body.top else body.bottom) for d in group)
    speed = sum(share * wake_speed(h, radius) for share, h in zip(shares, depths, strict=True))
    if above:
        return speed, wake_radius(min(above), radius), min(above)
    return speed, wake_radius(-min(below), radius), -min(below)


def _washed(
    body: AirBody,
    axis: int,
    piece: shapely.Geometry,
    depth: float,
    speeds: tuple[float, float],
    group: Sequence[Disc],
    rotors: int,
) -> Washed:
    area = float(shapely.area(piece))
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(piece))
    length = max(math.dist(corners[k], corners[k + 1]) for k in range(2))
    width = area / length
    coefficient = _coefficient(body.thickness, width, length)
    disc_area = math.pi / 4 * group[0].diameter ** 2
    speed, slowed = speeds
    lost = thrust_lost(coefficient * area, disc_area, speed) / rotors
    return Washed(body, axis, piece, depth, area, width, speed, slowed, coefficient, lost)


def _coefficient(thickness: float, width: float, length: float, corner: float = 0.0) -> float:
    """Return the drag coefficient of a bar across the air that is joined at one end."""
    return bar_drag_coefficient(thickness, width, corner) * end_factor(2 * length, width)
