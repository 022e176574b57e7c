"""Tables of the check about antennas, position receivers, small things and what conducts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.study.signal_results import AntennaRow, CarbonRow, LooseRow, SatelliteRow, SignalReport

__all__ = ["signal_tables"]


def signal_tables(report: SignalReport) -> Iterator[Table]:
    """Yield the tables that have rows."""
    if report.antennas:
        yield _antennas(report.antennas)
    if report.satellites:
        yield _satellites(report.satellites)
    if report.loose:
        yield _loose(report.loose)
    if report.carbon:
        yield _carbon(report.carbon)


def _antennas(rows: Sequence[AntennaRow]) -> Table:
    numbers = ("radiates at z mm", "to carbon mm", "to a pack mm", "wanted", "hidden, behind, below")
    table = new_table("Antennas", "antenna", "on", *numbers, "most hidden by; nearest other plate", left=2, last=True)
    for a in rows:
        through = f", through {', '.join(a.through)}" if a.through else ""
        most = ", ".join(f"{owner} {share:.0f} %" for owner, share in a.hidden_by[:3])
        plate = f"{a.plate} {a.plate_mm:.1f} mm" if a.plate_mm is not None else "none"
        table.add_row(
            f"{a.antenna} ({a.frequency_mhz:g} MHz)",
            f"{a.on}{through}",
            f"{a.bottom_mm:.1f} to {a.top_mm:.1f}",
            _gap(a.carbon, a.carbon_mm),
            _gap(a.battery, a.battery_mm),
            f"{a.wanted_mm:.1f}",
            ", ".join(f"{v:.0f} %" for v in (a.hidden_percent, a.hidden_behind_percent, a.hidden_below_percent)),
            f"{most or 'nothing'}; {plate}",
        )
    return table


def _satellites(rows: Sequence[SatelliteRow]) -> Table:
    numbers = ("free sky", "wanted", "to power leads mm", "wanted mm")
    table = new_table("Position receivers", "receiver", *numbers, "nearest power lead", last=True)
    for s in rows:
        table.add_row(
            f"{s.receiver} ({s.record})",
            f"{s.free_sky_percent:.0f} %",
            f"{s.wanted_sky_percent:g} %",
            _number(s.power_lead_mm),
            _number(s.wanted_power_lead_mm),
            s.power_lead or "none",
        )
    return table


def _loose(rows: Sequence[LooseRow]) -> Table:
    table = new_table("Small things", "thing", "on", "x, y, z mm", "clears", "wires, with slack", left=2, last=True)
    for r in rows:
        wires = "; ".join(f"{w.kind} to {w.to} {w.length_mm:.0f} mm" for w in r.leads)
        table.add_row(
            f"{r.thing} ({r.record})",
            f"{'under' if r.face == 'bottom' else 'on'} {r.on or 'nothing'}",
            ", ".join(f"{v:.1f}" for v in r.at_mm),
            _gap(r.nearest, r.nearest_mm),
            wires or "none",
        )
    return table


def _carbon(rows: Sequence[CarbonRow]) -> Table:
    numbers = ("distance mm", "wanted", "margin")
    table = new_table("Beside carbon, which conducts", "what", "of", "plate", *numbers, "rule", left=3, last=True)
    for r in rows:
        margin = f"{r.distance_mm - r.required_mm:+.2f}"
        what = "bare pads" if r.kind == "pad" else "can"
        table.add_row(what, r.body, r.plate, f"{r.distance_mm:.2f}", f"{r.required_mm:g}", margin, r.rule)
    return table


def _gap(name: str, gap: float | None) -> str:
    return f"{name} {gap:.1f}" if gap is not None else ""


def _number(value: float | None) -> str:
    return f"{value:.0f}" if value is not None else ""
