"""Findings about holes and parts: edges, near misses, idle holes, faces, keys, sheets."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.holes import Hole, idle_holes
from platewright.assembly.keys import key_mismatches
from platewright.foundation.findings import Finding, Severity
from platewright.foundation.units import G_PER_CM3_TO_T_PER_MM3, G_PER_T

__all__ = ["hole_findings", "hole_mass_g"]

_PRACTICE = "common practice, no source"


def hole_findings(assembly: Assembly) -> Iterator[Finding]:
    """Yield everything about the holes and faces of all parts."""
    yield from _composite_rule(assembly)
    for finished in assembly.parts.values():
        yield from _near_misses(finished)
        yield from _touching(finished)
        yield from _edges(assembly, finished)
        yield from _faces(assembly, finished)
        yield from _sheet(assembly, finished)
    yield from _idle(assembly)
    for name in key_mismatches(assembly.design, assembly.instances):
        text = (
            "its key would trim it otherwise than the first arm, so the arms are not one part; make "
            "the stance symmetric."
        )
        yield Finding("key.not_shared", Severity.FAIL, name, text, why="one part has one outline")


def hole_mass_g(assembly: Assembly, finished: FinishedPart, hole: Hole) -> float:
    """Mass that a hole takes out of its part [g]."""
    density = assembly.catalogue.laminate(finished.part.material).density_g_cm3.typical
    volume = math.pi * hole.diameter**2 / 4 * finished.part.thickness_mm
    return volume * density * G_PER_CM3_TO_T_PER_MM3 * G_PER_T


def _label(hole: Hole) -> str:
    return f"the {hole.diameter:.2f} mm hole at ({hole.x:.2f}, {hole.y:.2f}) for {hole.requests[0].source}"


def _near_misses(finished: FinishedPart) -> Iterator[Finding]:
    for miss in finished.holes.near_misses:
        same = math.isclose(miss.distance, 0.0, abs_tol=1e-6)
        how = "share a centre and differ in size" if same else f"are {miss.distance:.2f} mm apart and overlap"
        text = f"{_label(miss.first)} and {_label(miss.second)} {how}; make them one hole or move them apart."
        yield Finding("hole.near_miss", Severity.WARN, f"part {finished.part.id}", text, miss.distance, None, "mm")


def _touching(finished: FinishedPart) -> Iterator[Finding]:
    overlapping = {id(h) for m in finished.holes.near_misses for h in (m.first, m.second)}
    count = len(finished.holes.holes)
    for n in finished.touching:
        where = f"part {finished.part.id}"
        if n >= count:
            text = "a slot meets an edge or another opening; move it, or make the plate wider there."
            yield Finding("hole.touches", Severity.FAIL, where, text)
            continue
        hole = finished.holes.holes[n]
        access = all(r.purpose == "access" for r in hole.requests)
        if id(hole) not in overlapping:
            text = f"{_label(hole)} meets an edge or another opening; move it, or make the plate wider there."
            yield Finding("hole.touches", Severity.WARN if access else Severity.FAIL, where, text)
    for hole, inside in zip(finished.holes.holes, finished.centred, strict=True):
        if not inside:
            text = (
                f"{_label(hole)} has its centre outside the part; extend the outline, or leave this "
                "place out of the stack."
            )
            access = all(r.purpose == "access" for r in hole.requests)
            severity = Severity.NOTE if access else Severity.FAIL
            yield Finding("hole.outside", severity, f"part {finished.part.id}", text)


def _edges(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    """Warn below the trade's own limit, once for equal holes."""
    where = f"part {finished.part.id}"
    narrow: dict[tuple[str, float, bool], list[Hole]] = {}
    for hole, beside in _plate_beside(finished):
        motor = any("motor" in r.purpose and "relief" not in r.purpose for r in hole.requests)
        if beside < _edge_limit(assembly, motor) - 1e-9:
            narrow.setdefault((hole.requests[0].source.partition(".")[0], round(beside, 2), motor), []).append(hole)
    for (_, beside, motor), holes in narrow.items():
        limit = _edge_limit(assembly, motor)
        more = f" and {len(holes) - 1} like it" if len(holes) > 1 else ""
        text = f"{_label(holes[0])}{more}: {beside:.2f} mm of plate beside it; {limit:.2f} mm is wanted."
        why = f"limit checks.{'motor_' if motor else ''}hole_to_edge_mm ({_PRACTICE})"
        yield Finding("hole.edge", Severity.WARN, where, text, beside, limit, "mm", why)


