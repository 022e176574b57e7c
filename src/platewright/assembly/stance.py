"""Where the rotors are and how the arms reach them.

Axes: x forward, y left, origin at the mean of the rotor axes. Rotors are numbered counter-clockwise seen from above,
starting at the front left; a coaxial pair is n above and n + number of axes below. Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.model.design import Place, Rotors

__all__ = ["ArmLine", "Rotor", "arm_lines", "rotor_axes", "rotors_at", "rotors_of", "stretch"]


@dataclass(frozen=True)
class Rotor:
    """One rotor: its number, axis [mm], turning direction seen from above, and side of its plate."""

    number: int
    x: float
    y: float
    turns: str
    below: bool
    axis: int


@dataclass(frozen=True)
class ArmLine:
    """The line of one arm: root point [mm], bearing from +x [rad], reach from root to rotor axis [mm]."""

    root_x: float
    root_y: float
    bearing: float
    reach: float
    left_handed: bool


def rotor_axes(rotors: Rotors, places: Sequence[Place]) -> tuple[tuple[float, float], ...]:
    """Axes of the rotors, counter-clockwise from the front left.

    Parameters
    ----------
    rotors : Rotors
        A rectangle, a list of points, or the place to follow [mm].
    places : sequence of Place
        Places of the design, for `follow`.

    Returns
    -------
    tuple of (float, float)
        One point per axis [mm].

    Raises
    ------
    ValueError
        If the rotors are not given in exactly one way, or the followed place lacks bearing and reach.
    """
    ways = [rotors.fore_aft_mm is not None or rotors.lateral_mm is not None, bool(rotors.at_mm), bool(rotors.follow)]
    if sum(ways) != 1:
        msg = "must be given in one way: fore_aft_mm and lateral_mm, or at_mm, or follow"
        raise ValueError(msg)
    if rotors.at_mm:
        return _counter_clockwise(rotors.at_mm)
    if rotors.follow:
        place = next((p for p in places if p.id == rotors.follow), None)
        if place is None or place.bearing_deg is None or place.reach_mm is None or place.root_mm is None:
            msg = f"follows '{rotors.follow}', which must be a place with root_mm, bearing_deg and reach_mm"
            raise ValueError(msg)
        angle = math.radians(place.bearing_deg)
        x = place.root_mm[0] + place.reach_mm * math.cos(angle)
        y = place.root_mm[1] + place.reach_mm * math.sin(angle)
    elif rotors.fore_aft_mm is None or rotors.lateral_mm is None:
        msg = "needs both fore_aft_mm and lateral_mm"
        raise ValueError(msg)
    else:
        x, y = rotors.fore_aft_mm / 2, rotors.lateral_mm / 2
    return ((x, y), (-x, y), (-x, -y), (x, -y))


def rotors_of(rotors: Rotors, places: Sequence[Place]) -> tuple[Rotor, ...]:
    """All rotors with number, turning direction and side.

    Notes
    -----
    Odd axes turn clockwise unless `turns` says otherwise; the lower rotor of a coaxial pair turns against the upper.
    """
    axes = rotor_axes(rotors, places)
    count = len(axes) * (2 if rotors.coaxial else 1)
    turns = rotors.turns or tuple("cw" if (i % len(axes) + i // len(axes)) % 2 == 0 else "ccw" for i in range(count))
    if len(turns) != count:
        msg = f"needs one turning direction per rotor: {count} (got {len(turns)})"
        raise ValueError(msg)
    return tuple(
        Rotor(i + 1, *axes[i % len(axes)], turns[i], rotors.below or i >= len(axes), i % len(axes))
        for i in range(count)
    )


def rotors_at(at: str, rotors: Sequence[Rotor]) -> tuple[Rotor, ...]:
    """Return the rotors that `at` of a piece of equipment means: all, those above, or those below their plate.

    Examples
    --------
    >>> pair = (Rotor(1, 80, 75, "cw", False, 0), Rotor(5, 80, 75, "ccw", True, 0))
    >>> [rotor.number for rotor in rotors_at("rotors_below", pair)]
    [5]
    """
    return tuple(r for r in rotors if at == "rotors" or r.below == (at == "rotors_below"))


def arm_lines(place: Place, axes: Sequence[tuple[float, float]]) -> tuple[ArmLine, ...]:
    """Return the line of each arm of a place that goes to the rotors, in the order of the axes.

    Raises
    ------
    ValueError
        If the place gives no root, or a root on a rotor axis.
    """
    lines = []
    for x, y in axes:
        root_x, root_y = _root(place, x, y)
        reach = math.hypot(x - root_x, y - root_y)
        if reach < 1e-9:
            msg = f"'{place.id}' has its root on a rotor axis; move root_mm towards the centre"
            raise ValueError(msg)
        left = place.handed and x * y < 0
        lines.append(ArmLine(root_x, root_y, math.atan2(y - root_y, x - root_x), reach, left))
    return tuple(lines)


def stretch(axes: Sequence[tuple[float, float]]) -> float:
    """Fore-aft minus lateral rotor spacing [mm].

    Examples
    --------
    >>> stretch([(80, 75), (-80, 75), (-80, -75), (80, -75)])
    10
    """
    xs, ys = [x for x, _ in axes], [y for _, y in axes]
    return (max(xs) - min(xs)) - (max(ys) - min(ys))


def _root(place: Place, x: float, y: float) -> tuple[float, float]:
    if place.root_mm is not None:
        return math.copysign(place.root_mm[0], x) * (abs(x) > 1e-9), math.copysign(place.root_mm[1], y) * (
            abs(y) > 1e-9
        )
    if place.root_radius_mm is not None:
        angle = math.atan2(y, x)
        return place.root_radius_mm * math.cos(angle), place.root_radius_mm * math.sin(angle)
    msg = f"'{place.id}' goes to the rotors and needs root_mm or root_radius_mm"
    raise ValueError(msg)


def _counter_clockwise(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Sort by bearing from the nose, left first; points straight ahead count as the first."""
    return tuple(
        sorted(((float(x), float(y)) for x, y in points), key=lambda p: math.atan2(p[1], p[0]) % (2 * math.pi))
    )
