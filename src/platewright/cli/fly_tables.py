"""Tables of a frame in the air."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from platewright.cli.handling_tables import control_rows, print_handling
from platewright.cli.tables import new_table
from platewright.study.coaxial import coaxial_words
from platewright.study.flight_results import FlightSummary, FlyResult, ForwardReport, PullOutRow, SpeedRow, StanceRow
from platewright.study.wash_results import WashReport

__all__ = ["print_flight", "summary_table"]

_EVERY = 2  # of the speeds are shown
_BULKS = 6
_SHOWN_G = 0.1  # things that take less have no line of other sections


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
    _print_wash(result.wash, console)
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
    top = "above 45" if flight.top_speed_m_s is None else _value(flight.top_speed_m_s, 0)
    rows = (
        ("full throttle is reached at", top, "m/s"),
        ("longest flight at", _value(flight.longest_flight_m_s, 0), "m/s"),
        ("farthest flight at", _value(flight.farthest_flight_m_s, 0), "m/s"),
        ("range then", _value(flight.range_km), "km"),
        ("tilt at 20 m/s", _with_band(flight.tilt_20_deg, flight.tilt_20_band_deg, 0), "deg"),
        ("power at 20 m/s", _value(flight.power_20_w, 0), "W"),
        ("thrust that wakes take from rear rotors at 20 m/s", _value(flight.rear_lost_20_percent), "%"),
        ("pitching authority that trim takes at 20 m/s", _value(flight.eaten_20_percent), "%"),
        ("the same in a pull-out of 3 g", _value(flight.eaten_3_g_percent), "%"),
        ("thrust lost to arms and plates in hover", _value(flight.download_percent), "%"),
        ("area times drag coefficient, ahead", _value(flight.front_drag_mm2, 0), "mm2"),
        ("sink straight down no faster than", _value(flight.sink_below_m_s), "m/s"),
    )
    for row in (*rows, *control_rows(flight.handling)):
        table.add_row(*row)
    return table


def _value(value: float | None, decimals: int = 1) -> str:
    return "-" if value is None else _plain(value, decimals)


def _plain(value: float, decimals: int) -> str:
    """Write a number, zero without a sign."""
    text = f"{value:.{decimals}f}"
    return text if float(text) else f"{0:.{decimals}f}"


def _with_band(value: float | None, band: tuple[float, float] | None, decimals: int = 1) -> str:
    if value is None or band is None:
        return _value(value, decimals)
    low, high = (_plain(b, decimals) for b in band)
    return f"{_plain(value, decimals)} ({low} to {high})"


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
            table.add_row(_value(r.speed_m_s), r.state)
            continue
        table.add_row(
            _value(r.speed_m_s),
            _with_band(r.tilt_deg, r.tilt_band_deg, 0),
            _with_band(r.power_w, r.power_band_w, 0),
            _value(r.current_a),
            _value(r.endurance_min),
            _value(r.range_km),
            _value(r.full_speed_percent, 0),
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
            speeds = (_value(r.front_rpm, 0), _value(r.rear_rpm, 0))
            table.add_row(_value(r.speed_m_s), *(_value(p, 0) for p in parts), *speeds)
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
            table.add_row(_value(r.load_g, 0), _value(r.speed_m_s, 0), r.state)
            continue
        table.add_row(
            _value(r.load_g, 0),
            _value(r.speed_m_s, 0),
            _value(r.tilt_deg),
            _value(r.power_w, 0),
            _value(r.full_speed_percent, 0),
            _value(r.rear_lost_percent),
            _value(r.moment_n_mm, 0),
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
        cells = [_value(v[n], 2 if v is row.tilt_deg else 1) for n in at for v in _values(row)]
        table.add_row(row.name, *cells)
    return table


def _values(row: StanceRow) -> tuple[tuple[float | None, ...], ...]:
    return row.tilt_deg, row.rear_lost_percent, row.eaten_percent


def _drag(result: FlyResult) -> Table:
    table = new_table("Drag", "group", "area ahead mm2", "times coefficient", "share %", "from the side", "height mm")
    for r in result.drag:
        numbers = (r.front_area_mm2, r.front_drag_mm2, r.share_percent, r.side_drag_mm2, r.height_mm)
        table.add_row(r.name, *(_value(v, 0) for v in numbers))
    return table


def _print_wash(wash: WashReport, console: Console) -> None:
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
        cells = (*(_value(v, 2) for v in numbers), _value(r.lost_s, 0))
        table.add_row(r.name, str(r.pieces), _value(r.depth_mm, 0), size, *cells)
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
            bulk.add_row(b.name, _value(b.top_above_plane_mm), _value(b.gap_to_rim_mm), _value(b.beside_mm2, 0))
        console.print(bulk)
    if wash.options:
        title = f"What changing the body does to the air; tilt and power at {wash.options_speed_m_s:.0f} m/s"
        options = new_table(title, "change", "hover g", "drag ahead %", "drag aside %", "tilt deg", "power W")
        for o in wash.options:
            signed = (f"{v + 0.0:+.1f}" for v in (o.hover_g, o.front_drag_percent, o.side_drag_percent))
            options.add_row(o.name, *signed, _value(o.tilt_deg), _value(o.power_w))
        console.print(options)


def _sections(wash: WashReport) -> Table:
    """Return what other sections of the same things would cost, in grams of thrust and, for all, seconds of hover."""
    names = [s.name for s in wash.rows[0].sections]
    table = new_table(
        "Thrust lost with another section, g (seconds of hover that it gains)", "thing", "as it is", *names
    )
    for r in wash.rows:
        if r.lost_g >= _SHOWN_G:
            cells = (f"{_plain(s.lost_g, 1)} ({_signed(s.saves_s, 0)})" for s in r.sections)
            table.add_row(r.name, _value(r.lost_g), *cells)
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
    low, high = (_signed(b, decimals) for b in band)
    return f"{_signed(value, decimals)} ({low} to {high})"


def _signed(value: float, decimals: int) -> str:
    """Write a change with its sign, and 0 without one."""
    text = f"{value:+.{decimals}f}"
    return text if float(text) else f"{0:.{decimals}f}"


def _descent(result: FlyResult) -> Table:
    title = "Vortex-ring region, by rate of descent"
    table = new_table(title, "forward m/s", "from m/s", "to m/s", "keep below m/s")
    for r in result.descent:
        table.add_row(*(_value(v) for v in (r.forward_m_s, r.enters_m_s, r.leaves_m_s, r.keep_below_m_s)))
    return table