def _composite_rule(assembly: Assembly) -> Iterator[Finding]:
    """Note, once for the frame, what the composite rule of three diameters would ask of its bolt holes."""
    rule = assembly.catalogue.rule("edge_distance.e_over_d_loaded_hole")
    found = [
        ((beside + hole.diameter / 2) / hole.diameter, name)
        for name, finished in assembly.parts.items()
        for hole, beside in _plate_beside(finished)
        if hole.purpose not in ("access", "motor relief", "antenna")
    ]
    under = [e for e, _ in found if e < rule.value]
    if under:
        least, name = min(found)
        text = (
            f"{len(under)} of {len(found)} bolt holes stand nearer to an edge than {rule.value:g} diameters "
            f"(least {least:.2f}, in {name}); nearly every good small frame does this."
        )
        yield Finding("hole.edge", Severity.NOTE, "frame", text, least, rule.value, "diameters", rule.source)


def _plate_beside(finished: FinishedPart) -> Iterator[tuple[Hole, float]]:
    """Holes wholly in their part, each with the least width of plate beside it [mm]."""
    for n, (hole, beside) in enumerate(zip(finished.holes.holes, finished.plate_beside, strict=True)):
        if n not in finished.touching and finished.centred[n]:
            yield hole, beside


def _edge_limit(assembly: Assembly, motor: bool) -> float:
    checks = assembly.design.checks
    return checks.motor_hole_to_edge_mm if motor else checks.hole_to_edge_mm


def _idle(assembly: Assembly) -> Iterator[Finding]:
    """Holes that nothing fitted uses, by part and place, with the mass of plate they leave out."""
    for finished in assembly.parts.values():
        for instance in (i for i in assembly.instances.values() if i.part.id == finished.part.id):
            idle = idle_holes(finished.holes, instance.name)
            if not idle:
                continue
            grams = sum(hole_mass_g(assembly, finished, h) for h in idle)
            sources = sorted({h.requests[0].source.partition(".")[0] for h in idle})
            text = f"{len(idle)} holes are idle here ({', '.join(sources)}); they leave out {grams:.2f} g of plate."
            yield Finding("hole.idle", Severity.NOTE, instance.name, text, float(len(idle)), None, "")


def _faces(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    sinks = [c for h in finished.holes.holes for c in h.countersinks]
    where = f"part {finished.part.id}"
    if len({c.on_upper_face for c in sinks}) > 1:
        text = (
            "is countersunk on both faces, because its places ask for it on different ones; it must "
            "be turned over to cut."
        )
        yield Finding("part.faces", Severity.WARN, where, text, why="a cutter reaches one face at a time")
    over = {i.over for i in assembly.instances.values() if i.part.id == finished.part.id}
    if len(over) > 1 and (sinks or finished.part.marks):
        what = "countersinks" if sinks else "marks"
        text = (
            f"has {what} and is used both ways up: turned over it is not the same part; its {what} "
            "will face down there."
        )
        yield Finding("part.faces", Severity.WARN, where, text, why="a plain part turned over is the same part")


def _sheet(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    sold = [s.thickness_mm for s in assembly.catalogue.sheets()]
    t = finished.part.thickness_mm
    if not any(math.isclose(t, s) for s in sold):
        near = ", ".join(f"{s:g}" for s in sorted(sorted(sold, key=lambda s: abs(s - t))[:2]))
        text = f"is {t:g} mm thick; sheets near it are sold at {near} mm."
        yield Finding("part.sheet", Severity.WARN, f"part {finished.part.id}", text, why=_PRACTICE)
