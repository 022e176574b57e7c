"""The check: from an assembly to findings, masses, levels, stack-ups, steps and tools."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from platewright.assembly.affine import Draws
from platewright.assembly.assemble import Assembly
from platewright.assembly.bill import bill_of_materials, tools_needed
from platewright.assembly.mass import MassItem, MassTotal, mass_items, total_mass
from platewright.assembly.order import AssemblyOrder, Step, assembly_order
from platewright.fit.interference import prisms_of
from platewright.fit.interior import interior_of
from platewright.foundation.findings import Finding
from platewright.foundation.units import G_PER_T, NM_PER_NMM
from platewright.study.battery_findings import batteries
from platewright.study.board_findings import boards
from platewright.study.camera_findings import cameras, views
from platewright.study.clearance_findings import clearances
from platewright.study.cut_findings import cut_findings
from platewright.study.equipment_findings import equipment_findings
from platewright.study.flight_findings import check_flight
from platewright.study.hole_findings import hole_findings
from platewright.study.hover_findings import hovering
from platewright.study.kit_findings import kit_findings
from platewright.study.level_findings import level_findings
from platewright.study.results import (
    CheckResult,
    Contribution,
    Level,
    MassReport,
    MassState,
    StepRow,
    ToolRow,
)
from platewright.study.screw_findings import screw_findings
from platewright.study.service_findings import service_findings, service_rows
from platewright.study.signal_findings import signals
from platewright.study.stack_ups import stack_ups
from platewright.study.strength_findings import check_strength
from platewright.study.strength_parts import PartCache
from platewright.study.tightening import tightening_of
from platewright.study.web_findings import web_findings

__all__ = ["check_assembly", "mass_report", "with_flight", "with_strength"]

_SEED = 20_260_101  # one seed for all draws, so that a check says the same every time


def check_assembly(assembly: Assembly) -> CheckResult:
    """Check a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    order = assembly_order(assembly)
    draws = Draws(seed=_SEED)
    items = mass_items(assembly)
    mass = mass_report(assembly, items)
    prisms = prisms_of(assembly)
    interior = interior_of(assembly, prisms)
    report, clearance_findings = clearances(assembly, prisms, interior)
    camera_rows, camera_findings = cameras(assembly, prisms)
    view_rows, view_findings = views(assembly, prisms)
    battery_rows, battery_findings = batteries(assembly, prisms, interior.packs, items)
    board_report, board_findings = boards(assembly, prisms, interior)
    signal_report, signal_findings = signals(assembly, prisms, interior)
    hover, hover_findings = hovering(assembly)
    service = service_rows(assembly, order.covered, prisms=prisms)
    found: list[Finding] = [
        *screw_findings(assembly, order),
        *hole_findings(assembly),
        *level_findings(assembly, draws),
        *equipment_findings(assembly),
        *kit_findings(assembly, bill_of_materials(assembly), mass),
        *service_findings(service),
        *clearance_findings,
        *signal_findings,
        *web_findings(assembly),
        *cut_findings(assembly),
        *camera_findings,
        *view_findings,
        *battery_findings,
        *board_findings,
        *hover_findings,
    ]
    return CheckResult(
        assembly.design.frame.name,
        assembly.design.frame.revision,
        _sorted(found),
        mass,
        _levels(assembly),
        stack_ups(assembly, draws),
        _steps(assembly, order),
        tuple(ToolRow(t.name, t.size_mm, t.used_for) for t in tools_needed(assembly)),
        service,
        report,
        camera_rows,
        view_rows,
        battery_rows,
        board_report,
        signal_report,
        hover,
    )


def with_flight(result: CheckResult, assembly: Assembly, *, in_time: bool = False) -> CheckResult:
    """Add how a frame flies, and what that gives rise to, to its check.

    Parameters
    ----------
    result : CheckResult
        From `check_assembly`.
    assembly : Assembly
        What was checked.
    in_time : bool
        Fly steps of rate and a dive in time.
    """
    flight, found = check_flight(assembly, in_time=in_time)
    return replace(result, findings=_sorted((*result.findings, *found)), flight=flight)


