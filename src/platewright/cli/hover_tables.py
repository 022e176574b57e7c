"""Tables of hover, cruise, hard flying and full throttle, and of what parts are asked for it."""

from __future__ import annotations

from collections.abc import Iterator

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.study.hover_results import HoverReport, LimitRow, UseRow

__all__ = ["hover_tables", "source_lines"]


def hover_tables(report: HoverReport) -> Iterator[Table]:
    """Yield the tables of a frame that hovers; none for one that does not."""
    if not report.can_hover:
        return
    low, high = report.thrust_to_weight_band
    title = (
        f"Flying, {report.mass_g:.0f} g: thrust {report.thrust_to_weight:.1f} times the weight ({low:.1f} to "
        f"{high:.1f}), figure of merit {report.figure_of_merit:.2f}, speed follows the throttle in "
        f"{report.speed_up_ms:.0f} ms"
    )
    names = ("m/s", "throttle %", "rpm", "motor A", "battery A", "W", "band W", "min", "band min")
    uses = new_table(title, "", *names)
    for row in report.uses:
        uses.add_row(*_use(row))
    yield uses
    title = "What parts are asked, and what they bear"
    limits = new_table(title, "", "unit", "hover", "hard, mean", "full throttle", "for long", "for seconds", left=2)
    for limit in report.limits:
        limits.add_row(*_limit(limit))
    yield limits


def source_lines(report: HoverReport) -> Iterator[str]:
    """Yield where the numbers come from, one line each."""
    yield f"Propeller: {report.propeller}"
    yield f"Motor: {report.motor}"
    yield f"Battery: {report.battery}"
    if report.assumptions:
        yield f"Assumed: {'; '.join(report.assumptions)}"


def _use(row: UseRow) -> tuple[str, ...]:
    low, high = row.power_band_w
    minutes = ("", "")
    if row.endurance_min is not None and row.endurance_band_min is not None:
        minutes = (f"{row.endurance_min:.1f}", "{:.1f} to {:.1f}".format(*row.endurance_band_min))
    return (
        row.name,
        f"{row.speed_m_s:.0f}" if row.speed_m_s else "",
        f"{row.throttle_pct:.0f}",
        f"{row.speed_rpm:.0f}",
        f"{row.motor_current_a:.1f}",
        f"{row.battery_current_a:.1f}",
        f"{row.power_w:.0f}",
        f"{low:.0f} to {high:.0f}",
        *minutes,
    )


def _limit(row: LimitRow) -> tuple[str, ...]:
    digits = 2 if row.unit == "Mach" else 1
    values = (row.hover, row.hard, row.full, row.lasting, row.short)
    return (row.what, row.unit, *("" if v is None else f"{v:.{digits}f}" for v in values))
