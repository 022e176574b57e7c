"""What is found about how a frame handles: balance, a centre of gravity off the rotors' middle, a weak axis."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.foundation.findings import Finding, Severity
from platewright.study.handling_results import HandlingReport

__all__ = ["LEAST_RAD_S2", "handling_findings"]

LEAST_RAD_S2 = {"roll": 50.0, "pitch": 50.0, "yaw": 5.0}
"""Least angular acceleration with the thrust of hover kept; our own, no source [rad/s^2]."""
_MOST_TAKEN = 15.0  # %


def handling_findings(report: HandlingReport | None) -> Iterator[Finding]:
    """Yield what is found.

    Parameters
    ----------
    report : HandlingReport or None
        Of a frame; None of one that does not hover.
    """
    if report is None:
        return
    if not report.is_balanced:
        text = (
            "the rotors cannot hold hover and turn the frame about all axes; let neighbours turn opposite ways, or "
            "bring the centre of gravity between the rotors."
        )
        yield Finding("handling.balance", Severity.FAIL, "frame", text)
        return
    taken = max(a.centre_takes_percent for a in report.axes)
    if taken > _MOST_TAKEN:
        text = (
            f"the centre of gravity lies {report.centre_ahead_mm:+.1f} mm ahead and {report.centre_left_mm:+.1f} mm to "
            f"the left of the rotors' middle, which takes {taken:.0f} % of the control in hover; move the battery."
        )
        why = "our own, no source"
        yield Finding("handling.centre", Severity.WARN, "frame", text, taken, _MOST_TAKEN, "%", why, at_least=False)
    for axis in report.axes:
        least = LEAST_RAD_S2[axis.axis]
        if axis.hover_rad_s2 < least:
            text = (
                f"in hover the rotors turn the frame about {axis.axis} by no more than {axis.hover_rad_s2:.1f} rad/s²; "
                f"{least:g} is usual; set rotors further out, or mass further in."
                if axis.axis != "yaw"
                else f"in hover the rotors turn the frame about yaw by no more than {axis.hover_rad_s2:.1f} rad/s²; "
                f"{least:g} is usual; bring mass nearer to the middle, or take propellers of more pitch."
            )
            why = "our own, no source"
            yield Finding("handling.weak", Severity.WARN, "frame", text, axis.hover_rad_s2, least, "rad/s²", why)
