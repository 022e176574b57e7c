"""What the check says of a frame in the air, in one row."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.study.flight_results import Band
from platewright.study.handling_results import HandlingReport

__all__ = ["FlightSummary"]


@dataclass(frozen=True)
class FlightSummary:
    """How a frame flies, in short; None where it does not fly at the speed in question.

    Parameters
    ----------
    top_speed_m_s, longest_flight_m_s, farthest_flight_m_s, range_km : float or None
        As in `ForwardReport`; the range at the speed of the farthest flight.
    tilt_20_deg, tilt_20_band_deg, power_20_w, rear_lost_20_percent, eaten_20_percent : float, Band or None
        Level flight at 20 m/s, as in `SpeedRow`.
    eaten_3_g_percent : float or None
        Authority that trim takes in a pull-out of 3 g at 20 m/s.
    download_percent, download_g : float
        Thrust that is lost to what stands in the propellers' air in hover.
    front_drag_mm2 : float
        Area times drag coefficient, air from ahead.
    sink_below_m_s : float or None
        Rate of descent that keeps clear of the vortex-ring region at no forward speed.
    handling : HandlingReport or None
        Control about the axes, without flights in time in a check.
    """

    top_speed_m_s: float | None
    longest_flight_m_s: float | None
    farthest_flight_m_s: float | None
    range_km: float | None
    tilt_20_deg: float | None
    tilt_20_band_deg: Band | None
    power_20_w: float | None
    rear_lost_20_percent: float | None
    eaten_20_percent: float | None
    eaten_3_g_percent: float | None
    download_percent: float
    download_g: float
    front_drag_mm2: float
    sink_below_m_s: float | None
    handling: HandlingReport | None
