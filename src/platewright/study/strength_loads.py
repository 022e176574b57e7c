"""Load cases on a frame's freedoms: each record's forces at the places it names.

A case whose answer is a margin carries its real forces. One whose answer is an energy has a shape only: its forces are
scaled so that together they are 1 N, and what is asked is how much energy the frame takes up until something fails.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import StructureError
from platewright.model.load_case import CaseForce, Direction, LoadCase
from platewright.structure.points import Point
from platewright.study.strength_masses import patch_near
from platewright.study.strength_model import FrameModel

__all__ = ["Case", "case_of"]

Floats = NDArray[np.float64]

_FIXED: dict[Direction, tuple[float, float, float]] = {
    "up": (0, 0, 1),
    "down": (0, 0, -1),
    "forward": (1, 0, 0),
    "backward": (-1, 0, 0),
    "left": (0, 1, 0),
    "right": (0, -1, 0),
}
_CANCELLED = 1e-9  # forces that leave less than this of themselves cancel [-]


@dataclass(frozen=True)
class Case:
    """A load case on the frame's freedoms.

    Parameters
    ----------
    record : LoadCase
        What it says.
    load : (n,) float
        On the freedoms; of size 1 N where the answer is an energy [N], [N mm].
    effective_mass : float
        That a blow meets; 0 where the answer is a margin [t].
    """

    record: LoadCase
    load: Floats
    effective_mass: float

    @property
    def name(self) -> str:
        """What tables call it."""
        return self.record.id.replace("_", " ")

    @property
    def is_hit(self) -> bool:
        """Whether it is answered by an energy."""
        return self.record.answer == "energy"


def case_of(assembly: Assembly, model: FrameModel, record: LoadCase) -> Case:
    """Return a case on the freedoms of a model.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    record : LoadCase
        The case.

    Raises
    ------
    StructureError
        If a place that it names carries nothing of the model, or its forces cancel.
    """
    load = np.zeros(len(model.frame.mass))
    total = np.zeros(3)
    for force in record.loads:
        points = _points(assembly, model, record, force)
        for point in points:
            six = _six(force, point.position) / len(points)
            load += model.frame.load(point, six)
            total += six[:3]
    if record.answer == "margin":
        return Case(record, load, 0.0)
    size, pushed = float(np.linalg.norm(total)), sum(abs(force.force_n) for force in record.loads)
    if size <= _CANCELLED * pushed:
        msg = f"load case '{record.id}': its forces cancel; a blow needs a force, or ask for a margin."
        raise StructureError(msg)
    return Case(record, load / size, model.frame.effective_mass(load / size))


def _points(assembly: Assembly, model: FrameModel, record: LoadCase, force: CaseForce) -> Sequence[Point]:
    """Return the points that share a force evenly."""
    found: list[Point] = []
    if force.rotor is not None:
        point = model.rotor_points.get(force.rotor)
        heights = model.seats if force.at_propeller else model.bells if force.at_bell else None
        if point is not None:
            found = [point if heights is None else point.at(heights[force.rotor])]
    elif force.column is not None:
        seen: dict[str, Point] = {}
        for (line, _), point in model.line_points.items():
            if force.column in (line, line.partition(".")[0]):
                seen.setdefault(line, point)
        found = list(seen.values())
    elif force.equipment is not None:
        names = [n for n in model.things if force.equipment in (n, n.partition(".")[0])]
        found = [model.things[n].at(model.centres[n]) for n in names[:1]]
    elif force.place is not None:
        name = next((n for n in model.plates if force.place in (n, n.partition(".")[0])), None)
        if name is not None:
            found = _on_plate(assembly, model, name, force)
    if not found:
        what = force.column or force.equipment or force.place or f"rotor {force.rotor}"
        msg = f"load case '{record.id}': nothing of the structure carries {what}; push on what columns hold."
        raise StructureError(msg)
    return found


def _on_plate(assembly: Assembly, model: FrameModel, name: str, force: CaseForce) -> list[Point]:
    number = model.plates[name]
    if force.at_mm is not None:
        place = model.frame.plates[number].place(float(force.at_mm[0]), float(force.at_mm[1]))
        return [patch_near(model.frame, number, place)]
    part = model.parts[assembly.instances[name].part.id]
    return [model.frame.point(number, n) for n in range(len(part.holes))]


def _six(force: CaseForce, position: Floats) -> Floats:
    return np.concatenate([force.force_n * _way(force, position), np.array(force.moment_n_mm, dtype=float)])


def _way(force: CaseForce, position: Floats) -> Floats:
    if force.along is not None:
        vector = np.array(force.along, dtype=float)
        return np.asarray(vector / np.linalg.norm(vector), dtype=float)
    if force.direction in _FIXED:
        return np.array(_FIXED[force.direction], dtype=float)
    away = math.hypot(float(position[0]), float(position[1]))
    out = np.array([position[0], position[1], 0.0]) / away if away > 0 else np.array([1.0, 0, 0])
    side = np.array([-out[1], out[0], 0.0])
    return {"outwards": out, "inwards": -out, "across": side}[force.direction]
