"""What a plate rests on: which plate can be fixed next, on which of its supports, and the plane through those.

Lengths in mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

import numpy as np

from platewright.assembly.affine import Affine
from platewright.assembly.heights import Level, LevelError
from platewright.assembly.instances import Instance
from platewright.assembly.runs import Run

__all__ = ["Support", "level_through", "next_plate", "plane_on"]

_SAME = 1e-9  # heights closer than this are one height [mm]

Support = tuple[Run, Affine, int]  # the run, the height there, +1 from below or -1 from above


def next_plate(
    waiting: Sequence[str], refs: Mapping[str, list[tuple[Run, int]]], level: Mapping[str, Level]
) -> tuple[str, list[Support]]:
    """Return the plate to fix next and its supports: one that stands on fixed plates, else one that hangs from them.

    Parameters
    ----------
    waiting : sequence of str
        Plates without a height, in the order of the file.
    refs : mapping of str to list of (Run, int)
        By plate, every run it is in and where in it.
    level : mapping of str to Level
        Plates that are fixed.

    Raises
    ------
    LevelError
        If no column joins a waiting plate to a fixed one.
    """
    hanging: tuple[str, list[Support]] | None = None
    for name in waiting:
        below = [_neighbour(run, k, -1, level) for run, k in refs[name]]
        known = [(run, h, 1) for (run, _), (h, _) in zip(refs[name], below, strict=True) if h is not None]
        if known and not any(h is None and there for h, there in below):
            return name, known
        if hanging is None:
            above = [_neighbour(run, k, +1, level) for run, k in refs[name]]
            hung = [(run, h, -1) for (run, _), (h, _) in zip(refs[name], above, strict=True) if h is not None]
            if hung:
                hanging = name, hung
    if hanging is not None:
        return hanging
    place = waiting[0].partition(".")[0]
    raise LevelError(
        place, "is held by no fitted column that reaches the plates which carry the rotors; add it to a stack."
    )


def plane_on(instance: Instance, supports: Sequence[Support], refs: Sequence[tuple[Run, int]]) -> Level:
    """Return the plane of a plate: through the supports that are to set it, else those that a stiff plate touches."""
    chosen = [s for s in supports if instance.place.id in s[0].line.sets_level]
    if not chosen:
        points = [(run.line.a, run.line.b) for run, _ in refs]
        centre = (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))
        chosen = _bearing_supports(supports, centre)
    return level_through(chosen)


def level_through(supports: Sequence[Support]) -> Level:
    """Return the plane through all of these supports."""
    return Level(
        tuple((run.line.a, run.line.b) for run, _, _ in supports),
        tuple(h for _, h, _ in supports),
        tuple(run.line.name for run, _, _ in supports),
    )


def _neighbour(run: Run, k: int, step: int, level: Mapping[str, Level]) -> tuple[Affine | None, bool]:
    """Height of item k from the nearest plate below (step -1) or above (+1), and whether there is such a plate."""
    places = [(j, i) for j, i in run.places() if (j - k) * step > 0]
    if not places:
        return None, False
    j, instance = min(places, key=lambda p: abs(p[0] - k))
    if instance.name not in level:
        return None, True
    return level[instance.name].at(run.line.a, run.line.b) + run.starts[k] - run.starts[j], True


def _bearing_supports(supports: Sequence[Support], centre: tuple[float, float]) -> list[Support]:
    """Return the supports that a stiff plate touches: the facet of the upper hull over its centre.

    A plate that hangs is judged by the lower hull. With fewer than three points, or all in line, it is level on the
    highest.
    """
    sign = supports[0][2]
    heights = np.array([sign * h.nominal for _, h, _ in supports])
    points = np.array([(run.line.a, run.line.b) for run, _, _ in supports])
    if np.ptp(heights) < _SAME:
        return list(supports)
    best: tuple[float, np.ndarray] | None = None
    for triple in itertools.combinations(range(len(supports)), 3):
        matrix = np.column_stack([np.ones(3), points[list(triple)]])
        if abs(np.linalg.det(matrix)) < 1e-6:
            continue
        share = np.linalg.solve(matrix.T, np.array([1.0, *centre]))
        if share.min() < -1e-9:
            continue
        plane = np.column_stack([np.ones(len(points)), points]) @ np.linalg.solve(matrix, heights[list(triple)])
        if (heights - plane).max() > 1e-6:
            continue
        at_centre = float(share @ heights[list(triple)])
        if best is None or at_centre > best[0]:
            best = at_centre, np.flatnonzero(np.abs(heights - plane) < 1e-6)
    if best is None:
        return [s for s, h in zip(supports, heights, strict=True) if heights.max() - h < _SAME]
    return [supports[i] for i in best[1]]
