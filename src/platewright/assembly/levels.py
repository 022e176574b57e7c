"""Heights: every level follows from what the columns stack up, with its tolerance.

The plate that carries the rotors is the datum. From it plates are fixed one after another, each on what lies under it
in the columns (or hung from what lies over it). A plate's plane passes through the columns whose `sets_level` names
its place, else through the highest ones that hold the mean of its column points between them. Everywhere else the
difference is a gap before tightening. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.affine import Affine, combine, exactly
from platewright.assembly.bearing import level_through, next_plate, plane_on
from platewright.assembly.heads import set_screws
from platewright.assembly.heights import Gap, Level, LevelError, Levels, Span
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.assembly.runs import Run, runs_of
from platewright.model.catalogue.power import Motor

__all__ = ["solve_levels"]

_SAME = 1e-9  # heights closer than this are one height [mm]
_STATION = 0.5  # columns nearer than this along the frame stand side by side [mm]


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
    runs = [run for line in lines if line.fitted for run in runs_of(line)]
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
    set_screws(lines, spans)
    gaps = [g for run in runs for g in _gaps(run, level, rank, spans)]
    built = {**level, **_bowed(upright, spans, gaps)}
    return Levels(level, tuple(order) + tuple(standing), {k: tuple(v) for k, v in spans.items()}, tuple(gaps), built)


def _carriers(runs: Sequence[Run]) -> list[Instance]:
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


def _horizontal(runs: Sequence[Run], instances: Sequence[Instance]) -> tuple[dict[str, Level], list[str]]:
    """Fix plates one after another: first those that stand on fixed ones, then those that hang from them."""
    refs: dict[str, list[tuple[Run, int]]] = {i.name: [] for i in instances}
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
        name, supports = next_plate([n for n in by_name if n not in level], refs, level)
        level[name] = plane_on(by_name[name], supports, refs[name])
        order.append(name)
    return level, order


def _shift_to_datum(level: Mapping[str, Level], carriers: Sequence[Instance]) -> dict[str, Level]:
    """Put z = 0 at the underside of the lowest plate that carries rotors."""
    origins = [level[c.name].at(*c.to_plane.apply(0.0, 0.0)) for c in carriers]
    if not origins:
        return dict(level)
    datum = min(origins, key=lambda z: z.nominal)
    if abs(datum.nominal) < _SAME:
        return dict(level)
    return {name: Level(v.points, tuple(h - datum for h in v.heights), v.lines) for name, v in level.items()}


def _place_run(run: Run, level: Mapping[str, Level], rank: Mapping[str, int], spans: list[Span | None]) -> None:
    places = run.places()
    if not places:
        raise LevelError(run.line.owner, "goes through no place; a stack needs at least one plate to stand on.")
    k, anchor = min(places, key=lambda p: rank[p[1].name])
    base = level[anchor.name].at(run.line.a, run.line.b) - run.starts[k]
    for n, start in zip(run.indices, run.starts, strict=True):
        spans[n] = Span(base + start, base + start + run.line.items[n].thickness)


def _centre_run(run: Run, spans: list[Span | None]) -> None:
    total = run.starts[-1] + run.line.items[run.indices[-1]].thickness
    base = combine(((1.0, exactly(run.line.centre)), (-0.5, total)))
    for n, start in zip(run.indices, run.starts, strict=True):
        spans[n] = Span(base + start, base + start + run.line.items[n].thickness)


def _standing(
    runs: Sequence[Run], spans: Mapping[str, Sequence[Span | None]], instances: Sequence[Instance]
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
            level[instance.name] = level_through(chosen)
    return level


def _bowed(runs: Sequence[Run], spans: Mapping[str, Sequence[Span | None]], gaps: Sequence[Gap]) -> dict[str, Level]:
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
    run: Run, level: Mapping[str, Level], rank: Mapping[str, int], spans: Mapping[str, Sequence[Span | None]]
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