def with_strength(result: CheckResult, assembly: Assembly, kept: PartCache | None = None) -> CheckResult:
    """Add the strength of a frame, and what it gives rise to, to its check.

    Parameters
    ----------
    result : CheckResult
        From `check_assembly`.
    assembly : Assembly
        What was checked.
    kept : mutable mapping or None
        Reduced parts, kept between calls.
    """
    strength, found = check_strength(assembly, kept, result.hover)
    return replace(result, findings=_sorted((*result.findings, *found)), strength=strength)


def mass_report(assembly: Assembly, known: Sequence[MassItem] | None = None) -> MassReport:
    """Masses of the three states of a frame and what weighs most in the bare one.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    known : sequence of MassItem, optional
        What weighs in it, where that is known.
    """
    items = mass_items(assembly) if known is None else known
    bare = [i for i in items if i.bare]
    return MassReport(
        _state(bare),
        _state([i for i in items if i.group != "battery"]),
        _state(items),
        _heaviest(assembly, bare),
        assembly.design.frame.mass_target_g,
    )


def _sorted(found: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(found, key=lambda f: (f.severity.rank, f.code, f.where)))


def _state(items: Iterable[MassItem]) -> MassState:
    total: MassTotal = total_mass(items)
    x, y, z = (float(v) for v in total.centre)
    rows = tuple(tuple(float(v) * G_PER_T for v in row) for row in total.inertia)
    return MassState(total.mass * G_PER_T, total.low * G_PER_T, total.high * G_PER_T, (x, y, z), rows)  # type: ignore[arg-type]


def _heaviest(assembly: Assembly, bare: Sequence[MassItem]) -> tuple[Contribution, ...]:
    """Sum by part, and hardware by what it is, heaviest first."""
    keys = {b.name: b.key for b in assembly.bodies}
    sums: dict[str, tuple[int, float]] = {}
    for item in bare:
        count, mass = sums.get(keys[item.name], (0, 0.0))
        sums[keys[item.name]] = count + 1, mass + item.mass * G_PER_T
    total = sum(m for _, m in sums.values())
    rows = [Contribution(name, n, m, 100 * m / total) for name, (n, m) in sums.items()]
    return tuple(sorted(rows, key=lambda c: (-c.mass_g, c.name)))


def _levels(assembly: Assembly) -> tuple[Level, ...]:
    made = []
    for name in assembly.levels.order:
        instance = assembly.instances[name]
        level = assembly.levels.level[name]
        t = instance.to_plane
        height = level.at(t.tx, t.ty) if instance.normal == "z" else level.at(0.0, 0.0)
        owners = tuple(dict.fromkeys(n.partition(".")[0] for n in level.lines))
        made.append(Level(name, instance.part.id, height.nominal, height.worst, height.rss, owners))
    return tuple(made)


def _steps(assembly: Assembly, order: AssemblyOrder) -> tuple[StepRow, ...]:
    return tuple(_step(assembly, step) for step in order.steps)


def _step(assembly: Assembly, step: Step) -> StepRow:
    counts: dict[str, int] = {}
    tools: dict[str, None] = {}
    torques = []
    for screw in step.screws:
        name = f"{screw.word.size}x{screw.length:g} {screw.word.style} {screw.word.grade}"
        counts[name] = counts.get(name, 0) + 1
        tools[f"hex key {screw.screw.drive_size_mm:g}"] = None
        torques.append(tightening_of(screw, assembly).torque * NM_PER_NMM)
    for stud in step.studs:
        counts[stud.word.text] = counts.get(stud.word.text, 0) + 1
    for fit in (*step.screws, *step.studs):
        ends = [] if fit.end_index is None else [fit.end_index]
        for k in (*fit.path, *ends):
            flats = getattr(fit.line.items[k].record, "across_flats_max_mm", None)
            if flats is not None:
                tools[f"spanner {flats:g}"] = None
    return StepRow(
        step.number,
        step.owner or step.equipment[0],
        (*step.places, *step.equipment),
        tuple(f"{n} x {name}" for name, n in counts.items()),
        tuple(tools),
        min(torques) if torques else None,
    )
