"""How two frames fly, side by side, from their checks."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.study.compare_results import Change
from platewright.study.flight_results import FlightSummary

__all__ = ["flight_changes"]

_ROWS = (
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


def flight_changes(first: FlightSummary | None, second: FlightSummary | None) -> Iterator[Change]:
    """Yield what is known of how either frame flies.

    Parameters
    ----------
    first, second : FlightSummary or None
        From checks with flight; None of a frame that cannot be flown.
    """
    for name, what, unit in _ROWS:
        values = [getattr(s, name) if s is not None else None for s in (first, second)]
        if any(v is not None for v in values):
            yield Change(what, unit, *values)
