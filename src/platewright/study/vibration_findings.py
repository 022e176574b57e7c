"""Findings about vibration: free vibrations of plates near the steady rates of rotors and blades."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.foundation.findings import Finding, Severity
from platewright.study.strength_results import FrameMode, FrameStrength

__all__ = ["NEAR", "vibration_findings"]

NEAR = 0.15
"""How far a free vibration should keep from a steady rate (common practice, no source: 10 to 20 %) [-]."""
_WHY = "common practice, no source: 10 to 20 % between a steady rate and a free vibration; joints move more than that"
_ADVICE = {
    "vibration.rate": "balance the propellers, or make it stiffer or lighter",
    "vibration.blades": "make it stiffer or lighter, or take another number of blades",
}
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
    named = set[tuple[str, str]]()
    for row in strength.speeds:
        if row.state not in _STEADY:
            continue
        for code, what, rate in (
            ("vibration.rate", "once per turn", row.rate_hz),
            ("vibration.blades", "the passing of its blades", row.blade_rate_hz),
        ):
            apart = sorted((abs(m.frequency_hz / rate - 1), n) for n, m in enumerate(modes))
            close = [modes[n] for off, n in apart if off < NEAR]
            if close and (code, close[0].shape) not in named:  # cruise is often as fast as hover
                named.add((code, close[0].shape))
                yield _finding(code, row.state, rate, what, close)


def _finding(code: str, state: str, rate: float, what: str, close: list[FrameMode]) -> Finding:
    first = close[0]
    apart = 100 * abs(first.frequency_hz / rate - 1)
    others = f" and {len(close) - 1} more" if len(close) > 1 else ""
    text = (
        f"{what}, {rate:.0f} Hz, comes near the {first.shape} at {first.frequency_hz:.0f} Hz ({first.soft_hz:.0f} to "
        f"{first.stiff_hz:.0f} with soft to stiff joints){others}; {_ADVICE[code]}."
    )
    return Finding(code, Severity.NOTE, state, text, apart, 100 * NEAR, "%", _WHY)
