"""Tables of the check about what fits: cameras and what they see, batteries, boards and wires."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.study.battery_results import BatteryRow
from platewright.study.board_results import BoardReport, BoardRow
from platewright.study.camera_results import CameraClassRow, CameraRow, ViewRow
from platewright.study.results import CheckResult

__all__ = ["fit_tables"]


def fit_tables(result: CheckResult) -> Iterator[Table]:
    """Yield the tables of a check about what fits, those that have rows."""
    for camera in result.cameras:
        yield _camera(camera)
    if result.views:
        yield _views(result.views)
    if result.batteries:
        yield _batteries(result.batteries)
    if result.boards.boards:
        yield _boards(result.boards)
    if result.boards.runs:
        yield _runs(result.boards)


def _camera(row: CameraRow) -> Table:
    gap = f"{row.gap_mm:.2f} mm between {' and '.join(row.plates)}" if row.gap_mm is not None else "no side plates"
    free = f"{row.free_height_mm:.2f} mm" if row.free_height_mm is not None else "open"
    lens = f"{row.lens_behind_mm:.1f} mm behind {row.foremost}" if row.lens_behind_mm is not None else "free"
    title = f"{row.camera}: {gap}; height {free}; tilt {row.tilt_deg:.0f} deg; lens {lens}"
    table = new_table(
        title,
        "class",
        "fits",
        "width play mm",
        "height play mm",
        "about its axis",
        "tilts to",
        "why not",
        left=2,
        last=True,
    )
    for c in row.classes:
        steepest = "" if c.tilts_to_deg is None else f"{c.tilts_to_deg:.0f} deg"
        table.add_row(
            c.size,
            "yes" if c.fits else "no",
            _number(c.width_play_mm),
            _number(c.height_play_mm),
            _number(c.axis_play_mm),
            steepest,
            _why_not(c),
        )
    return table


def _why_not(row: CameraClassRow) -> str:
    said = []
    if row.width_play_mm is not None and row.width_play_mm < -1e-6:
        said.append(f"{-row.width_play_mm:.2f} mm too wide")
    if row.axis_play_mm is not None and row.axis_play_mm < -1e-6:
        said.append(f"{-row.axis_play_mm:.2f} mm too high at this tilt")
    if row.in_the_way:
        said.append(f"meets {', '.join(row.in_the_way)}")
    return "; ".join(said)


def _views(rows: Sequence[ViewRow]) -> Table:
    title = "Views: what cameras see of their own craft"
    table = new_table(
        title, "camera", "field of view, projection", "propellers", "body", "either", "most of it", left=3, last=True
    )
    for v in rows:
        field = f"{v.field_of_view_h_deg:.0f} x {v.field_of_view_v_deg:.0f} deg ± {v.tolerance_deg:.0f}, {v.projection}"
        most = ", ".join(f"{owner} {share:.1f} %" for owner, share in v.owners[:4])
        shares = (v.propellers_percent, v.body_percent, v.either_percent)
        table.add_row(v.camera, field, *(f"{share:.1f} %" for share in shares), most)
    return table


def _batteries(rows: Sequence[BatteryRow]) -> Table:
    numbers = ("z mm", "pad mm", "borne", "inertia roll, pitch, yaw")
    table = new_table(
        "Batteries", "battery", "on", *numbers, "straps; leads to the nearest disc, tied and untied", left=2, last=True
    )
    for b in rows:
        said = [
            f"{s.strap} {s.path_mm:.0f} mm round it, {s.spare_mm:.0f} of {s.longest_mm:g} mm spare" for s in b.straps
        ]
        said += [f"{v.lead} {v.tied_mm:.0f}, {v.untied_mm:.0f} mm from rotor {v.rotor}" for v in b.leads]
        table.add_row(
            f"{b.battery} ({b.record})",
            f"{'under' if b.underneath else 'on'} {', '.join(b.bearing) or 'no plate'}",
            f"{b.bottom_mm:.1f} to {b.top_mm:.1f}",
            f"{b.pad_mm:g}",
            f"{b.borne_percent:.0f} %",
            ", ".join(f"{share:.0f} %" for share in b.inertia_percent),
            "; ".join(said),
        )
    return table


def _boards(report: BoardReport) -> Table:
    numbers = ("z mm", "air under, over mm")
    table = new_table(
        "Boards", "board", "pattern", *numbers, "free in front of its sides, mm; pads; open air", left=2, last=True
    )
    for b in report.boards:
        turned = f", turned {b.turn_deg:g}" if b.turn_deg else ""
        under, over = (f"{v:.1f} {n}" if v is not None else "open" for v, n in _airs(b))
        said = [", ".join(f"{s.side} {'open' if s.free_mm is None else f'{s.free_mm:.0f}'}" for s in b.sides)]
        said += [_pads(b)] if b.pads else []
        said += [f"free air {b.open_air_percent:.0f} % of all directions"] if b.open_air_percent is not None else []
        table.add_row(
            f"{b.board} ({b.record})",
            f"{b.pattern}{turned}{' in grommets' if b.in_grommets else ''}",
            f"{b.bottom_mm:.1f} to {b.top_mm:.1f}",
            f"{under}\n{over}",
            "; ".join(said),
        )
    return table


def _airs(row: BoardRow) -> tuple[tuple[float | None, str], ...]:
    return (row.under_parts_mm, row.under), (row.over_parts_mm, row.over)


def _pads(row: BoardRow) -> str:
    off = dict.fromkeys(owner for pad in row.pads for owner in pad.off)
    return f"pads reached with {', '.join(off)} off" if off else "all pads reached as built"


def _runs(report: BoardReport) -> Table:
    table = new_table(
        "Wire runs, along the plates",
        "kind",
        "from",
        "to",
        "length mm",
        "plates whose edges it passes",
        left=3,
        last=True,
    )
    for r in report.runs:
        table.add_row(r.kind, r.start, r.end, f"{r.length_mm:.0f}", ", ".join(r.edges))
    return table


def _number(value: float | None) -> str:
    return "open" if value is None else f"{value:+.2f}"
