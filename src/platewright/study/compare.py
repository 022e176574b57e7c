"""Two frames compared: parts by shape and laminate, places, columns, rotors, masses, hardware, findings, service."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import shapely

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.bill import bill_of_materials
from platewright.assembly.stance import stretch
from platewright.foundation.findings import Finding
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline, outline_area, to_shapely
from platewright.study.compare_flight import flight_changes, handling_changes, hover_changes
from platewright.study.compare_results import Change, Comparison, HoleChange, PartRow, TextRow
from platewright.study.compare_strength import strength_changes, strength_words
from platewright.study.identity import identity_of, same_part
from platewright.study.results import CheckResult, StackUp

__all__ = ["compare_frames", "outline_difference"]

_SAME = 5e-4  # numbers that differ by less are the same, in mm and g
_QUADRANT = 64  # chords in a quarter circle of areas added and removed [-]
_TURNED = 1e-6  # turn that counts [rad]
_STATES = {"bare": "of the bare frame", "without_battery": "without battery", "with_battery": "with battery"}


def compare_frames(
    first: Assembly, first_check: CheckResult, second: Assembly, second_check: CheckResult
) -> Comparison:
    """Compare two frames.

    Parameters
    ----------
    first, second : Assembly
        The frames.
    first_check, second_check : CheckResult
        What the check says about each.
    """
    return Comparison(
        first.design.frame.name,
        second.design.frame.name,
        tuple(_parts(first, second, (_masses(first_check), _masses(second_check)))),
        tuple(_differing(_parameters(first), _parameters(second), "")),
        tuple(_numbers(first, first_check, second, second_check)),
        tuple(_words(_places(first), _places(second))),
        tuple(_words(_columns(first_check), _columns(second_check))),
        tuple(_differing(_hardware(first), _hardware(second), "pieces")),
        tuple(_only_in(first_check.findings, second_check.findings)),
        tuple(_only_in(second_check.findings, first_check.findings)),
        tuple(_service(first_check, second_check)),
        tuple(hover_changes(first_check.hover, second_check.hover)),
        tuple(flight_changes(first_check.flight, second_check.flight)),
        tuple(handling_changes(*(c.flight.handling if c.flight else None for c in (first_check, second_check)))),
        tuple(strength_changes(first_check.strength, second_check.strength)),
        tuple(strength_words(first_check.strength, second_check.strength)),
    )


def outline_difference(first: Outline, second: Outline) -> tuple[shapely.Geometry, shapely.Geometry, shapely.Geometry]:
    """Return what two outlines have in common, what the second adds and what it lacks, in their own axes [mm]."""
    a, b = to_shapely(first, _QUADRANT), to_shapely(second, _QUADRANT)
    return shapely.intersection(a, b), shapely.difference(b, a), shapely.difference(a, b)


def _parts(first: Assembly, second: Assembly, masses: tuple[Mapping[str, float], ...]) -> Iterator[PartRow]:
    """Match parts: the same shape under the same id, under another id, then what has only the id in common."""
    left, right = dict(first.parts), dict(second.parts)
    rows: dict[str, PartRow] = {}
    by_id = [(n, n) for n in left if n in right]
    for one, other in (*by_id, *itertools.product(list(left), list(right))):
        if one not in left or other not in right:
            continue
        if (motion := same_part(identity_of(left[one]), identity_of(right[other]))) is not None:
            rows[one] = _row("same", left.pop(one), right.pop(other), _how(motion))
    for name in [n for n in left if n in right]:
        rows[name] = _row("changed", left.pop(name), right.pop(name), "")
    for name in list(left):
        rows[name] = _row("gone", left.pop(name), None, "")
    for row in (*(rows[name] for name in first.parts), *(_row("new", None, f, "") for f in right.values())):
        yield replace(row, mass_first_g=masses[0].get(row.first), mass_second_g=masses[1].get(row.second))


def _masses(check: CheckResult) -> dict[str, float]:
    """Return the mass of one piece of each part [g]."""
    rows = (c for c in check.mass.heaviest if c.name.startswith("part "))
    return {c.name.removeprefix("part "): c.mass_g / c.quantity for c in rows}


def _how(motion: Isometry) -> str:
    angle = math.degrees(math.atan2(motion.sin, motion.cos))
    said = ["turned over"] if motion.flip else []
    said += [f"turned {angle:.1f} deg"] if abs(motion.sin) > _TURNED or motion.cos < 0 else []
    return ", ".join(said)


def _row(state: str, one: FinishedPart | None, other: FinishedPart | None, how: str) -> PartRow:
    added = removed = None
    if state == "changed" and one is not None and other is not None:
        _, more, less = outline_difference(one.outline, other.outline)
        added, removed = float(shapely.area(more)), float(shapely.area(less))
        a, b = one.part, other.part
        said = [f"{a.thickness_mm:g} to {b.thickness_mm:g} mm"] if a.thickness_mm != b.thickness_mm else []
        said += [f"{a.material} to {b.material}"] if a.material != b.material else []
        how = ", ".join(said)
    return PartRow(
        state,
        one.part.id if one is not None else "",
        other.part.id if other is not None else "",
        how,
        one.quantity if one is not None else 0,
        other.quantity if other is not None else 0,
        outline_area(one.outline) if one is not None else None,
        outline_area(other.outline) if other is not None else None,
        added,
        removed,
        None,
        None,
        tuple(_holes(one, other)) if state == "changed" else (),
    )


def _holes(one: FinishedPart | None, other: FinishedPart | None) -> Iterator[HoleChange]:
    counts = [_diameters(one), _diameters(other)]
    for diameter in sorted({*counts[0], *counts[1]}):
        a, b = (c.get(diameter, 0) for c in counts)
        if a != b:
            yield HoleChange(diameter, a, b)


def _diameters(finished: FinishedPart | None) -> dict[float, int]:
    counts: dict[float, int] = {}
    for circle in finished.outline.circles if finished is not None else ():
        key = round(2 * circle.radius, 3)
        counts[key] = counts.get(key, 0) + 1
    return counts


def _parameters(assembly: Assembly) -> dict[str, float]:
    return {name: float(value) for name, value in assembly.design.parameters.items()}


def _hardware(assembly: Assembly) -> dict[str, float]:
    return {f"{b.kind}: {b.item}" if b.kind == "equipment" else b.item: b.quantity for b in bill_of_materials(assembly)}


def _differing(first: Mapping[str, float], second: Mapping[str, float], unit: str) -> Iterator[Change]:
    for name in dict.fromkeys([*first, *second]):
        a, b = first.get(name), second.get(name)
        if a is None or b is None or abs(a - b) > _SAME:
            yield Change(name, unit or _unit(name), a, b)


def _unit(name: str) -> str:
    return next((u for u in ("mm", "deg", "g") if name.endswith(f"_{u}")), "")


def _numbers(
    first: Assembly, first_check: CheckResult, second: Assembly, second_check: CheckResult
) -> Iterator[Change]:
    """Yield stance, masses, centres of gravity and inertias of both frames, rotor axes where they differ."""
    left, right = _stance(first), _stance(second)
    for name, value in left.items():
        yield Change(name, "" if name == "rotors" else "mm", value, right[name])
    yield from _differing(_axes(first), _axes(second), "mm")
    for state in ("bare", "without_battery", "with_battery"):
        a, b = getattr(first_check.mass, state), getattr(second_check.mass, state)
        word = _STATES[state]
        yield Change(f"mass {word}", "g", a.mass_g, b.mass_g)
        for n, axis in enumerate("xyz"):
            yield Change(f"centre {axis} {word}", "mm", a.centre_mm[n], b.centre_mm[n])
        for n, turn in enumerate(("roll", "pitch", "yaw")):
            yield Change(f"inertia {turn} {word}", "g mm2", a.inertia_g_mm2[n][n], b.inertia_g_mm2[n][n])


def _stance(assembly: Assembly) -> dict[str, float]:
    axes = assembly.axes
    xs, ys = [x for x, _ in axes], [y for _, y in axes]
    wheelbase = max((math.dist(p, q) for p, q in itertools.combinations(axes, 2)), default=0.0)
    return {
        "rotors": len(assembly.rotors),
        "wheelbase": wheelbase,
        "fore-aft spacing": max(xs) - min(xs),
        "lateral spacing": max(ys) - min(ys),
        "stretch": stretch(axes),
    }


def _axes(assembly: Assembly) -> dict[str, float]:
    rows = {f"rotor {r.number} x": r.x for r in assembly.rotors}
    return rows | {f"rotor {r.number} y": r.y for r in assembly.rotors}


def _places(assembly: Assembly) -> dict[str, str]:
    """Return where each placed part is: its part, underside, origin, turn and face."""
    said = {}
    for name, instance in assembly.instances.items():
        t = instance.to_plane
        at = (t.tx, t.ty) if instance.normal == "z" else (0.0, 0.0)
        level = assembly.levels.level[name].at(*at).nominal
        turn = math.degrees(math.atan2(t.sin, t.cos))
        where = f"{instance.part.id} at {t.tx:.2f}, {t.ty:.2f}, height {level:.2f}, turned {turn:.1f} deg"
        said[name] = where.replace("-0.00", "0.00").replace("-0.0 deg", "0.0 deg") + (", over" if instance.over else "")
    return said


def _columns(check: CheckResult) -> dict[str, str]:
    return {s.owner: _stack(s) for s in check.stack_ups}


def _stack(stack: StackUp) -> str:
    """Say a stack in words: what lies in it with thickness, then its screws with their lengths."""
    rows = " | ".join(f"{r.item} {r.end_mm - r.start_mm:.2f}" for r in stack.rows)
    screws = ", ".join([*(w.item for w in stack.screws), *(w.item for w in stack.studs)])
    return f"{stack.count} x {rows}; {screws}" if stack.fitted else f"{stack.count} x provision"


def _words(first: Mapping[str, str], second: Mapping[str, str]) -> Iterator[TextRow]:
    for name in dict.fromkeys([*first, *second]):
        a, b = first.get(name, ""), second.get(name, "")
        if a != b:
            yield TextRow(name, a, b)


def _only_in(findings: Iterable[Finding], others: Sequence[Finding]) -> Iterator[Finding]:
    """Yield findings of one frame that the other lacks: another code, place or severity."""
    known = {(f.code, f.where, f.severity) for f in others}
    return (f for f in findings if (f.code, f.where, f.severity) not in known)


def _service(first: CheckResult, second: CheckResult) -> Iterator[Change]:
    left, right = ({r.thing: r for r in check.service} for check in (first, second))
    for name in dict.fromkeys([*left, *right]):
        a, b = left.get(name), right.get(name)
        screws = (a.screws if a is not None else None, b.screws if b is not None else None)
        minutes = (a.minutes if a is not None else None, b.minutes if b is not None else None)
        if screws[0] != screws[1]:
            yield Change(f"{name}: screws", "pieces", *screws)
        if minutes[0] != minutes[1]:
            yield Change(f"{name}: time", "min", *minutes)
