"""Findings and rows about boards and wires: gaps in stacks, room for plugs, air, edges, video beside power."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.board_access import open_air, pad_access, plug_sides
from platewright.fit.boards import BoardPlace, Clear
from platewright.fit.interior import Interior
from platewright.fit.solids import Prism
from platewright.fit.wires import Run, Together, beside
from platewright.foundation.findings import Finding, Severity
from platewright.study.board_results import BoardReport, BoardRow, PadRow, RunRow, SideRow, TogetherRow

__all__ = ["boards"]

_FIRST_RULE = "board_stack.first_gap_plate_to_lowest_board_min_mm"
_ABOVE_RULE = "board_stack.free_space_above_top_board_min_mm"
_USB_RULE = "board_stack.usb_side_clearance_min_mm"
_PLUG_RULE = "board_stack.plug_insertion_side_clearance_min_mm"
_EDGE_RULE = "board_to_carbon.lead_or_coax_over_carbon_edge"
_AIR_RULE = "board_stack.free_air_min_pct"
_REACH_RULE = "board_stack.free_air_reach_mm"
_BESIDE_RULE = "wire.video_beside_power_mm"
_ALONG_RULE = "wire.video_along_power_max_mm"
_SLIGHT = 1e-6  # lengths closer than this are one length [mm]

Prisms = Mapping[str, Sequence[Prism]]


def boards(assembly: Assembly, prisms: Prisms, interior: Interior) -> tuple[BoardReport, list[Finding]]:
    """Return boards and wires of a design, and what is found about them.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    interior : Interior
        Boards, leads and wires.
    """
    places, runs = interior.boards, interior.runs
    rows = [_row(assembly, prisms, place) for place in places]
    together = beside(runs, "video", "power", assembly.catalogue.rule(_BESIDE_RULE).value)
    found: list[Finding] = []
    for place, row in zip(places, rows, strict=True):
        found += [*_gaps(assembly, place), *_plugs(assembly, place), *_air(assembly, place, row)]
    found += [*_edges(assembly, runs), *_video(assembly, together)]
    report = BoardReport(
        tuple(rows),
        tuple(RunRow(r.kind, r.start, r.end, r.length, r.edges) for r in runs),
        tuple(TogetherRow(_name(t.one), _name(t.other), t.length, t.gap) for t in together),
    )
    return report, found


def _gaps(assembly: Assembly, place: BoardPlace) -> Iterator[Finding]:
    """Fail where parts of two boards meet; warn below the least gaps to plates."""
    for clear in (place.under_parts, place.over_parts):
        if clear.body is not None and clear.body.role == "board" and clear.gap <= _SLIGHT:
            text = f"its parts meet those of {clear.body.name}; put a higher spacer between the boards."
            why = "two things cannot be in one place"
            yield Finding("board.gap", Severity.FAIL, place.body.name, text, clear.gap, 0.0, "mm", why)
    first, above = (assembly.catalogue.rule(name) for name in (_FIRST_RULE, _ABOVE_RULE))
    if _is_plate(place.under_board) and place.under_board.gap < first.value - _SLIGHT:
        text = (
            f"stands {place.under_board.gap:.2f} mm above {_body(place.under_board)}; the lowest board wants "
            f"{first.value:g} mm: put a higher spacer under it."
        )
        why = f"{_FIRST_RULE} ({first.source})"
        yield Finding("board.gap", Severity.WARN, place.body.name, text, place.under_board.gap, first.value, "mm", why)
    over = place.over_parts
    in_stack = over.body is not None and over.body.owner == place.body.owner
    if over.gap < above.value - _SLIGHT and not in_stack:
        text = (
            f"has {over.gap:.2f} mm of air under {_body(over)}; the top board wants {above.value:g} mm: raise what is "
            "above it, or lower the stack."
        )
        why = f"{_ABOVE_RULE} ({above.source})"
        yield Finding("board.gap", Severity.WARN, place.body.name, text, over.gap, above.value, "mm", why)


def _plugs(assembly: Assembly, place: BoardPlace) -> Iterator[Finding]:
    """Give the clearest side to the plug that needs most; warn where a plug is left without a side."""
    usb, plug = (assembly.catalogue.rule(name) for name in (_USB_RULE, _PLUG_RULE))
    asked = plug_sides(place.board.record.plugs, usb.value, plug.value)
    sides = sorted(place.sides, key=lambda s: -s.clear.gap)
    for (name, needed), side in zip(asked, sides, strict=False):
        if side.clear.gap >= needed - _SLIGHT:
            continue
        text = (
            f"leaves {side.clear.gap:.1f} mm for {name} at its {side.name} side, the clearest left to it, and "
            f"{needed:g} mm are wanted; {_body(side.clear)} is in the way: turn the board, or move it."
        )
        rule = _USB_RULE if needed == usb.value else _PLUG_RULE
        why = f"{rule} ({assembly.catalogue.rule(rule).source}); sides as the record's plugs say"
        yield Finding("board.plug", Severity.WARN, place.body.name, text, side.clear.gap, needed, "mm", why)


def _air(assembly: Assembly, place: BoardPlace, row: BoardRow) -> Iterator[Finding]:
    rule = assembly.catalogue.rule(_AIR_RULE)
    if row.open_air_percent is None or row.open_air_percent >= rule.value:
        return
    heat = f"gives off {place.board.record.heat_w:g} W and " if place.board.record.heat_w else ""
    text = (
        f"{heat}has free air in {row.open_air_percent:.0f} % of all directions; {rule.value:g} % are wanted: open the "
        "plates about it, or move it to a side that the wind reaches."
    )
    why = f"{_AIR_RULE} ({rule.source})"
    yield Finding("board.air", Severity.WARN, place.body.name, text, row.open_air_percent, rule.value, "%", why)


def _edges(assembly: Assembly, runs: Sequence[Run]) -> Iterator[Finding]:
    """Note once which wires pass the edges of which plates."""
    passing = [run for run in runs if run.edges]
    if not passing:
        return
    rule = assembly.catalogue.rule(_EDGE_RULE)
    wires = "; ".join(f"{_name(run)} past {', '.join(run.edges)}" for run in passing)
    text = f"wires pass edges of carbon, which cuts and conducts: {rule.text}: {wires}."
    yield Finding("lead.edge", Severity.NOTE, assembly.design.frame.name, text, why=f"{_EDGE_RULE} ({rule.source})")


def _video(assembly: Assembly, together: Sequence[Together]) -> Iterator[Finding]:
    """Note for each video lead the power lead that it lies beside the longest."""
    within, along = (assembly.catalogue.rule(name) for name in (_BESIDE_RULE, _ALONG_RULE))
    longest = {_name(pair.one): pair for pair in reversed(together)}
    for where, pair in longest.items():
        if pair.length > along.value:
            text = (
                f"lies within {within.value:g} mm of the power lead {_name(pair.other)} for {pair.length:.0f} mm; lead "
                "it on the other side, or twist it with its ground, or the picture shows the motors."
            )
            why = f"{_BESIDE_RULE}, {_ALONG_RULE} ({along.source})"
            yield Finding("lead.video", Severity.NOTE, where, text, pair.length, along.value, "mm", why, at_least=False)


def _row(assembly: Assembly, prisms: Prisms, place: BoardPlace) -> BoardRow:
    body, record = place.body, place.board.record
    base = body.frame.origin[2]
    return BoardRow(
        body.name,
        record.id,
        record.pattern or "",
        place.board.equipment.turn_deg,
        place.in_grommets,
        base + min(s.offset for s in body.solids),
        base + max(s.offset + s.shape.height for s in body.solids),
        _finite(place.under_board.gap),
        _finite(place.under_parts.gap),
        _body(place.under_parts),
        _finite(place.over_parts.gap),
        _body(place.over_parts),
        tuple(SideRow(s.name, _finite(s.clear.gap), _body(s.clear)) for s in place.sides),
        tuple(PadRow(p.kind, p.point, p.off) for p in pad_access(assembly, place)),
        100 * open_air(place, assembly.catalogue.rule(_REACH_RULE).value) if record.needs_airflow else None,
    )


def _is_plate(clear: Clear) -> bool:
    return clear.body is not None and clear.body.role == "plate"


def _body(clear: Clear) -> str:
    return clear.body.name if clear.body is not None else ""


def _name(run: Run) -> str:
    return f"{run.start} to {run.end}"


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
