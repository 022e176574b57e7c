"""Rotor speeds at hover, in cruise and at full throttle, and the free vibrations of a frame at their rates."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RotorError
from platewright.foundation.units import S_PER_MIN
from platewright.rotor.vertical import Factors, most_lift
from platewright.study.hover import craft_of, hover_report
from platewright.study.hover_air import in_air
from platewright.study.hover_results import HoverReport
from platewright.study.powertrain import Powertrain, frame_powertrain
from platewright.study.strength_results import FrameMode, SpeedRow

__all__ = ["speed_rows"]

_STATES = ("hover", "cruise", "full throttle")


def speed_rows(
    assembly: Assembly, modes: Sequence[FrameMode], hover: HoverReport | None = None
) -> tuple[tuple[SpeedRow, ...], str]:
    """Return the speeds with the modes near each rate, and where the speeds come from or why there are none.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    modes : sequence of FrameMode
        Of the whole frame.
    hover : HoverReport or None
        Where it is known already.
    """
    train = frame_powertrain(assembly)
    if train is None:
        return (), "no propeller, motor or battery: no rotor speeds are known"
    try:
        report = hover_report(train, in_air(assembly, train)) if hover is None else hover
        bands = _bands(train)
    except RotorError as error:
        return (), str(error)
    if not report.can_hover:
        return (), "it cannot hover, so no rotor speeds are known"
    rows = [
        _row(use.name, use.speed_rpm, bands[use.name], train.propeller.blades, modes)
        for use in report.uses
        if use.name in _STATES
    ]
    return tuple(rows), f"propeller: {report.propeller}; motor: {report.motor}"


def _bands(train: Powertrain) -> dict[str, tuple[float, float]]:
    """Return by what each speed may be multiplied: n^2 goes with 1 / CT, full throttle with CP and the winding."""
    ct, cp = (float(b) for b in train.propeller.band(0.0))
    lift = ((1 + ct) ** -0.5, (1 - ct) ** -0.5)
    craft = craft_of(train)
    usual = most_lift(craft).running.speed
    slow = most_lift(craft, Factors(power=1 + cp, resistance=1 + train.motor.band)).running.speed / usual
    fast = most_lift(craft, Factors(power=1 - cp, resistance=1 - train.motor.band)).running.speed / usual
    return {"hover": lift, "cruise": lift, "full throttle": (slow, fast)}


def _row(state: str, speed: float, band: tuple[float, float], blades: int, modes: Sequence[FrameMode]) -> SpeedRow:
    low, high = (speed * b for b in band)
    rate = speed / S_PER_MIN
    blade = rate * blades
    return SpeedRow(state, speed, (low, high), rate, blade, _near(modes, rate), _near(modes, blade))


def _near(modes: Sequence[FrameMode], rate: float) -> tuple[int, ...]:
    return tuple(
        n + 1 for n, m in enumerate(modes) if min(m.soft_hz, m.frequency_hz) <= rate <= max(m.stiff_hz, m.frequency_hz)
    )
