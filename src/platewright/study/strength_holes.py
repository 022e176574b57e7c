"""What holes and threads of a frame carry.

Bearing, shear-out towards the edge ahead, net tension beside the hole, heads pulled through, threads that strip.

A plate between two others takes the force of both its faces at one hole.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.screws import ScrewFit
from platewright.geometry.ahead import N_WAYS, distances_ahead
from platewright.geometry.loops import Outline
from platewright.model.catalogue.base import Estimate
from platewright.structure.failure import PlyStrength, point_stress_factor
from platewright.structure.holes import hole_stresses, pull_through_stress
from platewright.structure.laminate import Laminate
from platewright.study.part_bolts import first_ply_stress, interlaminar_strength
from platewright.study.strength_joints import Bolted
from platewright.study.strength_laminates import Level, ply_strengths
from platewright.study.strength_model import FrameModel
from platewright.study.tightening import contact_diameter, thread_force

__all__ = ["Used", "first_property", "hole_uses", "pull_through_uses", "thread_use"]

Floats = NDArray[np.float64]
Used = tuple[str, str, Floats]
"""What may fail, how, and how much of it each case uses."""

_PLANES = math.sin(
    math.radians(60)
)  # where the shear planes run, by the hole's radius, as `hole_stresses` has them [-]
_SAME_HOLE = 0.3  # how far a line may be off the hole that it made [mm]


def hole_uses(
    assembly: Assembly, model: FrameModel, forces: Sequence[tuple[Bolted, Floats]], level: Level
) -> Iterator[Used]:
    """Yield how much each hole between plates uses of its plate's bearing, shear-out and net tension strength.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    forces : sequence of (Bolted, (n_cases, 6) float)
        Of every link between plates, on its near side.
    level : str
        `low`, `typical` or `high` strength of plates.
    """
    sums: dict[tuple[str, int], tuple[Bolted, Floats]] = {}
    for joint, six in forces:
        across = six[:, :3] - np.outer(six[:, :3] @ joint.axis, joint.axis)
        for item, own in ((joint.near, across), (joint.far, -across)):
            key = joint.line.name, item
            sums[key] = joint, (sums[key][1] + own if key in sums else own)
    parts: dict[str, tuple[float, Floats]] = {}
    for (line, item), (joint, across) in sums.items():
        instance = joint.line.items[item].instance
        fits = [s for s in assembly.screws if s.line.name == line]
        if instance is None or not fits:
            continue
        part, size = instance.part, np.linalg.norm(across, axis=1)
        bearing = _bearing(assembly, part.material, level)
        if bearing is not None:
            stress = size / (fits[0].thread.d_mm * part.thickness_mm)
            yield f"bearing of {line} in {instance.name}", "bearing", stress / bearing
        hole = _hole(assembly, joint, item)
        if hole is not None:
            if part.id not in parts:
                parts[part.id] = _in_plane_strengths(assembly, model, part.id, part.material, level)
            shear, tension = parts[part.id]
            outline, t = assembly.parts[part.id].outline, part.thickness_mm
            force = across @ model.frame.plates[model.plates[instance.name]].axes[:, :2]
            out, beside = np.array(_shear_out(outline, *hole, t)), np.array(_net_tension(outline, *hole, t))
            yield f"shear-out of {line} in {instance.name}", "shear-out", size * _ahead(out / shear, force)
            notched = tension * point_stress_factor(hole[2] / 2)
            yield f"net tension of {line} in {instance.name}", "net tension", size * _ahead(beside / notched, force)


def pull_through_uses(assembly: Assembly, forces: Sequence[tuple[Bolted, Floats]], level: Level) -> Iterator[Used]:
    """Yield how much each plate uses of its strength against what bears on it being pulled through.

    Parameters
    ----------
    assembly, forces, level
        As in `hole_uses`.

    Notes
    -----
    The pull is that of the screw, with the moment that opens the joint; what bears is a head, nut, washer, standoff or
    spacer on the side of the plate that looks away from the joint. Plates on plates are not pulled through.
    """
    for joint, six in forces:
        pull, _, bent = joint.opening(six)
        for item, outside, moment in zip((joint.near, joint.far), (joint.near - 1, joint.far + 1), bent, strict=True):
            instance, items = joint.line.items[item].instance, joint.line.items
            wide = contact_diameter(items[outside]) if 0 <= outside < len(items) else None
            if instance is None or wide is None:
                continue
            typical, low, high = interlaminar_strength(assembly.catalogue, instance.part.material)
            strength = {"low": low, "typical": typical, "high": high}[level]
            force = np.maximum(pull + moment / joint.radius, 0.0)
            used = force * pull_through_stress(1.0, wide, instance.part.thickness_mm) / strength
            yield f"pull-through of {joint.line.name} in {instance.name}", "pull-through", used


def thread_use(assembly: Assembly, fit: ScrewFit, pull: Floats) -> Used | None:
    """Return how much of the weakest thread a screw's pull uses; None where it has none.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    fit : ScrewFit
        The screw.
    pull : (n_cases,) float
        Along it; pressure counts as none [N].
    """
    strips = thread_force(fit, assembly)
    return (f"thread of {fit.name}", "stripping", np.maximum(pull, 0.0) / strips) if strips > 0 else None


def first_property(properties: Mapping[str, Estimate], *keys: str) -> Estimate | None:
    """Return the first of some properties that is known."""
    return next((properties[k] for k in keys if k in properties), None)


def _bearing(assembly: Assembly, material: str, level: Level) -> float | None:
    record = assembly.catalogue.laminate(material)
    found = first_property(record.properties, "bearing_mpa", "bearing_double_shear_mpa")
    if found is None:
        return None
    low, high = found.band
    return {"low": low, "typical": found.typical, "high": high}[level]


def _hole(assembly: Assembly, joint: Bolted, item: int) -> tuple[float, float, float] | None:
    """Return centre and diameter of a hole, in the part's axes [mm]; None where no plate is left beside it."""
    instance = joint.line.items[item].instance
    assert instance is not None
    finished = assembly.parts[instance.part.id]
    x, y = instance.in_part(joint.line.a, joint.line.b)
    for hole, beside in zip(finished.holes.holes, finished.plate_beside, strict=True):
        if abs(hole.x - x) < _SAME_HOLE and abs(hole.y - y) < _SAME_HOLE and beside > 0:
            return hole.x, hole.y, hole.diameter
    return None


