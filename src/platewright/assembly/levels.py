"""Heights: every level follows from what the columns stack up, with its tolerance.

The plate that carries the rotors is the datum. From it plates are fixed one after another, each on what lies under it
in the columns (or hung from what lies over it). A plate's plane passes through the columns whose `sets_level` names
its place, else through the highest ones that hold the mean of its column points between them. Everywhere else the
difference is a gap before tightening. Lengths in mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.affine import Affine, combine, exactly
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Item, Line
from platewright.model.catalogue.power import Motor
from platewright.model.stack import ItemKind

__all__ = ["Gap", "Level", "LevelError", "Levels", "Span", "solve_levels"]

_SAME = 1e-9  # heights closer than this are one height [mm]
_STATION = 0.5  # columns nearer than this along the frame stand side by side [mm]


class LevelError(ValueError):
    """A place cannot be given a height; `place` is its id."""

    def __init__(self, place: str, reason: str) -> None:
        self.place = place
        super().__init__(reason)


@dataclass(frozen=True)
class Level:
    """The underside (or near face) of one instance: a plane through weighted support heights [mm]."""

    points: tuple[tuple[float, float], ...]
    heights: tuple[Affine, ...]
    lines: tuple[str, ...]

    def at(self, a: float, b: float) -> Affine:
        """Height at a point of the plane."""
        return combine(zip(self._weights(a, b), self.heights, strict=True))

    @property
    def slope(self) -> tuple[float, float]:
        """Nominal rise per mm along the plane's two axes [-]."""
        origin, a, b = (self.at(*p).nominal for p in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
        return a - origin, b - origin

    @property
    def is_plane(self) -> bool:
        """Whether three supports or more, not in line, set it; else it is level at their mean height."""
        return self._inverse is not None

    def _weights(self, a: float, b: float) -> list[float]:
        count = len(self.points)
        if self._inverse is None:
            return [1.0 / count] * count
        weights: list[float] = (np.array([1.0, a, b]) @ self._inverse).tolist()
        return weights

    @cached_property
    def _inverse(self) -> NDArray[np.float64] | None:
        """From support heights to the plane's coefficients; None for fewer than three supports, or all in line."""
        count = len(self.points)
        matrix = np.column_stack([np.ones(count), np.asarray(self.points, float)])
        if count < 3 or np.linalg.matrix_rank(matrix, tol=1e-6 * max(1.0, float(np.abs(matrix).max()))) < 3:
            return None
        inverse: NDArray[np.float64] = np.linalg.pinv(matrix)
        return inverse


@dataclass(frozen=True)
class Span:
    """From where to where an item lies on its line [mm]; a screw's span is the face under its head."""

    start: Affine
    end: Affine


@dataclass(frozen=True)
class Gap:
    """Air (positive) or overlap (negative) between a plate's plane and its support, before tightening [mm]."""

    instance: str
    line: str
    a: float
    b: float
    gap: Affine


@dataclass(frozen=True)
class Levels:
    """Heights of a whole design.

    Parameters
    ----------
    level : mapping of str to Level
        By instance name.
    order : tuple of str
        Instance names in the order they were fixed.
    spans : mapping of str to tuple of Span or None
        By line name, one per item; None for access places and gaps.
    gaps : tuple of Gap
        Every column point of every plate that does not lie on its plane by construction.
    built : mapping of str to Level
        By instance name, the plane in which a plate lies once its screws are tight: that of `level`, or for a plate
        bowed over columns of different height the one through its first and last columns along the frame.
    """

    level: Mapping[str, Level]
    order: tuple[str, ...]
    spans: Mapping[str, tuple[Span | None, ...]]
    gaps: tuple[Gap, ...]
    built: Mapping[str, Level]


@dataclass(frozen=True)
class _Run:
    """Items of one line that touch one another, with their places counted from the run's start."""

    line: Line
    indices: tuple[int, ...]
    starts: tuple[Affine, ...]

    def places(self) -> list[tuple[int, Instance]]:
        return [(k, i) for k, n in enumerate(self.indices) if (i := self.line.items[n].instance) is not None]


def solve_levels(lines: Sequence[Line], instances: Mapping[str, Instance]) -> Levels:
    """Heights of all instances and spans of all items.

    Parameters
    ----------
    lines : sequence of Line
        All bolt lines; provisions (`fitted = false`) hold nothing.
    instances : mapping of str to Instance
        All placed parts.

    Raises
    ------
    LevelError
        If a place is held by no column and is not standing with an offset of its own.
    """
    runs = [run for line in lines if line.fitted for run in _runs(line)]
    upright = [run for run in runs if run.line.axis == "z"]
    level, order = _horizontal(upright, [i for i in instances.values() if i.normal == "z"])
    level = _shift_to_datum(level, _carriers(upright))
    spans: dict[str, list[Span | None]] = {line.name: [None] * len(line.items) for line in lines}
    rank = {name: n for n, name in enumerate(order)}
    for run in upright:
        _place_run(run, level, rank, spans[run.line.name])
    sideways = [run for run in runs if run.line.axis != "z"]
    for run in sideways:
        _centre_run(run, spans[run.line.name])
    standing = _standing(sideways, spans, [i for i in instances.values() if i.normal != "z"])
    level.update(standing)
    _set_screws(lines, spans)
    gaps = [g for run in runs for g in _gaps(run, level, rank, spans)]
    built = {**level, **_bowed(upright, spans, gaps)}
    return Levels(level, tuple(order) + tuple(standing), {k: tuple(v) for k, v in spans.items()}, tuple(gaps), built)


def _runs(line: Line) -> list[_Run]:
    runs: list[_Run] = []
    indices: list[int] = []
    starts: list[Affine] = []
    height = exactly(0.0)
    for n, item in enumerate(line.items):
        if item.word.kind is ItemKind.GAP and indices:
            runs.append(_Run(line, tuple(indices), tuple(starts)))
            indices, starts, height = [], [], exactly(0.0)
        elif item.touches:
            indices.append(n)
            starts.append(height)
            height = height + item.thickness
    if indices:
        runs.append(_Run(line, tuple(indices), tuple(starts)))
    return runs


def _carriers(runs: Sequence[_Run]) -> list[Instance]:
    """Return the plates that motors stand on: the place nearest to the motor in its line."""
    found: dict[str, Instance] = {}
    for run in runs:
        motors = [k for k, n in enumerate(run.indices) if isinstance(run.line.items[n].record, Motor)]
        places = run.places()
        for m in motors:
            if places:
                nearest = min(places, key=lambda p, m=m: abs(p[0] - m))[1]  # type: ignore[misc]
                found[nearest.name] = nearest
    return list(found.values())


def _horizontal(runs: Sequence[_Run], instances: Sequence[Instance]) -> tuple[dict[str, Level], list[str]]:
    """Fix plates one after another: first those that stand on fixed ones, then those that hang from them."""
    refs: dict[str, list[tuple[_Run, int]]] = {i.name: [] for i in instances}
    for run in runs:
        for k, instance in run.places():
            refs[instance.name].append((run, k))
    carriers = _carriers(runs)
    arms = [i for i in instances if i.arm is not None]
    first = next((i.place.id for i in (*carriers, *arms, *instances)), "")
    level = {i.name: Level(((0.0, 0.0),), (exactly(0.0),), ()) for i in instances if i.place.id == first}
    order = list(level)
    by_name = {i.name: i for i in instances}
    while len(level) < len(instances):
        name, supports = _next_plate([n for n in by_name if n not in level], refs, level)
        level[name] = _plane(by_name[name], supports, refs[name])
        order.append(name)
    return level, order


_Support = tuple[_Run, Affine, int]  # the run, the height there, +1 from below or -1 from above


def _next_plate(
    waiting: Sequence[str], refs: Mapping[str, list[tuple[_Run, int]]], level: Mapping[str, Level]
) -> tuple[str, list[_Support]]:
    hanging: tuple[str, list[_Support]] | None = None
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


def _neighbour(run: _Run, k: int, step: int, level: Mapping[str, Level]) -> tuple[Affine | None, bool]:
    """Height of item k from the nearest plate below (step -1) or above (+1), and whether there is such a plate."""
    places = [(j, i) for j, i in run.places() if (j - k) * step > 0]
    if not places:
        return None, False
    j, instance = min(places, key=lambda p: abs(p[0] - k))
    if instance.name not in level:
        return None, True
    return level[instance.name].at(run.line.a, run.line.b) + run.starts[k] - run.starts[j], True


def _plane(instance: Instance, supports: Sequence[_Support], refs: Sequence[tuple[_Run, int]]) -> Level:
    chosen = [s for s in supports if instance.place.id in s[0].line.sets_level]
    if not chosen:
        points = [(run.line.a, run.line.b) for run, _ in refs]
        centre = (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))
        chosen = _bearing_supports(supports, centre)
    return Level(
        tuple((run.line.a, run.line.b) for run, _, _ in chosen),
        tuple(h for _, h, _ in chosen),
        tuple(run.line.name for run, _, _ in chosen),
    )


