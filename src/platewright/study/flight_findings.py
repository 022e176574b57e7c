"""Flight in a check: a few numbers of how a frame flies, and what is found about them."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.foundation.findings import Finding, Severity
from platewright.study.flight import fly_frame
from platewright.study.flight_results import FlyResult, PullOutRow, SpeedRow
from platewright.study.flight_rows import FLIES
from platewright.study.flight_summary import FlightSummary
from platewright.study.handling_findings import handling_findings

__all__ = ["check_flight", "flight_summary"]

_SPEED, _LOAD, _PULL_SPEED = 20.0, 3.0, 20.0
_MOST_EATEN = 30.0  # %
_UP_TO = 0.9  # of full speed of rotation: beyond it nothing is left for lack of thrust, not of balance
_PERCENT = 100.0


def check_flight(assembly: Assembly, *, in_time: bool = False) -> tuple[FlightSummary | None, tuple[Finding, ...]]:
    """Return how a frame flies in short, and what is found; nothing where it does not hover or cannot be flown.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    in_time : bool
        Fly steps of rate and a dive in time.
    """
    study = fly_frame(assembly, in_time=in_time)
    if study is None or study.result.forward.rows[0].state != FLIES:
        return None, ()
    return flight_summary(study.result), (*_found(study.result), *handling_findings(study.result.handling))


def flight_summary(result: FlyResult) -> FlightSummary:
    """Return how a frame flies in short.

    Parameters
    ----------
    result : FlyResult
        From `fly_frame`.
    """
    at = next((r for r in result.forward.rows if r.speed_m_s == _SPEED), SpeedRow(_SPEED, ""))
    pulls = result.stance.rows[0].pull_outs
    pull = next(
        (p for p in pulls if (p.load_g, p.speed_m_s) == (_LOAD, _PULL_SPEED)), PullOutRow(_LOAD, _PULL_SPEED, "")
    )
    return FlightSummary(
        result.forward.top_speed_m_s,
        result.forward.longest_flight_m_s,
        result.forward.farthest_flight_m_s,
        max((r.range_km for r in result.forward.rows if r.range_km is not None), default=None),
        at.tilt_deg,
        at.tilt_band_deg,
        at.power_w,
        at.rear_lost_percent,
        at.eaten_percent,
        pull.eaten_percent,
        result.wash.lost_percent,
        result.wash.lost_g,
        sum(d.front_drag_mm2 for d in result.drag),
        result.descent[0].keep_below_m_s,
        result.handling,
    )


def _found(result: FlyResult) -> Iterator[Finding]:
    flown = [r for r in result.forward.rows if (r.full_speed_percent or _PERCENT) <= _UP_TO * _PERCENT]
    worst = max(flown, key=lambda r: r.eaten_percent or 0.0, default=None)
    if worst is not None and worst.eaten_percent is not None and worst.eaten_percent > _MOST_EATEN:
        parts = {
            "a centre of gravity off the rotors' middle": worst.centre_n_mm,
            "the wakes of the rotors ahead": worst.wakes_n_mm,
            "drag": worst.drag_n_mm,
            "the discs' own flow": worst.discs_n_mm,
        }
        cause = max(parts, key=lambda k: abs(parts[k] or 0.0))
        text = (
            f"trim takes {worst.eaten_percent:.0f} % of the pitching authority at {worst.speed_m_s:.0f} m/s, most of "
            f"it for {cause}; move the battery, or rotors apart."
        )
        why = "our own, no source"
        yield Finding(
            "flight.trim", Severity.WARN, "frame", text, worst.eaten_percent, _MOST_EATEN, "%", why, at_least=False
        )
    most = result.wash.fuselages_percent[1]
    if result.wash.lost_percent > most and result.wash.rows:
        first = result.wash.rows[0]
        text = (
            f"what stands in the propellers' air takes {result.wash.lost_percent:.1f} % of the thrust, "
            f"{result.wash.lost_g:.0f} g; begin with '{first.name}', which takes {first.lost_g:.0f} g."
        )
        why = "published range of helicopter fuselages, from memory"
        yield Finding(
            "flight.download", Severity.WARN, first.name, text, result.wash.lost_percent, most, "%", why, at_least=False
        )
