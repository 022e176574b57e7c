"""Instances of places: one placed part each, with the map from the part's own axes to its plane.

A horizontal plate maps part (x, y) to frame (x, y). A plate that stands "xz" maps it to frame (x, z - top of its
foot), one that stands "yz" to (y, z - top of its foot). Mirroring a flat part is turning it over. Lengths in mm,
angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.stance import ArmLine, arm_lines
from platewright.geometry.isometry import Isometry
from platewright.model.design import Design, Part, Place

__all__ = ["Instance", "instance_at", "instances_of", "mirror_signs", "quadrant_names"]

_QUADRANTS = ((1, 1), (-1, 1), (-1, -1), (1, -1))


@dataclass(frozen=True)
class Instance:
    """One use of one part.

    Parameters
    ----------
    name : str
        Place id, with `.1`, `.left` and so on where there are several.
    place, part
        The records.
    normal : str
        Axis through its thickness: "z" for horizontal plates, "y" or "x" for standing ones.
    to_plane : Isometry
        From the part's own axes to the plane of the place [mm].
    over : bool
        The part's upper face looks down (or, standing, along +normal reversed).
    side : int
        +1 or -1: which of two mirrored standing plates it is; +1 otherwise.
    arm : ArmLine or None
        For arms: root, bearing, reach.
    index : int
        Number within the place, from 0.
    """

    name: str
    place: Place
    part: Part
    normal: str
    to_plane: Isometry
    over: bool
    side: int = 1
    arm: ArmLine | None = None
    index: int = 0

    def in_part(self, a: float, b: float) -> tuple[float, float]:
        """Point of the plane in the part's own axes [mm]."""
        return self.to_plane.inverse().apply(a, b)

    def turn_in_part(self, angle: float) -> float:
        """Direction in the plane, from its first axis, in the part's own axes [rad]."""
        own = angle - math.atan2(self.to_plane.sin, self.to_plane.cos)
        return -own if self.to_plane.flip else own


def mirror_signs(mirror: str) -> tuple[tuple[int, int], ...]:
    """Sign pairs of the copies that a mirror makes, counter-clockwise from the front left.

    Examples
    --------
    >>> mirror_signs("y")
    ((1, 1), (1, -1))
    """
    return {"": ((1, 1),), "x": ((1, 1), (-1, 1)), "y": ((1, 1), (1, -1)), "xy": _QUADRANTS}[mirror]


def quadrant_names(mirror: str, first: tuple[float, float]) -> tuple[str, ...]:
    """Suffixes of mirrored copies, in the order of `mirror_signs`, for a first copy that stands at `first` [mm].

    Four copies are numbered by where they stand, counter-clockwise from the front left, whichever of them is written.

    Examples
    --------
    >>> quadrant_names("y", (30.0, -12.0))
    ('right', 'left')
    >>> quadrant_names("xy", (-30.0, -12.0))
    ('3', '4', '1', '2')
    """
    own_x, own_y = _quadrant(first)
    if mirror == "y":
        return ("left", "right") if own_y > 0 else ("right", "left")
    if mirror == "x":
        return ("front", "rear") if own_x > 0 else ("rear", "front")
    if mirror == "xy":
        return tuple(str(_QUADRANTS.index((sx * own_x, sy * own_y)) + 1) for sx, sy in _QUADRANTS)
    return ("",)


def instances_of(design: Design, axes: Sequence[tuple[float, float]]) -> dict[str, Instance]:
    """All instances of all places by name, in the order of the design.

    Parameters
    ----------
    design : Design
        The design, references valid.
    axes : sequence of (float, float)
        Rotor axes [mm].
    """
    parts = {part.id: part for part in design.part}
    made: dict[str, Instance] = {}
    for place in design.place:
        for instance in _instances(place, parts[place.part], axes):
            made[instance.name] = instance
    return made


