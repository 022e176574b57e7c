"""What the drawing sheets print, filled from a check: words for paper."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.bill import BillLine
from platewright.assembly.mass import mass_items
from platewright.foundation.findings import Severity
from platewright.foundation.units import G_PER_T
from platewright.io.pdf.rows import FrameFacts, HardwareRow, PartFacts, StackRow, StepRow
from platewright.study.results import CheckResult, StackUp
from platewright.study.results import StepRow as Step

__all__ = ["frame_facts", "part_facts"]


def frame_facts(assembly: Assembly, result: CheckResult, bill: Sequence[BillLine]) -> FrameFacts:
    """Return tables and title block of the assembly drawing."""
    frame = assembly.design.frame
    failing = [f for f in result.findings if f.severity is Severity.FAIL]
    notes = [f"This design fails its check ({f.code}): {f.where} {f.message}" for f in failing]
    return FrameFacts(
        frame.workshop,
        frame.name,
        frame.revision,
        result.mass.bare.mass_g,
        tuple(_step(s) for s in result.steps),
        tuple(_stack(s) for s in result.stack_ups if s.fitted),
        tuple(HardwareRow(b.item, b.quantity, b.spares, ", ".join(b.where)) for b in bill if b.kind != "part"),
        tuple(f"{t.tool} {t.size_mm:g} mm" for t in result.tools),
        tuple(notes),
    )


def part_facts(assembly: Assembly, finished: FinishedPart) -> PartFacts:
    """Return the title block of a part's sheet."""
    part, frame = finished.part, assembly.design.frame
    own = [i for i in mass_items(assembly) if i.name in assembly.instances and assembly.instances[i.name].part is part]
    item = own[0] if own else None
    half = max(item.high - item.low + item.density_high + item.density_low, 0.0) / 2 if item else 0.0
    counts: dict[str, int] = {}
    for instance in assembly.instances.values():
        if instance.part is part:
            counts[instance.place.id] = counts.get(instance.place.id, 0) + 1
    return PartFacts(
        frame.workshop,
        frame.name,
        frame.revision,
        assembly.catalogue.laminate(part.material).name,
        assembly.catalogue.thickness_tolerance_mm(part.thickness_mm),
        item.mass * G_PER_T if item else 0.0,
        half * G_PER_T,
        tuple(f"{n} × {name}" if n > 1 else name for name, n in counts.items()),
    )


def _step(step: Step) -> StepRow:
    torque = f"{step.torque_nm:.2f} N m" if step.torque_nm is not None else ""
    return StepRow(
        step.number,
        ", ".join(step.fits) or f"more screws of {step.owner}",
        "; ".join(step.screws),
        ", ".join(step.tools),
        torque,
    )


def _stack(stack: StackUp) -> StackRow:
    height = stack.rows[-1].end_mm - stack.rows[0].start_mm if stack.rows else 0.0
    worst = stack.rows[-1].worst_mm if stack.rows else 0.0
    return StackRow(
        stack.owner,
        stack.count,
        " | ".join(r.item for r in stack.rows),
        f"{height:.2f} ± {worst:.2f}",
        "; ".join(w.item for w in stack.screws),
        "; ".join(f"{w.engagement_mm:.2f} ({w.engagement_low_mm:.2f})" for w in stack.screws),
        "; ".join(f"{w.required_mm:.2f}" for w in stack.screws),
    )
