"""What holes and threads of a frame carry: bearing, shear-out towards the edge ahead, threads that strip.

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
from platewright.structure.failure import PlyStrength
from platewright.structure.holes import hole_stresses
from platewright.structure.laminate import Laminate
from platewright.study.part_bolts import first_ply_stress
from platewright.study.strength_joints import Bolted
from platewright.study.strength_laminates import Level, ply_strengths
from platewright.study.strength_model import FrameModel
from platewright.study.tightening import thread_force

__all__ = ["Used", "first_property", "hole_uses", "thread_use"]

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
    """Yield how much each hole between plates uses of its plate's bearing and shear-out strength.

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
    shear: dict[str, float] = {}
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
            if part.id not in shear:
                shear[part.id] = _shear_strength(assembly, model, part.id, part.material, level)
            outline = assembly.parts[part.id].outline
            units = np.array(_shear_out(outline, *hole, part.thickness_mm)) / shear[part.id]
            axes = model.frame.plates[model.plates[instance.name]].axes
            yield f"shear-out of {line} in {instance.name}", "shear-out", size * _ahead(units, across @ axes[:, :2])


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


def _ahead(units: Floats, force: Floats) -> Floats:
    """Return the stress for each force, between those of the two directions beside it, (n_cases,)."""
    at = np.arctan2(force[:, 1], force[:, 0]) * N_WAYS / (2 * np.pi) % N_WAYS
    return np.asarray(np.interp(at, np.arange(N_WAYS + 1), np.append(units, units[0])), dtype=float)


def _shear_strength(assembly: Assembly, model: FrameModel, part: str, material: str, level: Level) -> float:
    laminate = model.parts[part].laminate
    return _laminate_shear(laminate, tuple(ply_strengths(assembly.catalogue, material, len(laminate.plies), level)))


@lru_cache(maxsize=64)
def _laminate_shear(laminate: Laminate, strengths: tuple[PlyStrength, ...]) -> float:
    """Return the weaker of a plate's shear strengths along its fibres and at 45 degrees to them [MPa]."""
    return min(first_ply_stress(laminate, strengths, turn, (0, 0, 1)) for turn in (0.0, np.pi / 4))
