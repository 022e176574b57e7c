"""What stands in the propellers' air, as rows: ranking, other sections, bulk between the discs, options of the body."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platewright.rotor.download import FUSELAGE_BAND, WING_BAND
from platewright.study.flight_bodies import AirBody
from platewright.study.flight_download import Washed, bulks
from platewright.study.flight_model import FlightModel
from platewright.study.flight_options import BodyOption
from platewright.study.flight_rows import FLIES, state_of
from platewright.study.flight_runs import Runs
from platewright.study.wash_results import BulkRow, DownloadRow, OptionRow, SectionRow, WashReport

__all__ = ["SECTIONS", "wash_report"]

SECTIONS = (
    ("0.5 mm chamfer", 0.5, 0.0, 0.0),
    ("1 mm chamfer", 1.0, 0.0, 0.0),
    ("1.5 mm chamfer", 1.5, 0.0, 0.0),
    ("round edges", math.inf, 0.0, 0.0),
    ("1 mm narrower", 0.0, -1.0, 0.0),
    ("2 mm narrower", 0.0, -2.0, 0.0),
    ("1 mm thinner", 0.0, 0.0, -1.0),
    ("1 mm thicker", 0.0, 0.0, 1.0),
)
"""Other sections: name, chamfer of all edges, more width, more depth [mm]; a chamfer ends at half of the depth."""
_CLOSED = 0.01  # of all thrust: pieces below are not listed alone [%]
_OPTION_SPEED = 1  # number of the key speed
_PERCENT = 100.0


def wash_report(model: FlightModel, runs: Runs, options: Sequence[BodyOption], endurance: float) -> WashReport:
    """Return what stands in the propellers' air and what it costs.

    Parameters
    ----------
    model : FlightModel
        The frame as it is.
    runs : Runs
        Its trims, with those of the options.
    options : sequence of BodyOption
        Variants of the body.
    endurance : float
        In hover [s].
    """
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

    lost = sum(w.lost for w in pieces)
    return DownloadRow(
        name,
        pieces[0].body.kind,
        len(pieces),
        mean([w.depth for w in pieces]),
        area,
        mean([w.width for w in pieces]),
        mean([w.body.thickness for w in pieces]),
        mean([w.speed for w in pieces]),
        mean([w.coefficient for w in pieces]),
        _PERCENT * lost,
        lost * mass_g,
        _seconds(lost, endurance),
        tuple(_section(pieces, s, mass_g, endurance) for s in SECTIONS),
    )


def _section(
    pieces: Sequence[Washed], section: tuple[str, float, float, float], mass_g: float, endurance: float
) -> SectionRow:
    name, chamfer, wider, thicker = section
    now, then = sum(w.lost for w in pieces), sum(w.lost_as(chamfer, wider, thicker) for w in pieces)
    cut = min(chamfer, min(w.body.thickness for w in pieces) / 2)
    saves = _seconds(now, endurance) - _seconds(then, endurance)
    return SectionRow(name, cut, wider, thicker, then * mass_g, (now - then) * mass_g, saves)


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
