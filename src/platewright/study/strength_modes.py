"""Free vibration of a frame beside the rates of its rotors and their blades."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import S_PER_MIN
from platewright.model.catalogue.power import Battery, Motor, Propeller
from platewright.structure.frame import FrameModes
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import FrameMode, SpeedRow

__all__ = ["equipment_record", "mode_rows", "speed_rows"]

Floats = NDArray[np.float64]

_LOADED = 0.75  # speed at full throttle by Kv times nominal voltage (common practice, no source) [-]


def mode_rows(model: FrameModel, modes: Sequence[FrameModes]) -> tuple[FrameMode, ...]:
    """Return each mode with typical joints beside those of its number with other joints.

    Parameters
    ----------
    model : FrameModel
        With typical joints.
    modes : sequence of FrameModes
        With typical, soft and stiff joints.
    """
    typical, *others = modes
    heavy = typical.shapes @ model.frame.mass
    rows = []
    for n, shape in enumerate(typical.shapes):
        # the n-th frequency rises with every stiffness: a range by number is one of bounds
        ends = [float(other.frequencies[n]) for other in others]
        name, share = _mover(model, shape, heavy[n])
        rows.append(FrameMode(float(typical.frequencies[n]), ends[0], ends[1], name, 100 * share))
    return tuple(rows)


def speed_rows(assembly: Assembly, modes: Sequence[FrameMode], ratio: float) -> tuple[SpeedRow, ...]:
    """Return hover, cruise and full throttle with the modes that each rate may meet.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    modes : sequence of FrameMode
        From `mode_rows`.
    ratio : float
        Full static thrust by weight [-].
    """
    motor, battery, propeller = (equipment_record(assembly, kind) for kind in (Motor, Battery, Propeller))
    if not (isinstance(motor, Motor) and isinstance(battery, Battery) and isinstance(propeller, Propeller)):
        return ()
    if motor.winding is None:
        return ()
    full = motor.winding.kv_rpm_per_v * battery.nominal_v * _LOADED
    hover = full / math.sqrt(ratio)
    rows = []
    for state, speed in (("hover", hover), ("cruise", (hover + full) / 2), ("full throttle", full)):
        rate = speed / S_PER_MIN
        blade = rate * propeller.blades[0]
        rows.append(SpeedRow(state, speed, rate, blade, _near(modes, rate), _near(modes, blade)))
    return tuple(rows)


def equipment_record(assembly: Assembly, kind: type) -> object | None:
    """Return the first catalogue record of a kind that a frame carries."""
    for equipment in assembly.design.equipment:
        for record in equipment.use.values():
            found = assembly.catalogue.find(record)[0]
            if isinstance(found, kind):
                return found
    return None


def _mover(model: FrameModel, shape: Floats, heavy: Floats) -> tuple[str, float]:
    """Return which places together hold most of the kinetic energy, and their share."""
    frame, shares = model.frame, dict[str, float]()
    for name, number in model.plates.items():
        own = slice(int(frame.starts[number]), int(frame.starts[number + 1]))
        place = name.partition(".")[0]
        shares[place] = shares.get(place, 0.0) + float(shape[own] @ heavy[own])
    bodies = {int(p.columns[0]): n for n, p in model.things.items() if len(p.columns) == 6}
    for start, name in bodies.items():
        shares[name] = shares.get(name, 0.0) + float(shape[start : start + 6] @ heavy[start : start + 6])
    best = max(shares, key=lambda k: shares[k])
    return best, shares[best] / sum(shares.values())


def _near(modes: Sequence[FrameMode], rate: float) -> tuple[int, ...]:
    return tuple(
        n + 1 for n, m in enumerate(modes) if min(m.soft_hz, m.frequency_hz) <= rate <= max(m.stiff_hz, m.frequency_hz)
    )