def _bearing_supports(supports: Sequence[_Support], centre: tuple[float, float]) -> list[_Support]:
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


def _shift_to_datum(level: Mapping[str, Level], carriers: Sequence[Instance]) -> dict[str, Level]:
    """Put z = 0 at the underside of the lowest plate that carries rotors."""
    origins = [level[c.name].at(*c.to_plane.apply(0.0, 0.0)) for c in carriers]
    if not origins:
        return dict(level)
    datum = min(origins, key=lambda z: z.nominal)
    if abs(datum.nominal) < _SAME:
        return dict(level)
    return {name: Level(v.points, tuple(h - datum for h in v.heights), v.lines) for name, v in level.items()}


def _place_run(run: _Run, level: Mapping[str, Level], rank: Mapping[str, int], spans: list[Span | None]) -> None:
    places = run.places()
    if not places:
        raise LevelError(run.line.owner, "goes through no place; a stack needs at least one plate to stand on.")
    k, anchor = min(places, key=lambda p: rank[p[1].name])
    base = level[anchor.name].at(run.line.a, run.line.b) - run.starts[k]
    for n, start in zip(run.indices, run.starts, strict=True):
        spans[n] = Span(base + start, base + start + run.line.items[n].thickness)


def _centre_run(run: _Run, spans: list[Span | None]) -> None:
    total = run.starts[-1] + run.line.items[run.indices[-1]].thickness
    base = combine(((1.0, exactly(run.line.centre)), (-0.5, total)))
    for n, start in zip(run.indices, run.starts, strict=True):
        spans[n] = Span(base + start, base + start + run.line.items[n].thickness)


