"""Findings about the kit as a whole: lengths that are easily mixed up, mass against target and class."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.assembly.bill import BillLine
from platewright.foundation.errors import CatalogueError
from platewright.foundation.findings import Finding, Severity
from platewright.study.results import MassReport

__all__ = ["kit_findings"]


def kit_findings(assembly: Assembly, bill: tuple[BillLine, ...], mass: MassReport) -> Iterator[Finding]:
    """Yield everything about the kit and its mass."""
    yield from _mix_ups(assembly, bill)
    yield from _mass(assembly, mass)


def _mix_ups(assembly: Assembly, bill: tuple[BillLine, ...]) -> Iterator[Finding]:
    """Items of one record whose lengths differ by no more than the limit."""
    limit = assembly.design.checks.mix_up_mm
    lengths: dict[tuple[str, str], set[float]] = {}
    for row in bill:
        size = row.item.split()[1] if row.kind in ("screw", "standoff", "spacer") else ""
        if "x" in size:
            lengths.setdefault((row.record, row.kind), set()).add(float(size.partition("x")[2]))
    for (record, kind), found in lengths.items():
        near = [(a, b) for a, b in itertools.pairwise(sorted(found)) if b - a <= limit + 1e-9]
        for a, b in near:
            text = (
                f"{kind}s of {a:g} and {b:g} mm are in one kit and differ by {b - a:g} mm; make them "
                "one length, or bag them apart."
            )
            why = "limit checks.mix_up_mm (common practice, no source)"
            yield Finding("mix_up.length", Severity.WARN, record, text, b - a, limit, "mm", why)


def _mass(assembly: Assembly, mass: MassReport) -> Iterator[Finding]:
    frame, bare = assembly.design.frame, mass.bare
    if frame.mass_target_g is not None and bare.mass_g > frame.mass_target_g:
        heavy = ", ".join(f"{c.name} {c.mass_g:.1f} g" for c in mass.heaviest[:3])
        text = f"the bare frame weighs {bare.mass_g:.1f} g ({bare.low_g:.1f} to {bare.high_g:.1f}); "
        text += f"its target is {frame.mass_target_g:.1f} g. Heaviest: {heavy}."
        yield Finding(
            "mass.target",
            Severity.WARN,
            "frame",
            text,
            bare.mass_g,
            frame.mass_target_g,
            "g",
            "target of the design",
            at_least=False,
        )
    if not frame.frame_class:
        return
    try:
        record = assembly.catalogue.frame_class(frame.frame_class)
    except CatalogueError:
        return
    low, high = record.frame_mass_range_g
    if not low <= bare.mass_g <= high:
        text = f"the bare frame weighs {bare.mass_g:.1f} g; frames of class {record.id} weigh {low:g} to {high:g} g."
        limit = low if bare.mass_g < low else high
        yield Finding(
            "mass.class",
            Severity.NOTE,
            "frame",
            text,
            bare.mass_g,
            limit,
            "g",
            record.source,
            at_least=bare.mass_g < low,
        )
