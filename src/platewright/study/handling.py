"""Handling of a frame: what its rotors can do about each axis, the battery on either side, steps of rate and a dive."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RotorError
from platewright.foundation.units import KG_PER_G, M2_PER_MM2, M_PER_MM, NM_PER_NMM
from platewright.rotor.forward import fly
from platewright.rotor.mixing import Query, allocate, is_controllable, most_of_each
from platewright.rotor.pull_out import Dive, ideal_height, pull_out
from platewright.rotor.rate_control import rate_gain, rate_steps, step_response
from platewright.rotor.simulate import Rigid
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe
from platewright.study.flight_model import FlightModel
from platewright.study.handling_model import (
    HandlingModel,
    OtherSide,
    effectiveness_of,
    handling_model,
    inertia_of,
    other_side,
)
from platewright.study.handling_results import AxisRow, DiveRow, HandlingReport, PackRow, StepRow
from platewright.study.powertrain import Powertrain

__all__ = ["AXES", "DIVE", "LIMITS", "STEPS_DEG_S", "handling_report"]

Floats = NDArray[np.float64]
AXES = ("roll", "pitch", "yaw")
STEPS_DEG_S = (400.0, 400.0, 200.0)
DIVE = Dive(20.0, math.radians(60.0), 3.0)
LIMITS = (
    "Thrust is that of still air at half charge, all motors sagging the battery; idle is a tenth of full speed "
    "(common practice, no source).",
    "Steps and dives are flown by our own plain controller, its gain 1/(2 lag) for every frame: they compare frames, "
    "they do not foretell a tuned craft. Flexing of the frame, noise, filters and delays are left out.",
    "A rotor's lag is that of a small change about hover; in the dive wakes of other rotors and forces along the discs "
    "are left out.",
    "The battery on the other side keeps its place in plan; what stands in its way there is not looked at.",
)
_HIGH = 0.9  # of full thrust
_STEP_TIMES, _STEP_PARTS, _DIVE_PARTS = 15.0, 12.0, 2.0  # duration in lags, states per lag
_SPEED = 20.0  # m/s
_PERCENT, _MS = 100.0, 1000.0
_BALANCED = 1e-3  # of the weight, and of it at the greatest lever


@dataclass(frozen=True)
class _Reach:
    """Moments by axis, the weaker direction [N m]."""

    hover: Floats
    most: Floats
    high: Floats
    centred: Floats


def handling_report(
    assembly: Assembly, power: Powertrain, flight: FlightModel, *, in_time: bool = True
) -> HandlingReport | None:
    """Return how a frame handles; None where it does not hover.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    power : Powertrain
        What turns its rotors.
    flight : FlightModel
        Discs and drag.
    in_time : bool
        Fly the steps and the dive.
    """
    try:
        model = handling_model(assembly, power, flight)
    except RotorError:
        return None
    craft, matrix = model.craft, effectiveness_of(model)
    weight = craft.mass * craft.gravity
    held = np.array([weight, 0.0, 0.0, 0.0])
    thrusts = allocate(matrix, held, model.low, model.high)
    lever = float(np.abs(craft.places).max())
    off = np.abs(matrix @ thrusts - held) / (weight * np.array([1.0, lever, lever, lever]))
    is_balanced = is_controllable(matrix) and float(off.max()) < _BALANCED
    middle = craft.places.mean(axis=0) / M_PER_MM
    report = HandlingReport(
        is_balanced,
        len(thrusts),
        -float(middle[0]),
        -float(middle[1]),
        _PERCENT * (float(thrusts.max() / thrusts.mean()) - 1),
        _MS * craft.lag,
        rate_gain(craft.lag),
        (),
        (),
        (),
        (),
        LIMITS,
    )
    if not is_balanced:
        return report
    reach = _reach(model, craft.inertia)
    report = replace(report, axes=_axes(craft.inertia, reach), packs=_packs(model, power, flight, reach))
    return replace(report, steps=_steps(model), dives=(_dive(model),)) if in_time else report


def _reach(model: HandlingModel, inertia: Floats) -> _Reach:
    """Ask for moments that turn the craft about one axis alone: along the columns of the tensor, products included."""
    craft, matrix = model.craft, effectiveness_of(model)
    aside = craft.places.mean(axis=0) * np.array([1.0, 1.0, 0.0])
    centred = effectiveness_of(model, craft.places - aside)
    hover = np.array([craft.mass * craft.gravity, 0.0, 0.0, 0.0])
    high = np.array([_HIGH * len(craft.places) * model.high, 0.0, 0.0, 0.0])
    directions = [sign * inertia[:, k] / inertia[k, k] for k in range(3) for sign in (1.0, -1.0)]
    kinds = ((matrix, hover, False), (matrix, hover, True), (matrix, high, False), (centred, hover, False))
    asked = [Query(b, d, start, free) for b, start, free in kinds for d in directions]
    found = most_of_each(asked, model.low, model.high).reshape(len(kinds), 3, 2).min(axis=-1)
    return _Reach(*np.nan_to_num(found))


def _axes(inertia: Floats, reach: _Reach) -> tuple[AxisRow, ...]:
    own = np.diag(inertia)
    turning = reach.hover / own
    return tuple(
        AxisRow(
            axis,
            float(own[k]) / KG_PER_G / M2_PER_MM2,
            float(reach.hover[k]) / NM_PER_NMM,
            float(turning[k]),
            float(reach.most[k]) / NM_PER_NMM,
            float(reach.most[k] / own[k]),
            float(reach.high[k]) / NM_PER_NMM,
            _PERCENT * float(reach.hover[k] / reach.most[k]),
            _PERCENT * float(turning[k] / turning[0]),
            _PERCENT * max(1 - float(reach.hover[k] / reach.centred[k]), 0.0),
        )
        for k, axis in enumerate(AXES)
    )


def _packs(model: HandlingModel, power: Powertrain, flight: FlightModel, reach: _Reach) -> tuple[PackRow, ...]:
    other = other_side(flight, model.items)
    if other is None:
        return ()
    inertia = inertia_of(other.items)
    carried = _carried(model, flight, other)
    moved = replace(model, craft=replace(model.craft, inertia=inertia, places=carried.discs))
    trimmed = trim([flight.airframe, carried], model.propeller, np.array([_SPEED]))
    flown = fly(
        trimmed, model.propeller, power.motor.turning, power.pack, np.array([_SPEED]), other_power=power.other_power
    )
    both = ((other.name_now, model.craft, reach), (other.name, moved.craft, _reach(moved, inertia)))
    rows = []
    for n, (name, craft, found) in enumerate(both):
        flies = bool(trimmed.applies[n, 0]) and float(flown.used[n, 0]) <= 1
        moment = float(trimmed.moment[n, 0]) / NM_PER_NMM if flies else None
        eaten = _PERCENT * float(flown.eaten[n, 0]) if flies else None
        rows.append(_pack_row(name, craft, found, moment, eaten))
    return tuple(rows)


def _carried(model: HandlingModel, flight: FlightModel, other: OtherSide) -> Airframe:
    """Return the airframe with its battery on the other side: centre of gravity and drag move with it."""
    air, total = flight.airframe, sum(i.mass for i in model.items)
    up = other.shift * M_PER_MM
    centre = up * sum(i.mass for i in model.items if i.group == "battery") / total
    drag = up * sum(d.drag_area for d in flight.drags if d.name == "battery") / air.front_drag
    discs = air.discs - np.array([0.0, 0.0, centre])
    return replace(air, discs=discs, front_height=air.front_height + drag - centre)


def _pack_row(name: str, craft: Rigid, reach: _Reach, moment: float | None, eaten: float | None) -> PackRow:
    inertia = craft.inertia
    own, inverse = np.diag(inertia), np.linalg.inv(inertia)
    x, y, z = (float(v) / KG_PER_G / M2_PER_MM2 for v in own)
    roll, pitch, yaw = (float(v) for v in reach.hover / own)
    return PackRow(
        name,
        float(craft.places[:, 2].mean()) / M_PER_MM,
        x,
        y,
        z,
        float(inertia[0, 2]) / KG_PER_G / M2_PER_MM2,
        math.degrees(math.atan2(2 * float(inertia[0, 2]), float(own[2] - own[0])) / 2),
        _PERCENT * float(inverse[2, 0] / inverse[0, 0]),
        roll,
        pitch,
        yaw,
        moment,
        eaten,
    )


def _steps(model: HandlingModel) -> tuple[StepRow, ...]:
    craft = model.craft
    # rotors that speed up push against yaw at once: the controller must look often enough for that
    push = craft.spin_inertia / (2 * model.drive.torque_factor * _hover_speed(model))
    rates, step = np.radians(np.diag(STEPS_DEG_S)), craft.lag / max(_STEP_PARTS, push / craft.lag)
    states = rate_steps(craft, model.drive, rates, _STEP_TIMES * craft.lag, step)
    rows = []
    for k, axis in enumerate(AXES):
        r = step_response(craft, model.drive, states, rates, k, step)
        rise = None if math.isnan(r.rise_time) else _MS * r.rise_time
        over, missing, cross = (_PERCENT * v for v in (r.overshoot, r.steady_error, r.cross_rate))
        rows.append(StepRow(axis, STEPS_DEG_S[k], rise, over, missing, cross, _MS * r.limited))
    return tuple(rows)


def _hover_speed(model: HandlingModel) -> float:
    craft = model.craft
    return math.sqrt(craft.mass * craft.gravity / len(craft.places) / model.drive.thrust_factor)


def _dive(model: HandlingModel) -> DiveRow:
    def law(speeds: Floats, axial: Floats, edgewise: Floats) -> tuple[Floats, Floats]:
        work = model.propeller.at(speeds, axial, edgewise)
        return work.thrust, work.torque

    craft = replace(model.craft, spin_inertia=0.0)  # a dive has no yaw, and longer steps would stir it
    found = pull_out(craft, model.drive, law, DIVE, craft.lag / _DIVE_PARTS)
    is_level = not math.isnan(found.height)
    return DiveRow(
        DIVE.speed,
        math.degrees(DIVE.angle),
        DIVE.load,
        found.height if is_level else None,
        found.duration if is_level else None,
        ideal_height(DIVE, model.craft.gravity),
        found.limited,
        found.peak_load,
        math.degrees(found.tilt),
        math.degrees(found.strayed),
        found.speed,
    )
