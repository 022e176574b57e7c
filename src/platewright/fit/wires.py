"""Runs of wire between things: how long, which plates' edges they pass, what lies beside what.

A run leaves the middle of a thing, lies at the height of the lower of its two ends along a straight line, and rises to
the other. Which things are joined follows from the records: a connector and a capacitor go to the power pads of the
boards; a camera to the board with plugs, and that to the video transmitter; transmitter and receiver to their antennas;
receiver, GPS and buzzer to the board with plugs. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector
from platewright.fit.board_access import battery_pads
from platewright.fit.boards import BoardPlace
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, connector_point, fitted
from platewright.geometry.curves import Floats
from platewright.model.catalogue.electronics import Antenna, Board, Camera
from platewright.model.catalogue.power import Capacitor, PowerConnector

__all__ = ["Run", "Together", "beside", "distance_to_run", "wire_runs"]

_TOUCHES = 3.0  # a wire so near to a plate's face lies on it [mm]
_STEP = 1.0  # between points at which two runs are compared [mm]


@dataclass(frozen=True)
class Run:
    """One run of wire.

    Parameters
    ----------
    kind : str
        "power", "video", "signal" or "coax".
    start, end : str
        Bodies at both ends.
    path : tuple of (float, float, float)
        Corners of its way [mm].
    length : float
        Along it, with slack [mm].
    edges : tuple of str
        Plates whose edges it passes.
    """

    kind: str
    start: str
    end: str
    path: tuple[Vector, ...]
    length: float
    edges: tuple[str, ...]


@dataclass(frozen=True)
class Together:
    """Two runs side by side: over which length they come nearer than asked, and how near [mm]."""

    one: Run
    other: Run
    length: float
    gap: float


def wire_runs(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], places: Sequence[BoardPlace]) -> list[Run]:
    """Return the runs of wire of a design; motors' leads are a matter of `leads`.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    places : sequence of BoardPlace
        The screwed boards: power leads end at their pads.
    """
    plug = connector_point(assembly)
    pads = {place.body.name: pad for place in places for pad in battery_pads(place, plug)}
    slack = assembly.catalogue.rule("wire.slack_mm").value
    made = []
    for kind, one, other in _joined(assembly):
        end = pads[other.name] if kind == "power" and other.name in pads else _middle(other)
        path = _path(_middle(one), end)
        length = sum(math.dist(a, b) for a, b in pairwise(path)) + slack
        made.append(Run(kind, one.name, other.name, path, length, _edges(assembly, prisms, path)))
    return made


def beside(runs: Sequence[Run], one: str, other: str, within: float) -> list[Together]:
    """Return pairs of runs of two kinds that lie side by side, the longest first.

    Parameters
    ----------
    runs : sequence of Run
        From `wire_runs`.
    one, other : str
        The two kinds.
    within : float
        What counts as beside [mm].
    """
    made = []
    for a in (r for r in runs if r.kind == one):
        points = _points(a.path)
        for b in (r for r in runs if r.kind == other):
            far = distance_to_run(b, points)
            near = far < within
            if near.any():
                made.append(Together(a, b, float(near.sum()) * _STEP, float(far.min())))
    return sorted(made, key=lambda t: -t.length)


def distance_to_run(run: Run, points: Floats) -> Floats:
    """Return the distance of each point to a run [mm].

    Examples
    --------
    >>> run = Run("power", "a", "b", ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0)), 10.0, ())
    >>> distance_to_run(run, np.array([[5.0, 3.0, 4.0], [13.0, 4.0, 0.0]])).tolist()
    [5.0, 5.0]
    """
    best = np.full(len(points), np.inf)
    for a, b in pairwise(np.array(run.path)):
        chord = b - a
        size = float(chord @ chord)
        t = np.clip((points - a) @ chord / size, 0.0, 1.0) if size > 0 else np.zeros(len(points))
        best = np.minimum(best, np.linalg.norm(points - a - t[:, None] * chord, axis=1))
    return best


def _joined(assembly: Assembly) -> list[tuple[str, Body, Body]]:
    """Return what is joined to what, by kind of wire."""
    boards = [thing for thing in fitted(assembly, Board) if thing.bodies]
    power = [t.bodies[0] for t in boards if t.record.battery_pads]
    brains = [t.bodies[0] for t in boards if t.record.plugs] or power
    senders = [t.bodies[0] for t in boards if t.record.needs_airflow]
    small = [t for t in boards if t.record.pattern is None]
    skyward = [t.bodies[0] for t in small if t.record.sky_view_needed]
    receivers = [t.bodies[0] for t in small if "receiver" in t.record.id]
    cameras = [body for t in fitted(assembly, Camera) for body in t.bodies]
    made = [("power", body, p) for t in fitted(assembly, PowerConnector) for body in t.bodies for p in power]
    made += [("power", body, power[0]) for t in fitted(assembly, Capacitor) for body in t.bodies if power]
    if brains:
        made += [("video", camera, brains[0]) for camera in cameras]
        made += [("video", brains[0], sender) for sender in senders]
        made += [("signal", t.bodies[0], brains[0]) for t in small]
        made += [("signal", body, brains[0]) for body in skyward if body not in [t.bodies[0] for t in small]]
    for antenna in fitted(assembly, Antenna):
        made += [("coax", source, body) for body in antenna.bodies for source in _source(antenna, senders, receivers)]
    return made


def _source(antenna: Fitted[Antenna], senders: Sequence[Body], receivers: Sequence[Body]) -> Sequence[Body]:
    """Return what an antenna hangs on: a tube on the receiver, a head on the video transmitter."""
    return (receivers if antenna.record.tube_outer_d_range_mm is not None else senders)[:1]


def _middle(body: Body) -> Vector:
    low = min(s.offset for s in body.solids)
    high = max(s.offset + s.shape.height for s in body.solids)
    if body.role == "antenna":  # the cable comes from below
        return body.frame.point(0.0, 0.0, low)
    return body.frame.point(0.0, 0.0, (low + high) / 2)


def _path(start: Vector, end: Vector) -> tuple[Vector, ...]:
    low = min(start[2], end[2])
    corners = (start, (start[0], start[1], low), (end[0], end[1], low), end)
    kept = [corners[0]]
    kept += [corner for corner in corners[1:] if math.dist(corner, kept[-1]) > 1e-9]
    return tuple(dict.fromkeys(kept))


def _points(path: Sequence[Vector]) -> Floats:
    rows = []
    for a, b in pairwise(np.array(path)):
        count = max(math.ceil(float(np.linalg.norm(b - a)) / _STEP), 1)
        rows.append(a + np.outer((np.arange(count) + 0.5) / count, b - a))
    return np.concatenate(rows) if rows else np.zeros((0, 3))


def _edges(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], path: Sequence[Vector]) -> tuple[str, ...]:
    """Return the level plates that a way leads round the edge of: by rising past them, or along their face and off."""
    near = assembly.catalogue.rule("wire.pass_edge_mm").value
    names = [i.name for i in assembly.instances.values() if i.normal == "z"]
    pieces = np.array(list(pairwise(path))).reshape(-1, 2, 3)
    boxes = np.array([prisms[name][0].box for name in names]).reshape(-1, 1, 2, 3)
    low, high = pieces.min(axis=1), pieces.max(axis=1)
    beside = ((low - near <= boxes[:, :, 1]) & (high + near >= boxes[:, :, 0])).all(axis=2).tolist()
    return tuple(
        name
        for name, row in zip(names, beside, strict=True)
        if any(
            is_near and _passes(prisms[name][0], piece[0], piece[1], near)
            for is_near, piece in zip(row, pieces, strict=True)
        )
    )


def _passes(plate: Prism, a: Floats, b: Floats, near: float) -> bool:
    flat, height = plate.local(np.array([a, b]))
    section = plate.section.polygon
    bottom, top = sorted(height.tolist())
    if abs(flat[1] - flat[0]) < 1e-6:  # a rise
        if top <= plate.low or bottom >= plate.high:
            return False
        return float(shapely.distance(shapely.Point(flat[0].real, flat[0].imag), section)) < near
    if bottom > plate.high + _TOUCHES or top < plate.low - _TOUCHES:
        return False
    line = shapely.LineString([(p.real, p.imag) for p in flat.tolist()])
    return bool(shapely.crosses(line, section))
