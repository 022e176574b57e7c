"""Tables of how a frame handles."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from platewright.cli.tables import figure, new_table
from platewright.study.handling_results import DiveRow, HandlingReport, PackRow

__all__ = ["control_rows", "print_handling"]


def print_handling(report: HandlingReport | None, console: Console) -> None:
    """Print all tables of handling.

    Parameters
    ----------
    report : HandlingReport or None
        Of a frame.
    console : Console
        Where to.
    """
    if report is None:
        return
    if not report.is_balanced:
        console.print("Handling: the rotors cannot hold hover and turn the frame about all axes.\n")
        return
    console.print(_control(report))
    console.print(
        f"Centre of gravity {report.centre_ahead_mm:+.1f} mm ahead and {report.centre_left_mm:+.1f} mm to the "
        f"left of the rotors' middle: in hover one rotor gives {report.spread_percent:.1f} % more than the mean.\n"
    )
    if report.packs:
        console.print(_packs(report.packs))
    if report.steps:
        console.print(_steps(report))
    for dive in report.dives:
        console.print(_dive(dive))
    for limit in report.limits:
        console.print(f"- {limit}")


def control_rows(report: HandlingReport | None) -> tuple[tuple[str, str, str], ...]:
    """Return control in short: what, value and unit.

    Parameters
    ----------
    report : HandlingReport or None
        Of a frame.
    """
    axes = () if report is None else report.axes
    taken = max((a.centre_takes_percent for a in axes), default=None)
    return (
        *((f"{a.axis} in hover, at most", f"{a.hover_rad_s2:.0f}, {a.most_rad_s2:.0f}", "rad/s2") for a in axes),
        ("control that the centre of gravity takes", figure(taken, 1), "%"),
    )


def _control(report: HandlingReport) -> Table:
    table = new_table(
        "Control: what the rotors can do about each axis, the weaker way",
        "what",
        *(a.axis for a in report.axes),
        "unit",
    )
    lines = (
        ("inertia", "inertia_g_mm2", 0, "g mm2"),
        ("moment, thrust of hover kept", "hover_n_mm", 0, "N mm"),
        ("moment, nine tenths of full thrust kept", "high_n_mm", 0, "N mm"),
        ("moment at most", "most_n_mm", 0, "N mm"),
        ("acceleration, thrust of hover kept", "hover_rad_s2", 0, "rad/s2"),
        ("acceleration at most", "most_rad_s2", 0, "rad/s2"),
        ("share of the most that hover leaves", "kept_percent", 0, "%"),
        ("acceleration in hover over that of roll", "of_roll_percent", 0, "%"),
        ("share that the centre of gravity takes", "centre_takes_percent", 1, "%"),
    )
    for what, name, decimals, unit in lines:
        table.add_row(what, *(figure(getattr(a, name), decimals) for a in report.axes), unit)
    return table


def _packs(rows: tuple[PackRow, ...]) -> Table:
    names = (r.name + (", as it is" if n == 0 else "") for n, r in enumerate(rows))
    table = new_table("Battery on either side", "what", *names, "unit")
    lines = (
        ("discs above the centre of gravity", "discs_above_mm", 1, "mm"),
        ("inertia about roll", "roll_g_mm2", 0, "g mm2"),
        ("inertia about pitch", "pitch_g_mm2", 0, "g mm2"),
        ("inertia about yaw", "yaw_g_mm2", 0, "g mm2"),
        ("product of inertia, roll with yaw", "product_g_mm2", 0, "g mm2"),
        ("principal axis of roll, nose down", "axis_deg", 2, "deg"),
        ("yaw that a pure roll moment brings", "yaw_of_roll_percent", 2, "%"),
        ("roll in hover", "roll_rad_s2", 0, "rad/s2"),
        ("pitch in hover", "pitch_rad_s2", 0, "rad/s2"),
        ("yaw in hover", "yaw_rad_s2", 1, "rad/s2"),
        ("nose-up moment at 20 m/s", "moment_20_n_mm", 0, "N mm"),
        ("pitching authority that trim takes at 20 m/s", "eaten_20_percent", 1, "%"),
    )
    for what, name, decimals, unit in lines:
        table.add_row(what, *(figure(getattr(r, name), decimals) for r in rows), unit)
    return table


def _steps(report: HandlingReport) -> Table:
    title = f"Steps of rate from hover; motors lag by {report.lag_ms:.1f} ms, gain {report.gain_per_s:.0f} /s"
    table = new_table(
        title, "axis", "deg/s", "rise ms", "overshoot %", "missing %", "other axes %", "rotors at their limit ms"
    )
    for r in report.steps:
        shares = (figure(v, 1) for v in (r.overshoot_percent, r.missing_percent, r.cross_percent))
        table.add_row(r.axis, f"{r.step_deg_s:.0f}", figure(r.rise_ms, 0), *shares, f"{r.limited_ms:.0f}")
    return table


def _dive(row: DiveRow) -> Table:
    title = (
        f"Pull-out of a dive, flown in time: {row.speed_m_s:.0f} m/s, {row.angle_deg:.0f} deg down, {row.load_g:.0f} g "
        "asked for"
    )
    table = new_table(title, "what", "value", "unit")
    lines = (
        ("height lost", row.height_m, 1, "m"),
        ("height lost with that load at once and no drag", row.ideal_m, 1, "m"),
        ("time until the path is level", row.duration_s, 2, "s"),
        ("rotors at their limit", row.limited_s, 2, "s"),
        ("greatest load", row.peak_load_g, 2, "g"),
        ("tilt at the end, nose down", row.tilt_deg, 1, "deg"),
        ("discs off the path, at most", row.strayed_deg, 1, "deg"),
        ("speed at the end", row.end_speed_m_s, 1, "m/s"),
    )
    for what, value, decimals, unit in lines:
        table.add_row(what, figure(value, decimals), unit)
    return table