def instance_at(instances: Mapping[str, Instance], place_id: str, x: float, y: float) -> Instance:
    """Return the instance of a place at a point: the arm whose line is nearest, or the mirrored copy of that side.

    Raises
    ------
    KeyError
        If the place has no instance.
    """
    candidates = [i for i in instances.values() if i.place.id == place_id]
    if not candidates:
        raise KeyError(place_id)
    return min(candidates, key=lambda i: (_distance(i, x, y), i.index))


def _instances(place: Place, part: Part, axes: Sequence[tuple[float, float]]) -> list[Instance]:
    if place.stands:
        return _standing(place, part)
    if place.to == "rotors":
        lines = arm_lines(place, axes)
        return [
            Instance(
                f"{place.id}.{i + 1}" if len(lines) > 1 else place.id,
                place,
                part,
                "z",
                Isometry.from_turn(line.bearing, line.root_x, line.root_y, line.left_handed != place.over),
                line.left_handed != place.over,
                arm=line,
                index=i,
            )
            for i, line in enumerate(lines)
        ]
    first = Isometry.from_turn(math.radians(place.turn_deg), *place.at_mm, place.over)
    names = quadrant_names(place.mirror, place.at_mm)
    return [
        Instance(
            f"{place.id}.{suffix}" if suffix else place.id,
            place,
            part,
            "z",
            first.then(_mirror_map(sx, sy)),
            place.over != (sx * sy < 0),
            index=i,
        )
        for i, ((sx, sy), suffix) in enumerate(zip(mirror_signs(place.mirror), names, strict=True))
    ]


def _standing(place: Place, part: Part) -> list[Instance]:
    normal = "y" if place.stands == "xz" else "x"
    first = Isometry.from_turn(math.radians(place.turn_deg), *place.at_mm, place.over)
    if place.mirror not in ("", normal):  # mirrored within its own plane
        suffixes = quadrant_names(place.mirror, (place.at_mm[0], place.at_mm[0]))
        maps = [first, first.then(_mirror_map(-1, 1))]
        return [
            Instance(f"{place.id}.{s}", place, part, normal, m, place.over != (i == 1), index=i)
            for i, (s, m) in enumerate(zip(suffixes, maps, strict=True))
        ]
    if not place.mirror:
        return [Instance(place.id, place, part, normal, first, place.over)]
    suffixes = ("left", "right") if normal == "y" else ("front", "rear")
    return [
        Instance(f"{place.id}.{s}", place, part, normal, first, place.over, side=side, index=i)
        for i, (s, side) in enumerate(zip(suffixes, (1, -1), strict=True))
    ]


def _mirror_map(sx: int, sy: int) -> Isometry:
    """Mirror map: y -> -y is a flip; x -> -x is a flip and half a turn; both are half a turn."""
    return Isometry.from_turn(0.0 if sx > 0 else math.pi, 0.0, 0.0, sx * sy < 0)


def _quadrant(point: tuple[float, float]) -> tuple[int, int]:
    """Signs of a point's quadrant; the axes count as front and left."""
    return (1 if point[0] >= 0 else -1), (1 if point[1] >= 0 else -1)


def _distance(instance: Instance, x: float, y: float) -> float:
    if instance.arm is not None:
        along = (x - instance.arm.root_x) * math.cos(instance.arm.bearing)
        along += (y - instance.arm.root_y) * math.sin(instance.arm.bearing)
        t = min(max(along, 0.0), instance.arm.reach)
        return math.hypot(
            x - instance.arm.root_x - t * math.cos(instance.arm.bearing),
            y - instance.arm.root_y - t * math.sin(instance.arm.bearing),
        )
    mirror, base = instance.place.mirror, instance.place.at_mm
    if instance.normal != "z":  # its plane's first axis is the one it is mirrored along, if not along its normal
        own = _quadrant(base)[0] * (-1 if instance.index else 1)
        return abs(x) if mirror not in ("", instance.normal) and x * own < 0 else 0.0
    sx, sy = mirror_signs(mirror)[instance.index]
    own_x, own_y = _quadrant(base)
    wrong = 0.0
    if "y" in mirror and y * sy * own_y < 0:
        wrong += abs(y)
    if "x" in mirror and x * sx * own_x < 0:
        wrong += abs(x)
    return wrong
