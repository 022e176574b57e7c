"""Picture of control: how quickly the rotors can turn a frame about each axis, in hover and at most."""

from __future__ import annotations

from platewright.io.colours import PALETTE
from platewright.io.drawing.chart import Bar, bars_svg, round_ticks
from platewright.study.handling_results import HandlingReport

__all__ = ["control_svg"]


def control_svg(frame: str, report: HandlingReport) -> str:
    """Return angular accelerations as bars.

    Parameters
    ----------
    frame : str
        Its name.
    report : HandlingReport
        Of the frame.
    """
    bars = []
    for axis in report.axes:
        bars.append(Bar(f"{axis.axis}, thrust of hover kept", axis.hover_rad_s2, None, PALETTE["bluish green"]))
        bars.append(Bar(f"{axis.axis}, at most", axis.most_rad_s2, None, PALETTE["blue"]))
    most = max((a.most_rad_s2 for a in report.axes), default=1.0)
    ticks = round_ticks(0.0, most)
    limit = max(ticks[-1] + ticks[1] - ticks[0], most) if len(ticks) > 1 else most
    return bars_svg(f"{frame}: what the rotors can do about each axis", "angular acceleration, rad/s²", bars, limit)
