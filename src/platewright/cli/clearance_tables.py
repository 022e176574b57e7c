"""Tables of clearances: what stands nearest to the blades, the largest propellers, the ground, motor leads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.study.clearance_results import ClearanceReport, ClearanceRow, GroundRow, LeadRow, PropellerRoom

__all__ = ["clearance_tables"]


def clearance_tables(report: ClearanceReport) -> Iterator[Table]:
    """Yield the tables of a frame's clearances; those that would be empty are left out."""
    if report.pairs:
        yield _pairs(report.pairs)
    if report.propellers:
        yield _propellers(report.propellers)
    if report.ground and report.propellers:
        yield _ground(report.ground, report.disc_strikes_at_deg)
    if report.leads:
        yield _leads(report.leads)


def _pairs(rows: Sequence[ClearanceRow]) -> Table:
    title = "Nearest to the blades, flap and seat tolerance taken off"
    table = new_table(title, "kind", "one", "other", "mm", "wanted", "margin", "rule", left=3, last=True)
    for r in rows:
        margin = f"{r.distance_mm - r.required_mm:+.1f}"
        table.add_row(r.kind, r.one, r.other, f"{r.distance_mm:.1f}", f"{r.required_mm:g}", margin, r.rule)
    return table


def _propellers(rows: Sequence[PropellerRoom]) -> Table:
    """One row for rotors that are alike."""
    title = "Largest propeller that fits, all rotors alike"
    names = ("rotors", "kept from more by", "largest size", "next size", "fitted mm", "largest mm")
    table = new_table(title, *names, left=4)
    alike: dict[tuple[object, ...], list[PropellerRoom]] = {}
    for row in rows:
        alike.setdefault((round(row.fitted_mm, 1), round(row.largest_mm, 1), row.largest_size), []).append(row)
    for same in alike.values():
        r = same[0]
        lacks = "" if r.next_lacks_mm is None else f"{r.next_size} lacks {r.next_lacks_mm:.1f} mm"
        rotors = ", ".join(str(s.rotor) for s in same)
        by = ", ".join(dict.fromkeys(s.limited_by for s in same))
        table.add_row(rotors, by, r.largest_size, lacks, f"{r.fitted_mm:.1f}", f"{r.largest_mm:.1f}")
    return table


def _ground(rows: Sequence[GroundRow], strikes_at: float | None) -> Table:
    never = "no tilt up to 85 deg brings a disc to the ground first"
    when = never if strikes_at is None else f"a disc touches first from {strikes_at:.0f} deg on"
    names = ("touches first", "tilt deg", "lowered side deg", "rotor", "disc above ground mm")
    table = new_table(f"On flat ground ({when})", *names)
    for r in rows:
        clearance = "" if r.disc_clearance_mm is None else f"{r.disc_clearance_mm:.1f}"
        rotor = "" if r.rotor is None else str(r.rotor)
        table.add_row(_owners(r.touching), f"{r.tilt_deg:.0f}", f"{r.side_deg:.0f}", rotor, clearance)
    return table


def _leads(rows: Sequence[LeadRow]) -> Table:
    """One row for motors whose leads are alike."""
    title = "Motor leads, along the arm and up to the pads"
    table = new_table(title, "motors", "to pads of", "mm", "slack in it", "AWG", left=2)
    alike: dict[tuple[str, str], list[LeadRow]] = {}
    for row in rows:
        alike.setdefault((row.board, f"{row.length_mm:.0f}"), []).append(row)
    for (board, length), same in alike.items():
        motors = ", ".join(r.motor for r in same)
        table.add_row(motors, board, length, f"{same[0].slack_mm:.0f}", str(same[0].awg))
    return table


def _owners(names: Sequence[str]) -> str:
    """Return what touches by its owner, each once."""
    return ", ".join(dict.fromkeys(name.partition("#")[0].partition(".")[0] for name in names))
