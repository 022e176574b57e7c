"""Findings about vibration: free vibrations of plates near the steady rates of rotors and blades."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platewright.foundation.findings import Finding, Severity
from platewright.study.strength_results import FrameMode, FrameStrength

__all__ = ["NEAR", "vibration_findings"]

NEAR = 0.15
"""How far a free vibration should keep from a steady rate (common practice, no source: 10 to 20 %) [-]."""
_WHY = "common practice, no source: 10 to 20 % between a steady rate and a free vibration; joints move more than that"
_OTHER_BLADES = "make it stiffer or lighter, or take another number of blades"
_STEADY = ("hover", "cruise")  # full throttle is passed, not flown in for long


def vibration_findings(strength: FrameStrength) -> Iterator[Finding]:
    """Yield where a plate or an arm vibrates freely near a rate that is flown in for long.

    Parameters
    ----------
    strength : FrameStrength
        As solved.
    """
    carried = {row.thing for row in strength.shakes}
    modes = [m for m in strength.modes if "." not in m.moves and m.moves not in carried]
    turning, passing = set[str](), set[str]()  # shapes already named: cruise is often as fast as hover
    for row in strength.speeds:
        if row.state not in _STEADY:
            continue
        close = _near(modes, row.rate_hz)
        if close and close[0].shape not in turning:
            turning.add(close[0].shape)
            text = f"once per turn, {_words(row.rate_hz, close)}; balance the propellers, or stiffen or lighten it."
            apart = _apart(close[0], row.rate_hz)
            yield Finding("vibration.rate", Severity.NOTE, row.state, text, apart, 100 * NEAR, "%", _WHY)
        close = _near(modes, row.blade_rate_hz)
        if close and close[0].shape not in passing:
            passing.add(close[0].shape)
            text = f"the passing of its blades, {_words(row.blade_rate_hz, close)}; {_OTHER_BLADES}."
            apart = _apart(close[0], row.blade_rate_hz)
            yield Finding("vibration.blades", Severity.NOTE, row.state, text, apart, 100 * NEAR, "%", _WHY)


def _near(modes: Sequence[FrameMode], rate: float) -> list[FrameMode]:
    """Return the modes near a rate, the nearest first."""
    apart = sorted((abs(m.frequency_hz / rate - 1), n) for n, m in enumerate(modes))
    return [modes[n] for off, n in apart if off < NEAR]


def _apart(mode: FrameMode, rate: float) -> float:
    return 100 * abs(mode.frequency_hz / rate - 1)


def _words(rate: float, close: Sequence[FrameMode]) -> str:
    first = close[0]
    others = f" and {len(close) - 1} more" if len(close) > 1 else ""
    return (
        f"{rate:.0f} Hz, comes near the {first.shape} at {first.frequency_hz:.0f} Hz ({first.soft_hz:.0f} to "
        f"{first.stiff_hz:.0f} with soft to stiff joints){others}"
    )
