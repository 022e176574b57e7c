"""Tables of a frame in the air."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from platewright.cli.handling_tables import control_rows, print_handling
from platewright.cli.tables import figure, new_table, plain
from platewright.cli.wash_tables import print_wash
from platewright.study.coaxial import coaxial_words
from platewright.study.flight_results import FlyResult, ForwardReport, PullOutRow, SpeedRow, StanceRow
from platewright.study.flight_summary import FlightSummary

__all__ = ["print_flight", "summary_table"]

_EVERY = 2  # of the speeds are shown


def print_flight(result: FlyResult, console: Console) -> None:
    """Print all tables.

    Parameters
    ----------
    result : FlyResult
        Of a frame.
    console : Console
        Where to.
    """
    console.print(
        f"[bold]{result.frame}[/bold]: {result.mass_g:.0f} g ready to fly, {result.rotors} rotors; hover takes "
        f"{_with_band(result.hover_power_w, result.hover_power_band_w, 0)} W and lasts "
        f"{_with_band(result.hover_endurance_min, result.hover_endurance_band_min)} min"
    )
    ct, cp = result.propeller_band_percent
    console.print(
        f"Propeller: {result.propeller}; CT +-{ct:.0f} %, CP +-{cp:.0f} % at rest. Motor: {result.motor}; resistance "
        f"+-{result.motor_band_percent:.0f} %. These bands are in those of hover, and in none below."
    )
    if result.coaxial is not None:
        words = coaxial_words(result.coaxial)
        console.print(f"{words[0].upper()}{words[1:]}.")
    console.print(_speeds(result.forward))
    console.print(_ends(result.forward))
    if result.forward.why:
        console.print(f"{result.forward.why}\n")
    console.print(_moments(result.forward))
    console.print(_pull_outs(result.stance.rows[0].pull_outs))
    console.print(_stances(result))
    console.print(_changes(result))
    console.print(f"{result.stance.belief} {result.stance.answer}\n")
    console.print(_drag(result))
    print_wash(result.wash, console)
    console.print(_descent(result))
    print_handling(result.handling, console)
    for limit in result.limits:
        console.print(f"- {limit}")


def summary_table(flight: FlightSummary) -> Table:
    """Return how a frame flies, in short.

    Parameters
    ----------
    flight : FlightSummary
        From a check.
    """
    table = new_table("In the air", "what", "value", "unit")
    top = "above 45" if flight.top_speed_m_s is None else figure(flight.top_speed_m_s, 0)
    rows = (
        ("full throttle is reached at", top, "m/s"),
        ("longest flight at", figure(flight.longest_flight_m_s, 0), "m/s"),
        ("farthest flight at", figure(flight.farthest_flight_m_s, 0), "m/s"),
        ("range then", figure(flight.range_km), "km"),
        ("tilt at 20 m/s", _with_band(flight.tilt_20_deg, flight.tilt_20_band_deg, 0), "deg"),
        ("power at 20 m/s", figure(flight.power_20_w, 0), "W"),
        ("thrust that wakes take from rear rotors at 20 m/s", figure(flight.rear_lost_20_percent), "%"),
        ("pitching authority that trim takes at 20 m/s", figure(flight.eaten_20_percent), "%"),
        ("the same in a pull-out of 3 g", figure(flight.eaten_3_g_percent), "%"),
        ("thrust lost to arms and plates in hover", figure(flight.download_percent), "%"),
        ("area times drag coefficient, ahead", figure(flight.front_drag_mm2, 0), "mm2"),
        ("sink straight down no faster than", figure(flight.sink_below_m_s), "m/s"),
    )
    for row in (*rows, *control_rows(flight.handling)):
        table.add_row(*row)
    return table


def _with_band(value: float | None, band: tuple[float, float] | None, decimals: int = 1) -> str:
    if value is None or band is None:
        return figure(value, decimals)
    low, high = (plain(b, decimals) for b in band)
    return f"{plain(value, decimals)} ({low} to {high})"


def _shown(report: ForwardReport) -> list[SpeedRow]:
    return list(report.rows[::_EVERY]) if len(report.rows) > 2 * _EVERY else list(report.rows)


def _speeds(report: ForwardReport) -> Table:
    table = new_table(
        "Level flight at half charge (in brackets: over what is not known well)",
        "m/s",
        "tilt deg",
        "power W",
        "A",
        "min",
        "km",
        "rpm of full %",
        "rear lose %",
        "authority taken %",
    )
    for r in _shown(report):
        if r.tilt_deg is None:
            table.add_row(figure(r.speed_m_s), r.state)
            continue
        table.add_row(
            figure(r.speed_m_s),
            _with_band(r.tilt_deg, r.tilt_band_deg, 0),
            _with_band(r.power_w, r.power_band_w, 0),
            figure(r.current_a),
            figure(r.endurance_min),
            figure(r.range_km),
            figure(r.full_speed_percent, 0),
            _with_band(r.rear_lost_percent, r.rear_lost_band_percent),
            _with_band(r.eaten_percent, r.eaten_band_percent),
        )
    return table


def _ends(report: ForwardReport) -> str:
    top = "is not reached" if report.top_speed_m_s is None else f"is reached at {report.top_speed_m_s:.0f} m/s"
    if report.longest_flight_m_s is None or report.farthest_flight_m_s is None:
        return f"Full throttle {top}; the frame cannot be held at any speed."
    return (
        f"Full throttle {top}; the longest flight is at {report.longest_flight_m_s:.0f} m/s, the farthest at "
        f"{report.farthest_flight_m_s:.0f} m/s.\n"
    )


def _moments(report: ForwardReport) -> Table:
    table = new_table(
        "What pitches the frame, nose up, N mm",
        "m/s",
        "all",
        "other wakes",
        "own discs",
        "drag",
        "centre of gravity",
        "front rpm",
        "rear rpm",
    )
    for r in _shown(report):
        if r.moment_n_mm is not None:
            parts = (r.moment_n_mm, r.wakes_n_mm, r.discs_n_mm, r.drag_n_mm, r.centre_n_mm)
            speeds = (figure(r.front_rpm, 0), figure(r.rear_rpm, 0))
            table.add_row(figure(r.speed_m_s), *(figure(p, 0) for p in parts), *speeds)
    return table


def _pull_outs(rows: tuple[PullOutRow, ...]) -> Table:
    table = new_table(
        "Pull-out, speed kept",
        "g",
        "m/s",
        "tilt deg",
        "power W",
        "rpm of full %",
        "rear lose %",
        "N mm",
        "authority taken %",
    )
    for r in rows:
        if r.tilt_deg is None:
            table.add_row(figure(r.load_g, 0), figure(r.speed_m_s, 0), r.state)
            continue
        table.add_row(
            figure(r.load_g, 0),
            figure(r.speed_m_s, 0),
            figure(r.tilt_deg),
            figure(r.power_w, 0),
            figure(r.full_speed_percent, 0),
            figure(r.rear_lost_percent),
            figure(r.moment_n_mm, 0),
            _with_band(r.eaten_percent, r.eaten_band_percent),
        )
    return table


def _stances(result: FlyResult) -> Table:
    stance = result.stance
    speeds = [s for s in stance.rows[0].speeds_m_s if s in {p.speed_m_s for p in stance.rows[0].pull_outs}]
    title = (
        f"What spacing buys: wheelbase {stance.wheelbase_mm:.0f} mm, fore-aft {stance.fore_aft_mm:.0f} mm, lateral "
        f"{stance.lateral_mm:.0f} mm, stretch {stance.stretch_mm:+.0f} mm"
    )
    names = [f"{what}, {s:.0f} m/s" for s in speeds for what in ("tilt deg", "rear lose %", "taken %")]
    table = new_table(title, "stance", *names)
    for row in stance.rows:
        at = [row.speeds_m_s.index(s) for s in speeds]
        cells = [figure(v[n], 2 if v is row.tilt_deg else 1) for n in at for v in _values(row)]
        table.add_row(row.name, *cells)
    return table


def _values(row: StanceRow) -> tuple[tuple[float | None, ...], ...]:
    return row.tilt_deg, row.rear_lost_percent, row.eaten_percent


def _drag(result: FlyResult) -> Table:
    table = new_table("Drag", "group", "area ahead mm2", "times coefficient", "share %", "from the side", "height mm")
    for r in result.drag:
        numbers = (r.front_area_mm2, r.front_drag_mm2, r.share_percent, r.side_drag_mm2, r.height_mm)
        table.add_row(r.name, *(figure(v, 0) for v in numbers))
    return table


def _changes(result: FlyResult) -> Table:
    """Return what moving the discs changes at the two higher speeds, in level flight and in a pull-out."""
    rows = result.stance.rows
    level, pull = ([c for c in rows[1].changes if (c.load_g > 1) is curved] for curved in (False, True))
    names = [f"{what}, {c.speed_m_s:.0f} m/s" for c in level[1:] for what in ("tilt deg", "taken")]
    names += [f"{c.load_g:.0f} g taken, {c.speed_m_s:.0f} m/s" for c in pull[1:]]
    table = new_table("What that changes (in brackets: over what is not known well); points of %", "stance", *names)
    for row in rows[1:]:
        cells = []
        for c in row.changes:
            if c.speed_m_s == level[0].speed_m_s:
                continue
            if c.load_g == 1:
                cells.append(_change(c.tilt_deg, c.tilt_band_deg, 2))
            cells.append(_change(c.eaten_points, c.eaten_band_points))
        table.add_row(row.name, *cells)
    return table


def _change(value: float | None, band: tuple[float, float] | None, decimals: int = 1) -> str:
    if value is None or band is None:
        return "-"
    low, high = (plain(b, decimals, "+") for b in band)
    return f"{plain(value, decimals, '+')} ({low} to {high})"


def _descent(result: FlyResult) -> Table:
    title = "Vortex-ring region, by rate of descent"
    table = new_table(title, "forward m/s", "from m/s", "to m/s", "keep below m/s")
    for r in result.descent:
        table.add_row(*(figure(v) for v in (r.forward_m_s, r.enters_m_s, r.leaves_m_s, r.keep_below_m_s)))
    return table