def _standing(
    runs: Sequence[_Run], spans: Mapping[str, Sequence[Span | None]], instances: Sequence[Instance]
) -> dict[str, Level]:
    level: dict[str, Level] = {}
    for instance in instances:
        supports = []
        for run in runs:
            for k, other in run.places():
                span = spans[run.line.name][run.indices[k]]
                if other.name == instance.name and span is not None:
                    supports.append((run, span.start, 1))
        chosen = [s for s in supports if instance.place.id in s[0].line.sets_level] or supports
        if not chosen and instance.place.offset_mm is not None:
            middle = instance.side * instance.place.offset_mm
            face = exactly(middle - instance.part.thickness_mm / 2)
            level[instance.name] = Level(((0.0, 0.0),), (face,), ())
        elif not chosen:
            raise LevelError(instance.place.id, "stands on edge without a sideways column; give it one, or offset_mm.")
        else:
            level[instance.name] = Level(
                tuple((run.line.a, run.line.b) for run, _, _ in chosen),
                tuple(h for _, h, _ in chosen),
                tuple(run.line.name for run, _, _ in chosen),
            )
    return level


def _set_screws(lines: Sequence[Line], spans: Mapping[str, list[Span | None]]) -> None:
    """Set each screw's span to the face it bears on: that of the first thing it points into."""
    for line in lines:
        own = spans[line.name]
        for n, item in enumerate(line.items):
            if item.word.kind is not ItemKind.SCREW:
                continue
            step = screw_direction(line.items, n)
            following = next((m for m in _ahead(n, step, len(own)) if own[m] is not None), None)
            if following is not None and own[following] is not None:
                span = own[following]
                assert span is not None
                face = span.start if step > 0 else span.end
                own[n] = Span(face, face)


def screw_direction(items: Sequence[Item], n: int) -> int:
    """+1 if the screw at position n points along +axis, -1 if it points back, 0 if nothing says which.

    A screw at an end points inward; beside a gap or an access place it points away from it.
    """
    if n == 0:
        return 1
    if n == len(items) - 1:
        return -1
    open_before, open_after = _is_open(items[n - 1]), _is_open(items[n + 1])
    return int(open_before) - int(open_after)


def _is_open(item: Item) -> bool:
    return item.is_access or item.word.kind is ItemKind.GAP


def _ahead(n: int, step: int, count: int) -> range:
    return range(n + step, count if step > 0 else -1, step) if step else range(0)


def _bowed(runs: Sequence[_Run], spans: Mapping[str, Sequence[Span | None]], gaps: Sequence[Gap]) -> dict[str, Level]:
    """Return planes through the first and last columns, along x, of plates that do not lie on their level."""
    bent = {g.instance for g in gaps if abs(g.gap.nominal) > _SAME}
    found: dict[str, list[tuple[float, float, Affine, str]]] = {}
    for run in runs:
        for k, instance in run.places():
            span = spans[run.line.name][run.indices[k]]
            if instance.name in bent and span is not None:
                found.setdefault(instance.name, []).append((run.line.a, run.line.b, span.start, run.line.name))
    made = {}
    for name, points in found.items():
        ends = min(p[0] for p in points), max(p[0] for p in points)
        chosen = [p for p in points if min(abs(p[0] - e) for e in ends) < _STATION]
        made[name] = Level(
            tuple((a, b) for a, b, _, _ in chosen), tuple(h for _, _, h, _ in chosen), tuple(n for _, _, _, n in chosen)
        )
    return made


def _gaps(
    run: _Run, level: Mapping[str, Level], rank: Mapping[str, int], spans: Mapping[str, Sequence[Span | None]]
) -> list[Gap]:
    found = []
    for k, instance in run.places():
        span = spans[run.line.name][run.indices[k]]
        if span is None:
            continue
        gap = level[instance.name].at(run.line.a, run.line.b) - span.start
        if abs(gap.nominal) > 1e-6 or gap.worst > 1e-6:
            found.append(Gap(instance.name, run.line.name, run.line.a, run.line.b, gap))
    return found