@lru_cache(maxsize=1024)
def _shear_out(outline: Outline, x: float, y: float, diameter: float, thickness: float) -> tuple[float, ...]:
    """Return the shear stress by force, for a force in each direction from +x [1/mm^2]."""
    edges = distances_ahead(outline, x, y, _PLANES * diameter / 2)
    return tuple(hole_stresses(1.0, diameter, thickness, 2 * e, e).shear_out if e < np.inf else 0.0 for e in edges)


@lru_cache(maxsize=1024)
def _net_tension(outline: Outline, x: float, y: float, diameter: float, thickness: float) -> tuple[float, ...]:
    """Return the stress beside the hole by force, for a force in each direction from +x [1/mm^2]."""
    reach = np.array(distances_ahead(outline, x, y, 0.0))
    width = np.roll(reach, -N_WAYS // 4) + np.roll(reach, N_WAYS // 4)
    return tuple(
        hole_stresses(1.0, diameter, thickness, w, diameter).net_tension if diameter < w < np.inf else 0.0
        for w in width.tolist()
    )


def _ahead(units: Floats, force: Floats) -> Floats:
    """Return the stress for each force, between those of the two directions beside it, (n_cases,)."""
    at = np.arctan2(force[:, 1], force[:, 0]) * N_WAYS / (2 * np.pi) % N_WAYS
    return np.asarray(np.interp(at, np.arange(N_WAYS + 1), np.append(units, units[0])), dtype=float)


def _in_plane_strengths(
    assembly: Assembly, model: FrameModel, part: str, material: str, level: Level
) -> tuple[float, Floats]:
    """Return a plate's shear strength, and its strength in tension along each direction from the part's +x [MPa]."""
    laminate, turn = model.parts[part].laminate, model.parts[part].turn
    strengths = tuple(ply_strengths(assembly.catalogue, material, len(laminate.plies), level))
    return _laminate_shear(laminate, strengths), np.array(_laminate_tension(laminate, strengths, turn))


@lru_cache(maxsize=64)
def _laminate_shear(laminate: Laminate, strengths: tuple[PlyStrength, ...]) -> float:
    """Return the weaker of a plate's shear strengths along its fibres and at 45 degrees to them [MPa]."""
    return min(first_ply_stress(laminate, strengths, turn, (0, 0, 1)) for turn in (0.0, np.pi / 4))


@lru_cache(maxsize=64)
def _laminate_tension(laminate: Laminate, strengths: tuple[PlyStrength, ...], turn: float) -> tuple[float, ...]:
    """Return a plate's strength in tension along each direction from +x, every 15 degrees, interpolated [MPa]."""
    coarse = np.arange(13) * np.pi / 12
    own = [first_ply_stress(laminate, strengths, turn - along, (1, 0, 0)) for along in coarse[:-1]]
    ways = 2 * np.pi * np.arange(N_WAYS) / N_WAYS
    return tuple(np.interp(ways % np.pi, coarse, [*own, own[0]]).tolist())
