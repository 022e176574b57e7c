"""Findings about screws: thread, length, direction, driver, nuts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeVar

from platewright.assembly.affine import Affine
from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.assembly.heads import screw_direction
from platewright.assembly.order import AssemblyOrder
from platewright.assembly.reach import driver_radius
from platewright.assembly.screws import WORST_CASE_SHARE, End, Fit, ScrewFit, standoff_meetings
from platewright.foundation.findings import Finding, Severity
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.fasteners import Nut, Screw
from platewright.model.catalogue.power import Motor
from platewright.model.stack import ItemKind

__all__ = ["screw_findings"]

_PRACTICE = "common practice, no source"
_SPANNER_WALL = 2.0  # room a spanner or socket needs beside the flats of a nut [mm] (common practice, no source)
T = TypeVar("T", bound=Fit)
_WORDS = {
    End.STANDOFF: "thread in the standoff",
    End.BODY: "thread in the body",
    End.PRESS_NUT: "screw past the press nut",
    End.NUT: "screw past the nut",
}


def screw_findings(assembly: Assembly, order: AssemblyOrder) -> Iterator[Finding]:
    """Yield everything about the screws of a frame."""
    for screw in _one_of_each(assembly.screws):
        yield from _thread(screw)
        yield from _length(screw, assembly)
        yield from _fit(screw)
    for stud in _one_of_each(assembly.studs):
        yield from _thread(stud)
        yield from _fit(stud)
    yield from _directions(assembly)
    yield from _meetings(assembly)
    yield from _driver(order)
    yield from _access(assembly)
    yield from _nuts(assembly)
    yield from _covered(assembly, order)


def _one_of_each(screws: Sequence[T]) -> list[T]:
    """Return one screw of each owner, position and outcome: four equal arms need not be said four times."""
    seen: dict[tuple[str, int, float, float], T] = {}
    for s in screws:
        seen.setdefault((s.line.owner, s.index, s.length, round(s.engagement.nominal, 3)), s)
    return list(seen.values())


def _where(fit: Fit) -> str:
    words = f"{fit.word.size}x{fit.length:g} {fit.word.style}" if isinstance(fit, ScrewFit) else fit.word.text
    return f"{fit.line.owner}: {words}"


def _pair(value: Affine) -> str:
    return f"{value.nominal:.2f} mm (worst case {value.low:.2f})"


def _thread(screw: Fit) -> Iterator[Finding]:
    if screw.end is End.NOTHING:
        yield Finding(
            "screw.no_thread",
            Severity.FAIL,
            _where(screw),
            "ends in no thread; add a nut, a standoff or a tapped body at the end of its stack.",
        )
        return
    found, wanted = screw.engagement, screw.required
    what = _WORDS[screw.end]
    why = f"least {what} ({_PRACTICE})"
    if found.nominal < wanted - 1e-9:
        text = f"has {_pair(found)} of {what}; at least {wanted:.2f} mm is needed."
        yield Finding("screw.engagement", Severity.FAIL, _where(screw), text, found.nominal, wanted, "mm", why)
    elif found.low < WORST_CASE_SHARE * wanted - 1e-9:
        limit = WORST_CASE_SHARE * wanted
        text = f"has {_pair(found)} of {what}; {limit:.2f} mm is wanted in the worst case."
        yield Finding("screw.engagement", Severity.WARN, _where(screw), text, found.low, limit, "mm", why)
    end = screw.line.items[screw.end_index] if screw.end_index is not None else None
    size = end.word.size if end is not None else ""
    if end is not None and isinstance(end.record, Motor):
        size = end.record.base_thread
    elif end is not None and isinstance(end.record, Camera):
        size = end.record.mount_thread
    if size and size != screw.thread.id:
        text = f"is {screw.thread.id} and ends in a thread {size}."
        yield Finding("screw.thread", Severity.FAIL, _where(screw), text, why="ISO 68-1: threads of one size mate")


def _length(screw: ScrewFit, assembly: Assembly) -> Iterator[Finding]:
    lengths = assembly.catalogue.lengths(screw.thread.id)
    if screw.length not in lengths.series_mm:
        rare = screw.length in lengths.off_series_mm
        near = ", ".join(f"{v:g}" for v in sorted(lengths.series_mm, key=lambda v: abs(v - screw.length))[:3])
        text = (
            f"is {screw.length:g} mm long, {'rarely' if rare else 'not'} sold; the next standard lengths are {near} mm."
        )
        severity = Severity.NOTE if rare else Severity.WARN
        yield Finding("screw.length", severity, _where(screw), text, why="ISO 888 preferred lengths, from memory")
    if screw.full_thread:
        text = f"must be threaded up to its head: a thread lies {screw.grip.nominal:.1f} mm under the head."
        why = "ISO 4762: thread length 2 d + 12, longer screws have a plain shank (from memory)"
        yield Finding("screw.full_thread", Severity.NOTE, f"{screw.line.owner}: {screw.word.text}", text, why=why)


def _fit(screw: Fit) -> Iterator[Finding]:
    if screw.limit is not None and screw.end is not End.NOTHING:
        yield from _too_long(screw)
    if screw.crosses_gap:
        text = "clamps across air: tightening bends the plates together; fill the gap with a spacer or a standoff."
        yield Finding("screw.gap", Severity.WARN, _where(screw), text, why="a stack's neighbours touch")


def _too_long(screw: Fit) -> Iterator[Finding]:
    limit = screw.limit or 0.0
    reasons = {
        End.STANDOFF: ("bottoms in the standoff", Severity.FAIL, f"thread depth of the standoff ({_PRACTICE})"),
        End.BODY: ("may touch the windings", Severity.FAIL, f"deepest thread of the motor base ({_PRACTICE})"),
        End.NUT: ("stands out too far", Severity.NOTE, "limit checks.nut_protrusion_max_mm of the design"),
    }
    if screw.end not in reasons:
        return
    text, severity, why = reasons[screw.end]
    found = screw.engagement
    if found.nominal > limit + 1e-9:
        say = f"{text}: {found.nominal:.2f} mm, at most {limit:.2f} mm."
        yield Finding("screw.too_long", severity, _where(screw), say, found.nominal, limit, "mm", why, at_least=False)
    elif found.high > limit + 1e-9 and severity is Severity.FAIL:
        say = f"{text} in the worst case: {found.high:.2f} mm, at most {limit:.2f} mm."
        yield Finding("screw.too_long", Severity.WARN, _where(screw), say, found.high, limit, "mm", why, at_least=False)


def _directions(assembly: Assembly) -> Iterator[Finding]:
    seen = set()
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            if item.word.kind is ItemKind.SCREW and screw_direction(line.items, n) == 0 and (line.owner, n) not in seen:
                seen.add((line.owner, n))
                text = (
                    "does not say which way it points: put it at an end, or with a gap or an access place on one side."
                )
                yield Finding("screw.direction", Severity.FAIL, f"{line.owner}: {item.word.text}", text)


def _meetings(assembly: Assembly) -> Iterator[Finding]:
    limit = assembly.design.checks.tips_apart_mm
    seen = set()
    for meeting in standoff_meetings((*assembly.screws, *assembly.studs)):
        key = meeting.line.partition(".")[0], round(meeting.apart.nominal, 3)
        if len(meeting.engagements) < 2 or key in seen or meeting.apart.low >= limit - 1e-9:
            continue
        seen.add(key)
        fails = meeting.apart.nominal < limit - 1e-9
        value = meeting.apart.nominal if fails else meeting.apart.low
        text = (
            f"two screws enter the {meeting.standoff_length:g} mm standoff and leave "
            f"{_pair(meeting.apart)} between tips."
        )
        severity = Severity.FAIL if fails else Severity.WARN
        yield Finding("screw.tips", severity, meeting.line, text, value, limit, "mm", "limit checks.tips_apart_mm")


def _driver(order: AssemblyOrder) -> Iterator[Finding]:
    for blocked in order.blocked:
        text = f"cannot be driven at its step: {' and '.join(blocked.by)} stands in the way; give it an access hole."
        yield Finding("screw.no_driver", Severity.FAIL, blocked.screw.name, text, why="a hex key must reach its head")


def _access(assembly: Assembly) -> Iterator[Finding]:
    """Check that the head passes where an access place surrounds it, the driver where it only lets the driver by."""
    seen = set()
    for screw in assembly.screws:
        items = screw.line.items
        for n, item in enumerate(items):
            beyond = (n - screw.index) * screw.direction < 0
            if item.word.access_mm is None or not beyond or (screw.line.owner, n) in seen:
                continue
            seen.add((screw.line.owner, n))
            head = screw.screw.head_d_clear_mm
            key = 2 * driver_radius(screw.screw.drive_size_mm)
            needed, what = (head, "head") if _surrounds(assembly, screw, n) else (key, "driver")
            if item.word.access_mm < needed:
                text = (
                    f"the {what} needs {needed:.2f} mm, the access hole in {item.label} is "
                    f"{item.word.access_mm:.2f} mm."
                )
                why = "largest head of the standard (knurled), or the key's corners and 0.4 mm"
                yield Finding("access.head", Severity.FAIL, _where(screw), text, item.word.access_mm, needed, "mm", why)


def _surrounds(assembly: Assembly, screw: ScrewFit, n: int) -> bool:
    """Whether the place at position n stands round the head: it begins before the head ends."""
    instance = screw.line.items[n].instance
    span = assembly.levels.spans[screw.line.name][screw.index]
    if instance is None or span is None or instance.normal != "z":
        return True
    bottom = assembly.levels.level[instance.name].at(screw.line.a, screw.line.b).nominal
    top = bottom + instance.part.thickness_mm
    face, outer = span.start.nominal, span.start.nominal - screw.direction * screw.screw.head_h_max_mm
    return max(bottom, min(face, outer)) < min(top, max(face, outer)) - 1e-9


def _nuts(assembly: Assembly) -> Iterator[Finding]:
    """Check that a spanner goes round each nut: no other hardware at its height within its flats and a wall."""
    stacks = [(b, *_room_taken(assembly, b)) for b in assembly.bodies if b.line]
    places = {line.name: line for line in assembly.lines}
    seen = set()
    for body, own, _ in stacks:
        line = places[body.line]
        item = line.items[int(body.name.rpartition("#")[2]) - 1]
        if not isinstance(item.record, Nut) or item.word.style == "press" or line.axis != "z":
            continue
        need = item.record.outer_d_mm / 2 + _SPANNER_WALL
        for other, its, radius in stacks:
            if other.line == body.line or places[other.line].axis != "z":
                continue
            apart = math.hypot(line.a - places[other.line].a, line.b - places[other.line].b)
            room = apart - radius
            overlaps = min(own[1], its[1]) - max(own[0], its[0]) > 1e-6
            key = (line.owner, places[other.line].owner)
            if overlaps and room < need and key not in seen:
                seen.add(key)
                text = (
                    f"{item.word.text} has {room:.1f} mm to {other.name}; a spanner needs {need:.1f} "
                    "mm from its middle."
                )
                why = f"half the nut and {_SPANNER_WALL:g} mm of spanner ({_PRACTICE})"
                yield Finding("nut.spanner", Severity.WARN, body.line, text, room, need, "mm", why)


def _room_taken(assembly: Assembly, body: Body) -> tuple[tuple[float, float], float]:
    """Along its line from where to where a piece of hardware lies, and its greatest radius; a screw's head [mm]."""
    own = next(x for x in assembly.lines if x.name == body.line)
    n = int(body.name.rpartition("#")[2]) - 1
    span, record = assembly.levels.spans[body.line][n], own.items[n].record
    start, end = (span.start.nominal, span.end.nominal) if span is not None else (0.0, 0.0)
    if isinstance(record, Screw):
        height = 0.0 if record.length_includes_head else record.head_h_max_mm
        outer = start - screw_direction(own.items, n) * height
        return (min(start, outer), max(start, outer)), record.head_d_max_mm / 2
    return (start, end), float(getattr(record, "outer_d_mm", 0.0) or getattr(record, "outer_d_max_mm", 0.0)) / 2


def _covered(assembly: Assembly, order: AssemblyOrder) -> Iterator[Finding]:
    """Say what must come off before a motor screw can be reached in the finished frame."""
    covers: dict[str, dict[str, None]] = {}
    for screw in assembly.screws:
        end = screw.line.items[screw.end_index].record if screw.end_index is not None else None
        if isinstance(end, Motor):
            for name in order.covered.get((screw.line.name, screw.index), ()):
                covers.setdefault(screw.line.owner, {})[name] = None
    for owner, names in covers.items():
        text = f"some of its screws are covered in the finished frame by {', '.join(sorted(names))}."
        yield Finding("screw.covered", Severity.NOTE, owner, text, why="a motor is changed in the field")
