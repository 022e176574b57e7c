"""Offsets that pull a frame apart for an exploded view: everything keeps its order along its own axis.

Upright lines spread in height, sideways ones along their axis; standing plates and sideways hardware rise with the plate
they stand on. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector
from platewright.assembly.sketches import top_height

__all__ = ["exploded_offsets"]

_SPREAD = 2.5  # how much farther apart, as a multiple of the true distance [-]


def exploded_offsets(assembly: Assembly) -> Mapping[str, Vector]:
    """Offset of every body, by name [mm]."""
    axes = {line.name: line.axis for line in assembly.lines}
    feet = {line.name: line.foot for line in assembly.lines}
    camera_axes = {e.id: (e.axis, e.foot) for e in assembly.design.equipment}
    made: dict[str, Vector] = {}
    for body in assembly.bodies:
        middle = _middle(body)
        instance = assembly.instances.get(body.name)
        axis, foot = axes.get(body.line, "z"), feet.get(body.line)
        if instance is not None:
            axis, foot = instance.normal, instance.place.foot
        elif not body.line:
            axis, foot = camera_axes.get(body.owner, ("z", None))
        if axis == "z":
            made[body.name] = 0.0, 0.0, _SPREAD * middle[2]
        else:
            rise = _SPREAD * top_height(foot, assembly.instances, assembly.levels, (middle[0], middle[1]))
            along = _SPREAD * (middle[1] if axis == "y" else middle[0])
            made[body.name] = (0.0, along, rise) if axis == "y" else (along, 0.0, rise)
    return made


def _middle(body: Body) -> Vector:
    """Return the middle of a body along its own axis."""
    low = min(s.offset for s in body.solids)
    high = max(s.offset + s.shape.height for s in body.solids)
    return body.frame.point(0.0, 0.0, (low + high) / 2)
