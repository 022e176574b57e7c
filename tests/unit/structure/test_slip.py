"""Slip of clamped joints."""

from __future__ import annotations

import math

from platewright.structure.slip import slip_safety


def test_tension_takes_clamping_force_away_and_pressure_gives_none() -> None:
    assert slip_safety(1000, 0.2, 100) == 2.0
    assert slip_safety(1000, 0.2, 100, 500) == 1.0
    assert slip_safety(1000, 0.2, 100, -500) == 2.0
    assert slip_safety(1000, 0.2, 100, 2000) == 0.0
    assert math.isinf(slip_safety(1000, 0.2, 0.0))
