"""Plates on edge: the foot from whose top their heights count, and their two faces. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping

from platewright.assembly.heights import Levels
from platewright.assembly.instances import Instance

__all__ = ["foot_height", "on_plane", "standing_faces", "top_height"]


def standing_faces(instance: Instance, levels: Levels) -> tuple[float, float]:
    """Near and far face of a standing plate along its normal [mm]."""
    near = levels.level[instance.name].at(0.0, 0.0).nominal
    return near, near + instance.part.thickness_mm


def foot_height(
    standing: Instance, instances: Mapping[str, Instance], levels: Levels, point: tuple[float, float]
) -> float:
    """Height of the top of a standing plate's foot [mm]; 0 without one."""
    return top_height(standing.place.foot, instances, levels, point)


def top_height(
    place: str | None, instances: Mapping[str, Instance], levels: Levels, point: tuple[float, float]
) -> float:
    """Height of the top of a horizontal place at a point [mm]; 0 without a place."""
    feet = [i for i in instances.values() if i.place.id == place]
    if not feet:
        return 0.0
    return levels.built[feet[0].name].at(*point).nominal + feet[0].part.thickness_mm


def on_plane(
    a: float, b: float, foot: str | None, instance: Instance, instances: Mapping[str, Instance], levels: Levels
) -> tuple[float, float]:
    """Return a point of a line in the plane of an instance [mm].

    Parameters
    ----------
    a, b : float
        Where the line stands; sideways, b is the height above the top of its foot [mm].
    foot : str or None
        Place from whose top the line's height counts.
    instance : Instance
        Its own heights count from the top of its own foot.
    instances, levels
        All of them.
    """
    if instance.normal == "z" or foot == instance.place.foot:
        return a, b
    point = (a, 0.0) if instance.normal == "y" else (0.0, a)
    own = foot_height(instance, instances, levels, point)
    return a, b + top_height(foot, instances, levels, point) - own
