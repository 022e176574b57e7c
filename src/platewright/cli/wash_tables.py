"""Tables of what stands in the propellers' air."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from platewright.cli.tables import figure, new_table, plain
from platewright.study.wash_results import WashReport

__all__ = ["print_wash"]

_BULKS = 6
_SHOWN_G = 0.1  # things that take less have no line of other sections


def print_wash(wash: WashReport, console: Console) -> None:
    """Print what stands in the air of the propellers, and what other sections and bodies would cost.

    Parameters
    ----------
    wash : WashReport
        Of a frame.
    console : Console
        Where to.
    """
    table = new_table(
        "What stands in the propellers' air in hover: what to slim first",
        "thing",
        "pieces",
        "below disc mm",
        "width x depth mm",
        "air",
        "coefficient",
        "thrust %",
        "g",
        "s of hover",
    )
    for r in wash.rows:
        size = f"{r.width_mm:.1f} x {r.thickness_mm:.1f}"
        numbers = (r.air_speed, r.coefficient, r.lost_percent, r.lost_g)
        cells = (*(figure(v, 2) for v in numbers), figure(r.lost_s, 0))
        table.add_row(r.name, str(r.pieces), figure(r.depth_mm, 0), size, *cells)
    console.print(table)
    console.print(
        f"All together {wash.lost_percent:.1f} % of thrust, {wash.lost_g:.0f} g, {wash.lost_s:.0f} s of hover; wings "
        f"under tilting rotors take {wash.wings_percent[0]:.0f} to {wash.wings_percent[1]:.0f} %, helicopter fuselages "
        f"{wash.fuselages_percent[0]:.0f} to {wash.fuselages_percent[1]:.0f} % (from memory).\n"
    )
    if wash.rows:
        console.print(_sections(wash))
    if wash.bulk:
        bulk = new_table(
            "Between the discs (gaps below 0 lie inside a rim, seen from above)",
            "thing",
            "top above disc mm",
            "to the nearest rim mm",
            "beside the discs mm2",
        )
        for b in wash.bulk[:_BULKS]:
            bulk.add_row(b.name, figure(b.top_above_plane_mm), figure(b.gap_to_rim_mm), figure(b.beside_mm2, 0))
        console.print(bulk)
    if wash.options:
        title = f"What changing the body does to the air; tilt and power at {wash.options_speed_m_s:.0f} m/s"
        options = new_table(title, "change", "hover g", "drag ahead %", "drag aside %", "tilt deg", "power W")
        for o in wash.options:
            signed = (plain(v, 1, "+") for v in (o.hover_g, o.front_drag_percent, o.side_drag_percent))
            options.add_row(o.name, *signed, figure(o.tilt_deg), figure(o.power_w))
        console.print(options)


def _sections(wash: WashReport) -> Table:
    """Return what other sections of the same things would cost, in grams of thrust and, for all, seconds of hover."""
    names = [s.name for s in wash.rows[0].sections]
    table = new_table(
        "Thrust lost with another section, g (seconds of hover that it gains)", "thing", "as it is", *names
    )
    for r in wash.rows:
        if r.lost_g >= _SHOWN_G:
            cells = (f"{plain(s.lost_g, 1)} ({plain(s.saves_s, 0, '+')})" for s in r.sections)
            table.add_row(r.name, figure(r.lost_g), *cells)
    return table
