"""How two frames hover, fly and handle, side by side, from their checks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from operator import attrgetter
from typing import TypeVar

from platewright.study.compare_results import Change
from platewright.study.flight_summary import FlightSummary
from platewright.study.handling_results import HandlingReport
from platewright.study.hover_results import HoverReport

__all__ = ["flight_changes", "handling_changes", "hover_changes"]

Report = TypeVar("Report")

_FLIGHT = (
    ("top_speed_m_s", "full throttle is reached at", "m/s"),
    ("longest_flight_m_s", "longest flight at", "m/s"),
    ("farthest_flight_m_s", "farthest flight at", "m/s"),
    ("range_km", "range then", "km"),
    ("tilt_20_deg", "tilt at 20 m/s", "deg"),
    ("power_20_w", "power at 20 m/s", "W"),
    ("rear_lost_20_percent", "thrust that wakes take from rear rotors at 20 m/s", "%"),
    ("eaten_20_percent", "pitching authority that trim takes at 20 m/s", "%"),
    ("eaten_3_g_percent", "pitching authority that trim takes in a pull-out of 3 g", "%"),
    ("download_percent", "thrust lost to arms and plates in hover", "%"),
    ("front_drag_mm2", "area times drag coefficient, ahead", "mm2"),
    ("sink_below_m_s", "sink straight down no faster than", "m/s"),
)
_USES = (
    ("throttle_pct", "throttle", "%"),
    ("motor_current_a", "current of a motor", "A"),
    ("power_w", "power", "W"),
    ("endurance_min", "endurance", "min"),
)
_AXES = (
    ("hover_n_mm", "moment in hover", "N mm"),
    ("hover_rad_s2", "acceleration in hover", "rad/s2"),
    ("most_rad_s2", "acceleration at most", "rad/s2"),
    ("kept_percent", "share of the most that hover leaves", "%"),
    ("centre_takes_percent", "share that the centre of gravity takes", "%"),
)
_STEPS = (
    ("rise_ms", "rise of a step", "ms"),
    ("overshoot_percent", "overshoot of a step", "%"),
    ("missing_percent", "missing after a step", "%"),
    ("limited_ms", "rotors at their limit in a step", "ms"),
)
_DIVES = (
    ("height_m", "height lost in a pull-out", "m"),
    ("duration_s", "time of a pull-out", "s"),
    ("limited_s", "rotors at their limit in a pull-out", "s"),
    ("tilt_deg", "tilt at the end of a pull-out", "deg"),
)


def hover_changes(first: HoverReport | None, second: HoverReport | None) -> Iterator[Change]:
    """Yield what is known of how either frame hovers.

    Parameters
    ----------
    first, second : HoverReport or None
        From checks; None of a frame without motor, propeller or battery.
    """
    pair = tuple(r if r is not None and r.can_hover else None for r in (first, second))
    yield from _change(pair, "thrust over weight at full throttle", "times", lambda r: r.thrust_to_weight)
    yield from _change(pair, "figure of merit in hover", "", lambda r: r.figure_of_merit)
    yield from _change(pair, "time constant of rotor speed", "ms", lambda r: r.speed_up_ms)
    names = dict.fromkeys(u.name for r in pair if r is not None for u in r.uses)
    for use in names:
        for name, what, unit in _USES:
            yield from _change(pair, f"{use}: {what}", unit, _row_value("uses", "name", use, name))


def flight_changes(first: FlightSummary | None, second: FlightSummary | None) -> Iterator[Change]:
    """Yield what is known of how either frame flies.

    Parameters
    ----------
    first, second : FlightSummary or None
        From checks with flight; None of a frame that cannot be flown.
    """
    for name, what, unit in _FLIGHT:
        yield from _change((first, second), what, unit, attrgetter(name))


def handling_changes(first: HandlingReport | None, second: HandlingReport | None) -> Iterator[Change]:
    """Yield what is known of how either frame handles.

    Parameters
    ----------
    first, second : HandlingReport or None
        From checks with flight; None of a frame that cannot be flown.
    """
    pair = (first, second)
    yield from _change(pair, "centre of gravity ahead of the rotors' middle", "mm", lambda r: r.centre_ahead_mm)
    for axis in ("roll", "pitch", "yaw"):
        for name, what, unit in _AXES:
            yield from _change(pair, f"{axis}: {what}", unit, _row_value("axes", "axis", axis, name))
        for name, what, unit in _STEPS:
            yield from _change(pair, f"{axis}: {what}", unit, _row_value("steps", "axis", axis, name))
    for name, what, unit in _DIVES:
        yield from _change(pair, what, unit, _of_dive(name))


def _change(
    pair: tuple[Report | None, ...], what: str, unit: str, of: Callable[[Report], float | None]
) -> Iterator[Change]:
    first, second = (of(r) if r is not None else None for r in pair)
    if first is not None or second is not None:
        yield Change(what, unit, first, second)


def _of_dive(name: str) -> Callable[[HandlingReport], float | None]:
    """Return a reader of one number of the first dive."""

    def read(report: HandlingReport) -> float | None:
        return getattr(report.dives[0], name) if report.dives else None

    return read


def _row_value(rows: str, key: str, wanted: str, name: str) -> Callable[[object], float | None]:
    """Return a reader of one number of the row that is wanted; None where there is no such row."""

    def read(report: object) -> float | None:
        row = next((r for r in getattr(report, rows) if getattr(r, key) == wanted), None)
        return None if row is None else getattr(row, name)

    return read
