"""`platewright check`: the verdict on a design as tables, or as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from platewright.app.check import check as run_check
from platewright.app.check import check_json, invalid_json
from platewright.cli.clearance_tables import clearance_tables
from platewright.cli.fit_tables import fit_tables
from platewright.cli.fly_tables import summary_table
from platewright.cli.hover_tables import hover_tables, source_lines
from platewright.cli.service import service_table
from platewright.cli.signal_tables import signal_tables
from platewright.cli.strength_tables import case_tables
from platewright.cli.tables import new_table, screen
from platewright.foundation.errors import DesignFileError
from platewright.foundation.findings import Finding, Severity
from platewright.study.results import CheckResult, MassState, ScrewRow, StackUp, StudRow

__all__ = ["check"]

_NARROW = 120  # below this many columns findings are a list, each over lines of its own
_RINGED = ("corner", "cut", "web")  # codes whose places the picture of a part's cutting shows
_SIGNS = {Severity.FAIL: ("✗ fail", "bold red"), Severity.WARN: ("! warn", "yellow"), Severity.NOTE: ("· note", "cyan")}


def check(
    frame: Path,
    /,
    *,
    only: Annotated[list[str] | None, Parameter(consume_multiple=True)] = None,
    json: bool = False,
    catalogue: Path | None = None,
    notes: bool = True,
) -> int:
    """Check a design: findings, masses, stack-ups, order of assembly, service and tools.

    Parameters
    ----------
    frame
        The design file.
    only
        Show only findings of these codes, or of codes that begin with them: screw, hole, level, mass ...;
        fit stands for all about fit; strength is solved only if it is asked for here, or nothing is.
    json
        Print JSON instead of tables; its form is docs/reference/check.schema.json.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    notes
        Show findings that are only notes.
    """
    try:
        shown = run_check(frame, catalogue, codes=only or ())
    except DesignFileError as error:
        if json:
            print(invalid_json(error.problems))
            return 1
        raise
    if json:
        print(check_json(shown))
    else:
        _print(shown, screen(), notes, frame, everything=not only)
    return 1 if shown.status == "fails" else 0


def _print(result: CheckResult, console: Console, notes: bool, path: Path, everything: bool) -> None:
    console.print(f"[bold]{result.frame}[/bold], revision {result.revision}")
    said = [f for f in result.findings if notes or f.severity is not Severity.NOTE]
    if console.width < _NARROW:
        for f in said:
            console.print(_finding(f))
    else:
        console.print(_findings(said))
    _pictures(said, console, path)
    if everything:
        console.print(_masses(result))
        console.print(_levels(result))
        console.print(_stacks(result.stack_ups))
        console.print(_steps(result))
        for table in clearance_tables(result.clearances):
            console.print(table)
        console.print(service_table(result.service))
        for table in (*fit_tables(result), *signal_tables(result.signals)):
            console.print(table)
        _hover(result, console)
        if result.flight is not None:
            console.print(summary_table(result.flight))
            console.print("More of this, and its limits: platewright fly")
        if result.strength is not None:
            for table in case_tables(result.strength):
                console.print(table)
            console.print("More of this, and its limits: platewright strength")
        tools = ", ".join(f"{t.tool} {t.size_mm:g} mm ({', '.join(t.used_for)})" for t in result.tools)
        console.print(f"Tools: {tools}")
    counts = {s: sum(1 for f in result.findings if f.severity is s) for s in Severity}
    console.print(
        f"{'fails' if counts[Severity.FAIL] else 'ok'}: {counts[Severity.FAIL]} fail, {counts[Severity.WARN]} warn, "
        f"{counts[Severity.NOTE]} note"
    )


def _pictures(findings: list[Finding], console: Console, path: Path) -> None:
    """Say how to see the places of findings about cutting."""
    ringed = [f for f in findings if f.where.startswith("part ") and f.code.partition(".")[0] in _RINGED]
    parts = sorted({f.where.removeprefix("part ") for f in ringed})
    if parts:
        command = f"platewright show {path} --view cutting:{parts[0]} --out {parts[0]}.svg"
        console.print(f"Places to look at, ringed on {', '.join(parts)}: {command}", markup=False, soft_wrap=True)


def _hover(result: CheckResult, console: Console) -> None:
    if result.hover is None:
        return
    for table in hover_tables(result.hover):
        console.print(table)
    for line in source_lines(result.hover):
        console.print(Text(line))


def _finding(f: Finding) -> Text:
    """Return one finding over several lines."""
    sign, style = _SIGNS[f.severity]
    why = f" [{f.why}]" if f.why else ""
    numbers = ", ".join(f"{n} {v:.2f} {f.unit}".rstrip() for n, v in _numbers(f) if v is not None)
    return Text.assemble(
        (sign, style), f"  {f.code}  {f.where}\n  {f.message}{why}", f"\n  {numbers}" if numbers else ""
    )


def _numbers(f: Finding) -> tuple[tuple[str, float | None], ...]:
    return ("value", f.value), ("limit", f.limit), ("margin", f.margin)


def _findings(findings: list[Finding]) -> Table:
    table = Table(title="Findings", title_justify="left", pad_edge=False, box=box.SIMPLE_HEAD)
    for name in ("", "code", "where", "what"):
        table.add_column(name, overflow="fold", ratio=1 if name == "what" else None, no_wrap=name in ("", "code"))
    for name in ("value", "limit", "margin"):
        table.add_column(name, justify="right", no_wrap=True)
    for f in findings:
        sign, style = _SIGNS[f.severity]
        what = f"{f.message} [{f.why}]" if f.why else f.message
        unit = f" {f.unit}" if f.unit else ""
        table.add_row(
            Text(sign, style),
            f.code,
            f.where,
            Text(what),
            *(f"{v:.2f}{unit}" if v is not None else "" for v in (f.value, f.limit, f.margin)),
        )
    return table


def _masses(result: CheckResult) -> Table:
    names = ("state", "mass g", "band g", "centre x, y, z mm", "inertia roll, pitch, yaw g mm²")
    table = new_table("Mass", *names)
    mass = result.mass
    for name, state in (
        ("bare frame", mass.bare),
        ("build without battery", mass.without_battery),
        ("with battery", mass.with_battery),
    ):
        table.add_row(name, *_state(state))
    if mass.target_g is not None:
        margin = mass.target_g - mass.bare.mass_g
        table.add_row("target, bare", f"{mass.target_g:.1f}", f"margin {margin:+.1f}", "", "")
    for c in mass.heaviest[:5]:
        table.add_row(f"  {c.quantity} x {c.name}", f"{c.mass_g:.1f}", f"{c.share_percent:.0f} % of bare", "", "")
    return table


def _state(state: MassState) -> tuple[str, ...]:
    x, y, z = state.centre_mm
    roll, pitch, yaw = (state.inertia_g_mm2[i][i] for i in range(3))
    return (
        f"{state.mass_g:.1f}",
        f"{state.low_g:.1f} to {state.high_g:.1f}",
        f"{x:.1f}, {y:.1f}, {z:.1f}",
        f"{roll:.3g}, {pitch:.3g}, {yaw:.3g}",
    )


def _levels(result: CheckResult) -> Table:
    title = "Levels (underside above the datum; standing plates: near face)"
    table = new_table(title, "place", "part", "mm", "worst ±", "rss ±", "set by", left=2, last=True)
    for v in result.levels:
        table.add_row(
            v.place,
            v.part,
            f"{v.bottom_mm:.2f}",
            f"{v.worst_mm:.2f}",
            f"{v.rss_mm:.2f}",
            ", ".join(v.set_by) or "datum",
        )
    return table


def _stacks(stacks: tuple[StackUp, ...]) -> Table:
    table = Table(title="Stack-ups and screws", title_justify="left", pad_edge=False, box=box.SIMPLE_HEAD)
    table.add_column("column")
    table.add_column("stack, along its axis", ratio=2, overflow="fold")
    table.add_column("screw, and what it ends in", ratio=2, overflow="fold")
    for name in ("grip mm", "thread mm", "worst", "needs", "torque N m"):
        table.add_column(name, justify="right", no_wrap=True)
    for s in stacks:
        what = " | ".join(f"{r.item} {r.end_mm - r.start_mm:.2f}" for r in s.rows)
        rows = [_screw(w) for w in s.screws] + [_stud(w) for w in s.studs]
        rows = rows or [("provision" if not s.fitted else "", "", "", "", "", "")]
        columns = ["\n".join(cells) for cells in zip(*rows, strict=True)]
        name = s.owner + (f" x {s.count}" if s.count > 1 else "") + ("" if s.axis == "z" else f" (along {s.axis})")
        table.add_row(name, Text(what), *columns)
    return table


def _screw(w: ScrewRow) -> tuple[str, ...]:
    return (
        f"{w.item} → {w.ends_in}",
        f"{w.grip_mm:.2f}",
        f"{w.engagement_mm:.2f}",
        f"{w.engagement_low_mm:.2f}",
        f"{w.required_mm:.2f}",
        f"{w.torque_nm:.2f} {w.governs}",
    )


def _stud(w: StudRow) -> tuple[str, ...]:
    return (
        f"stud {w.length_mm:g} of {w.item} → {w.ends_in}",
        f"{w.grip_mm:.2f}",
        f"{w.engagement_mm:.2f}",
        f"{w.engagement_low_mm:.2f}",
        f"{w.required_mm:.2f}",
        "by hand",
    )


def _steps(result: CheckResult) -> Table:
    table = new_table("Order of assembly", "", "joint", "comes on", "screws", "tools", "N m", left=5)
    for s in result.steps:
        torque = f"{s.torque_nm:.2f}" if s.torque_nm is not None else ""
        table.add_row(str(s.number), s.owner, ", ".join(s.fits), "\n".join(s.screws), ", ".join(s.tools), torque)
    return table
