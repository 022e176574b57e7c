"""A frame in the air: forward flight, what spacing buys, drag, descent, download, in one frozen result."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.stance import stretch
from platewright.foundation.units import M2_PER_MM2, S_PER_MIN
from platewright.rotor.download import FUSELAGE_BAND, WING_BAND
from platewright.study.flight_bodies import AirBody
from platewright.study.flight_download import Washed, bulks
from platewright.study.flight_model import FlightModel, flight_model
from platewright.study.flight_options import BodyOption, body_options
from platewright.study.flight_results import DragRow, FlyResult, StanceReport
from platewright.study.flight_rows import FLIES, descent_rows, forward_report, stance_rows, state_of
from platewright.study.flight_runs import SPEEDS, Runs, flight_runs
from platewright.study.flight_words import BELIEF, stance_answer
from platewright.study.handling import handling_report
from platewright.study.powertrain import frame_powertrain
from platewright.study.wash_results import BulkRow, DownloadRow, OptionRow, WashReport

__all__ = ["LIMITS", "FlyStudy", "fly_frame"]

Floats = NDArray[np.float64]
LIMITS = (
    "Wakes are straight and do not contract, roll up or swirl; discs behind are felt as a mean and a slope. Bands hold "
    "drag by a quarter, forces along discs up to three times, wakes from 0.7 times and steeper to 1.3 times.",
    "Where air would pass a disc upwards, in fast descent and within the vortex-ring region, and in autorotation, the "
    "methods do not apply and no number is given.",
    "Balance about roll is not asked for; wind, gusts and ground are left out.",
    "Download treats each thing as a bar in an even wake; swirl and the slow air under the hub are left out.",
    "Options of the body change what the air meets, not mass or centre of gravity.",
)
_CLOSED = 0.01  # of all thrust: pieces below are not listed alone [%]
_OPTION_SPEED = 1  # number of the key speed
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
    endurance = float(flight.endurance[0, 0])
    result = FlyResult(
        assembly.design.frame.name,
        assembly.design.frame.revision,
        model.mass_g,
        power.rotors,
        power.propeller.source,
        power.motor.source,
        float(flight.power[0, 0]),
        endurance / S_PER_MIN,
        forward_report(model.airframe, runs),
        _stance(assembly, model, runs),
        _drag(model),
        descent_rows(float(runs.sweep.induced[0, 0].mean())),
        _wash(model, runs, options, endurance),
        handling_report(assembly, power, model, in_time=in_time),
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


def _wash(model: FlightModel, runs: Runs, options: Sequence[BodyOption], endurance: float) -> WashReport:
    groups: dict[str, list[Washed]] = {}
    for washed in model.washed:
        groups.setdefault(_place(washed.body), []).append(washed)
    rows = [_download(name, pieces, model.mass_g, endurance) for name, pieces in groups.items()]
    lost = _PERCENT * sum(w.lost for w in model.washed)
    return WashReport(
        tuple(sorted((r for r in rows if r.lost_percent >= _CLOSED), key=lambda r: -r.lost_percent)),
        lost,
        lost / _PERCENT * model.mass_g,
        _seconds(lost / _PERCENT, endurance),
        (_PERCENT * WING_BAND[0], _PERCENT * WING_BAND[1]),
        (_PERCENT * FUSELAGE_BAND[0], _PERCENT * FUSELAGE_BAND[1]),
        tuple(BulkRow(b.body.name, b.above, b.gap, b.beside) for b in bulks(model.bodies, model.discs)),
        tuple(_option(model, o, runs, n) for n, o in enumerate(options)),
        float(runs.key_speeds[_OPTION_SPEED]),
    )


def _download(name: str, pieces: Sequence[Washed], mass_g: float, endurance: float) -> DownloadRow:
    area = sum(w.area for w in pieces)

    def mean(values: Sequence[float]) -> float:
        return sum(v * w.area for v, w in zip(values, pieces, strict=True)) / area

    lost, eased = sum(w.lost for w in pieces), sum(w.lost_chamfered for w in pieces)
    width = mean([w.width for w in pieces])
    return DownloadRow(
        name,
        pieces[0].body.kind,
        len(pieces),
        mean([w.depth for w in pieces]),
        area,
        width,
        mean([w.body.thickness for w in pieces]),
        mean([w.speed for w in pieces]),
        mean([w.coefficient for w in pieces]),
        _PERCENT * lost,
        lost * mass_g,
        _seconds(lost, endurance),
        (lost - eased) * mass_g,
        lost * mass_g * min(1.0 / width, 1.0),
    )


def _option(model: FlightModel, option: BodyOption, runs: Runs, n: int) -> OptionRow:
    case, speed = runs.in_keys(-1, 0, 1.0, n), _OPTION_SPEED
    flies = state_of(runs.keys, runs.keys_flight, case, speed) == FLIES
    more = sum(w.lost for w in model.washed) - sum(w.lost for w in option.model.washed)
    front, side = (
        _PERCENT * (sum(d.drag_area for d in new) / sum(d.drag_area for d in old) - 1)
        for new, old in ((option.model.drags, model.drags), (option.model.side_drags, model.side_drags))
    )
    return OptionRow(
        option.name,
        more * model.mass_g,
        front,
        side,
        math.degrees(float(runs.keys.tilt[case, speed])) if flies else None,
        float(runs.keys_flight.power[case, speed]) if flies else None,
    )


def _seconds(lost: float, endurance: float) -> float:
    """Return what a share of thrust costs: power goes with thrust to 3/2."""
    return float(endurance * ((1 + lost) ** 1.5 - 1))


def _place(body: AirBody) -> str:
    """Name all instances of a place or piece of equipment by it."""
    return body.owner or body.name


def _mm2(area: float) -> float:
    return area / M2_PER_MM2
