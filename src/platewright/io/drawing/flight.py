"""Pictures of a frame in the air from its numbers: power and tilt, what spacing buys, authority that trim takes."""

from __future__ import annotations

from platewright.io.colours import PALETTE
from platewright.io.drawing.chart import Bar, Panel, Series, bars_svg, panels_svg
from platewright.study.flight_results import FlyResult, PullOutRow, SpeedRow

__all__ = ["authority_svg", "power_svg", "stance_svg"]

_COLOURS = (PALETTE["black"], PALETTE["blue"], PALETTE["sky blue"], PALETTE["vermillion"], PALETTE["orange"])
_DASHES = ("", "", "3 1.2", "", "3 1.2")
_ACROSS = "speed through still air, m/s"
_MOST = 100.0


def power_svg(result: FlyResult) -> str:
    """Return power and tilt against speed, with bands.

    Parameters
    ----------
    result : FlyResult
        Of a frame.
    """
    rows = result.forward.rows
    x = [r.speed_m_s for r in rows]
    power = Series("power", x, [r.power_w for r in rows], PALETTE["blue"], "", [r.power_band_w for r in rows])
    tilt = Series("tilt", x, [r.tilt_deg for r in rows], PALETTE["vermillion"], "", [r.tilt_band_deg for r in rows])
    panels = [Panel("power out of the battery, W", (power,)), Panel("tilt, deg nose down", (tilt,))]
    return panels_svg(f"{result.frame}: power and tilt", _ACROSS, panels)


def stance_svg(result: FlyResult) -> str:
    """Return what the wakes take from the rear rotors and what trim takes of authority, for all stances.

    Parameters
    ----------
    result : FlyResult
        Of a frame.
    """
    lost, eaten = [], []
    for row, colour, dash in zip(result.stance.rows, _COLOURS, _DASHES, strict=True):
        lost.append(Series(row.name, row.speeds_m_s, row.rear_lost_percent, colour, dash))
        eaten.append(Series(row.name, row.speeds_m_s, row.eaten_percent, colour, dash))
    report = result.stance
    stance = f"wheelbase {report.wheelbase_mm:.0f} mm, stretch {report.stretch_mm:+.0f} mm"
    panels = [
        Panel(f"thrust that wakes take from the rear rotors, %; {stance}", tuple(lost)),
        Panel("pitching authority that trim takes, %", tuple(eaten)),
    ]
    return panels_svg(f"{result.frame}: what spacing buys", _ACROSS, panels)


def authority_svg(result: FlyResult) -> str:
    """Return authority that trim takes, in level flight and in pull-outs, as bars with bands.

    Parameters
    ----------
    result : FlyResult
        Of a frame.
    """
    pulls = result.stance.rows[0].pull_outs
    speeds = sorted({p.speed_m_s for p in pulls})
    level = [r for r in result.forward.rows if r.speed_m_s in speeds]
    rows = [
        *(_bar(f"level, {r.speed_m_s:.0f} m/s", r, PALETTE["bluish green"]) for r in level),
        *(_bar(f"{p.load_g:.0f} g, {p.speed_m_s:.0f} m/s", p, PALETTE["vermillion"]) for p in pulls),
    ]
    ends = [e for b in rows for e in (b.value, b.band[1] if b.band else None) if e is not None]
    limit = next((m for m in (5.0, 10.0, 20.0, 40.0) if max(ends, default=0.0) <= m), _MOST)
    return bars_svg(
        f"{result.frame}: pitching authority that trim takes", "% of what is left at half charge", rows, limit
    )


def _bar(name: str, row: SpeedRow | PullOutRow, colour: str) -> Bar:
    return Bar(name, row.eaten_percent, row.eaten_band_percent, colour, row.state)
