"""Hover in a check: the report, and what is found of lift, currents, heat and tip speed."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RotorError
from platewright.foundation.findings import Finding, Severity
from platewright.foundation.units import M_PER_INCH
from platewright.rotor.vertical import lift
from platewright.study.hover import craft_of, hover_report
from platewright.study.hover_air import in_air
from platewright.study.hover_results import HoverReport, LimitRow
from platewright.study.powertrain import Powertrain, frame_powertrain

__all__ = ["hovering"]

_LEAST_RATIO = 2.0
_PRACTICE = "common practice, no source"
_MOST_MACH = 0.7
_CLASS_SPREAD = 1.2  # currents of motor classes are round numbers, +-20 %
_OTHER_SIZE = 0.03
_LEAST_SECONDS = 5.0


def hovering(assembly: Assembly) -> tuple[HoverReport | None, tuple[Finding, ...]]:
    """Return what a frame takes to fly and what is found about it; nothing without motor, propeller or battery.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    """
    train = frame_powertrain(assembly)
    if train is None:
        return None, ()
    try:
        lift(craft_of(train))  # what cannot hover is not flown
        report = hover_report(train, in_air(assembly, train))
    except RotorError as error:
        text = f"{error}"
        return _grounded(train), (Finding("hover.lift", Severity.FAIL, "frame", text, why="momentum and motor theory"),)
    return report, tuple(_findings(train, report))


def _grounded(train: Powertrain) -> HoverReport:
    return HoverReport(
        False,
        1000 * train.mass,
        train.rotors,
        0.0,
        (0.0, 0.0),
        0.0,
        (),
        (),
        None,
        0.0,
        train.propeller.source,
        train.motor.source,
        train.battery_record.source,
        (),
    )


def _findings(train: Powertrain, report: HoverReport) -> Iterator[Finding]:
    if report.thrust_to_weight < _LEAST_RATIO:
        text = (
            f"thrust is {report.thrust_to_weight:.1f} times the weight ({report.thrust_to_weight_band[0]:.1f} to "
            f"{report.thrust_to_weight_band[1]:.1f}), too little to steer and to stop a fall; take more cells, a "
            "larger propeller or less mass."
        )
        yield Finding(
            "hover.ratio", Severity.WARN, "frame", text, report.thrust_to_weight, _LEAST_RATIO, "times", _PRACTICE
        )
    rows = {row.what: row for row in report.limits}
    yield from _battery(train, rows["battery"])
    if "plug" in rows and train.plug is not None:
        yield from _lasting("hover.battery", train.plug.name, rows["plug"], "a larger plug")
    if "controller" in rows and train.controller is not None:
        yield from _board(train, rows["controller"])
    yield from _motor(train, report, rows["motor"], rows["motor's loss"])
    yield from _speed(rows["blade tips"])
    yield from _size(train)


def _battery(train: Powertrain, row: LimitRow) -> Iterator[Finding]:
    where, (low, high) = train.battery_record.id, train.limits
    if row.hover > high:
        text = (
            f"hover alone asks {row.hover:.0f} A of a battery that bears {low:.0f} to {high:.0f} A for long; take a "
            "larger one, or one of a higher C-rating."
        )
        yield Finding("hover.battery", Severity.FAIL, where, text, row.hover, high, "A", _PRACTICE, at_least=False)
    elif row.hard > high:
        text = (
            f"hard flying asks {row.hard:.0f} A on average of a battery that bears {low:.0f} to {high:.0f} A for long, "
            "so it gets hot and wears out; take a larger one."
        )
        yield Finding("hover.battery", Severity.WARN, where, text, row.hard, high, "A", _PRACTICE, at_least=False)
    elif row.full > high:
        text = (
            f"full throttle asks {row.full:.0f} A of a battery that bears {low:.0f} to {high:.0f} A for long: for "
            "seconds only, and its voltage sags."
        )
        yield Finding("hover.battery", Severity.NOTE, where, text, row.full, high, "A", _PRACTICE, at_least=False)


def _lasting(code: str, where: str, row: LimitRow, what: str) -> Iterator[Finding]:
    if row.lasting is not None and row.hard > row.lasting:
        severity = Severity.FAIL if row.hover > row.lasting else Severity.WARN
        asked, way = (row.hover, "hover") if row.hover > row.lasting else (row.hard, "hard flying")
        text = f"{way} asks {asked:.0f} A of what bears {row.lasting:.0f} A for long; take {what}."
        yield Finding(code, severity, where, text, asked, row.lasting, "A", _PRACTICE, at_least=False)


def _board(train: Powertrain, row: LimitRow) -> Iterator[Finding]:
    board = train.controller
    if board is None:
        return
    yield from _lasting("hover.board", board.id, row, "one for more current")
    if row.short is not None and row.full > row.short:
        text = (
            f"full throttle asks {row.full:.0f} A for each motor of a controller that bears {row.short:.0f} A for "
            "seconds; take one for more current, a lower Kv or a smaller propeller, or limit the throttle."
        )
        yield Finding("hover.board", Severity.WARN, board.id, text, row.full, row.short, "A", _PRACTICE, at_least=False)
    elif row.lasting is not None and row.full > row.lasting >= row.hard:
        text = f"full throttle asks {row.full:.0f} A for each motor; the controller bears {row.lasting:.0f} A for long."
        yield Finding(
            "hover.board", Severity.NOTE, board.id, text, row.full, row.lasting, "A", _PRACTICE, at_least=False
        )
    cells, around = train.pack.cells, board.cells_series_range
    if around is not None and not around[0] <= cells <= around[1]:
        text = f"takes {around[0]} to {around[1]} cells in series and the battery has {cells}; take another of the two."
        limit = float(around[1] if cells > around[1] else around[0])
        yield Finding(
            "hover.board", Severity.FAIL, board.id, text, cells, limit, "cells", _PRACTICE, at_least=cells < around[0]
        )


def _motor(train: Powertrain, report: HoverReport, row: LimitRow, loss: LimitRow) -> Iterator[Finding]:
    where, most = train.motor_record.id, train.motor_record.current_max_a
    if row.hover > most:
        text = (
            f"cannot turn this propeller: hover asks {row.hover:.0f} A of a motor that bears {most:.0f} A; take a "
            "larger motor or a smaller propeller."
        )
        yield Finding("hover.motor", Severity.FAIL, where, text, row.hover, most, "A", _PRACTICE, at_least=False)
    elif row.full > most:
        severity = Severity.WARN if row.full > _CLASS_SPREAD * most else Severity.NOTE
        text = (
            f"full throttle asks {row.full:.0f} A of a motor whose class bears {most:.0f} A, +-20 %; take a lower Kv "
            "or less pitch, or limit the throttle."
        )
        yield Finding("hover.motor", severity, where, text, row.full, most, "A", _PRACTICE, at_least=False)
    if loss.lasting is not None and loss.hard > _CLASS_SPREAD * loss.lasting:
        text = (
            f"hard flying loses {loss.hard:.0f} W in each motor, which sheds {loss.lasting:.0f} W at the limit of "
            "its winding (from memory, +-50 %); take a larger motor, a lower Kv or less pitch."
        )
        yield Finding(
            "hover.motor", Severity.WARN, where, text, loss.hard, loss.lasting, "W", "from memory", at_least=False
        )
    if report.full_throttle_s is not None and report.full_throttle_s < _LEAST_SECONDS:
        text = (
            f"full throttle brings a cold winding to its limit in {report.full_throttle_s:.0f} s (from memory, "
            "+-50 %); take a larger motor, a lower Kv or less pitch."
        )
        value, limit = report.full_throttle_s, _LEAST_SECONDS
        yield Finding("hover.motor", Severity.NOTE, where, text, value, limit, "s", "from memory")


def _speed(row: LimitRow) -> Iterator[Finding]:
    if row.full > _MOST_MACH:
        text = (
            f"blade tips reach Mach {row.full:.2f} at full throttle, where they are loud and lose thrust, and no "
            "measured row goes; take a lower Kv, fewer cells or a smaller propeller."
        )
        yield Finding(
            "hover.speed", Severity.WARN, "frame", text, row.full, _MOST_MACH, "Mach", _PRACTICE, at_least=False
        )


def _size(train: Powertrain) -> Iterator[Finding]:
    own, used = train.propeller_record.diameter_in, train.propeller.diameter / M_PER_INCH
    if abs(used / own - 1) > _OTHER_SIZE:
        text = (
            f"[drive] names a propeller of {used:.1f} inch and the frame carries one of {own:g} inch; name one of that "
            "size."
        )
        yield Finding(
            "hover.propeller",
            Severity.WARN,
            train.propeller_record.id,
            text,
            used,
            own,
            "inch",
            "one disc has one size",
            at_least=used < own,
        )
