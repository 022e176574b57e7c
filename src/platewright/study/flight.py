"""A frame in the air: forward flight, what spacing buys, drag, descent, download, in one frozen result."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.stance import stretch
from platewright.foundation.units import M2_PER_MM2, S_PER_MIN
from platewright.study.coaxial import coaxial_report
from platewright.study.flight_model import FlightModel, flight_model
from platewright.study.flight_options import body_options
from platewright.study.flight_results import DragRow, FlyResult, StanceReport
from platewright.study.flight_rows import FLIES, descent_rows, forward_report, stance_rows, state_of
from platewright.study.flight_runs import SPEEDS, Runs, flight_runs
from platewright.study.flight_wash import wash_report
from platewright.study.flight_words import BELIEF, stance_answer, tilt_answer
from platewright.study.handling import handling_report
from platewright.study.hover import hover_spread
from platewright.study.powertrain import frame_powertrain

__all__ = ["LIMITS", "FlyStudy", "fly_frame"]

Floats = NDArray[np.float64]
LIMITS = (
    "Wakes are straight and do not contract, roll up or swirl; discs behind are felt as a mean and a slope. Bands hold "
    "drag by a quarter, forces along discs up to three times, wakes from 0.7 times and steeper to 1.3 times.",
    "Where air would pass a disc upwards, in fast descent and within the vortex-ring region, and in autorotation, the "
    "methods do not apply and no number is given.",
    "With less inflow than at rest, mostly below 15 m/s, no propeller was measured: thrust is carried on straight from "
    "its tables, which shows as a dip in what the wakes take where inflow passes that at rest.",
    "Balance about roll is not asked for; wind, gusts and ground are left out.",
    "Download treats each thing as a bar in an even wake; swirl and the slow air under the hub are left out.",
    "Options of the body change what the air meets, not mass or centre of gravity.",
)
_PERCENT = 100.0


@dataclass(frozen=True)
class FlyStudy:
    """A result with what pictures of it need.

    Parameters
    ----------
    result : FlyResult
        All numbers.
    model : FlightModel
        What was flown.
    runs : Runs
        All trims.
    """

    result: FlyResult
    model: FlightModel
    runs: Runs


def fly_frame(assembly: Assembly, speeds: Floats = SPEEDS, *, in_time: bool = True) -> FlyStudy | None:
    """Fly a frame; None where motor, propeller or battery is missing.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    speeds : (s,) array
        Rising from 0 [m/s].
    in_time : bool
        Fly steps of rate and a dive in time.
    """
    power, model = frame_powertrain(assembly), flight_model(assembly)
    if power is None or model is None:
        return None
    options = body_options(model)
    runs = flight_runs(model.airframe, power, speeds, [o.airframe for o in options])
    flight = runs.sweep_flight
    endurance, hover = float(flight.endurance[0, 0]), float(flight.power[0, 0])
    minutes = endurance / S_PER_MIN
    spread = 1 + hover_spread(power) if state_of(runs.sweep, flight, 0, 0) == FLIES else math.inf
    finite = math.isfinite(spread)
    ct, cp = (_PERCENT * float(b) for b in power.propeller.band(0.0))
    result = FlyResult(
        assembly.design.frame.name,
        assembly.design.frame.revision,
        model.mass_g,
        power.rotors,
        power.propeller.source,
        power.motor.source,
        (ct, cp),
        _PERCENT * power.motor.band,
        hover,
        minutes,
        (hover / spread, hover * spread) if finite else None,
        (minutes / spread, minutes * spread) if finite else None,
        replace(forward_report(model.airframe, runs), why=tilt_answer(model.airframe, power, runs)),
        _stance(assembly, model, runs),
        _drag(model),
        descent_rows(float(runs.sweep.induced[0, 0].mean())),
        wash_report(model, runs, options, endurance),
        handling_report(assembly, power, model, in_time=in_time),
        coaxial_report(power, float(runs.sweep.speed[0, 0].mean())),
        LIMITS,
    )
    return FlyStudy(result, model, runs)


def _stance(assembly: Assembly, model: FlightModel, runs: Runs) -> StanceReport:
    axes = assembly.axes
    xs, ys = [x for x, _ in axes], [y for _, y in axes]
    return StanceReport(
        max((math.dist(p, q) for p, q in itertools.combinations(axes, 2)), default=0.0),
        max(xs) - min(xs),
        max(ys) - min(ys),
        stretch(axes),
        stance_rows(model.airframe, runs),
        BELIEF,
        stance_answer(model.airframe, runs),
    )


def _drag(model: FlightModel) -> tuple[DragRow, ...]:
    total = sum(d.drag_area for d in model.drags)
    side = {d.name: d.drag_area for d in model.side_drags}
    rows = (
        DragRow(
            d.name, d.area, _mm2(d.drag_area), _PERCENT * d.drag_area / total, _mm2(side.get(d.name, 0.0)), d.height
        )
        for d in model.drags
    )
    return tuple(sorted(rows, key=lambda r: -r.front_drag_mm2))


def _mm2(area: float) -> float:
    return area / M2_PER_MM2
