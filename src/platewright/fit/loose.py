"""Small things that no screws of their own hold: receivers, position receivers, buzzers, capacitors, plugs.

Where each sits, what is nearest to it beside the plate that carries it, and which wires go to it. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.proximity import boxes_apart, distance
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, fitted
from platewright.fit.wires import Run, distance_to_run
from platewright.geometry.curves import Floats
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import Board
from platewright.model.catalogue.power import Capacitor, PowerConnector

__all__ = ["LooseThing", "Near", "PowerNear", "loose_things", "nearest", "nearest_power"]


@dataclass(frozen=True)
class Near:
    """A body and the distance to it, 0 where it is touched [mm]."""

    body: str
    gap: float


@dataclass(frozen=True)
class PowerNear:
    """A power lead and the distance of its middle line from the middle of a thing [mm]."""

    run: Run
    gap: float


@dataclass(frozen=True)
class LooseThing:
    """A thing in its place.

    Parameters
    ----------
    thing : Fitted
        What it is.
    body : Body
        Where it is.
    middle : tuple of (float, float, float)
        Of its body [mm].
    nearest : Near or None
        What is nearest to it, its carrier and turning propellers left out.
    runs : tuple of Run
        Wires that begin or end there.
    """

    thing: Fitted[Record]
    body: Body
    middle: tuple[float, float, float]
    nearest: Near | None
    runs: tuple[Run, ...]


def loose_things(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], runs: Sequence[Run]
) -> tuple[LooseThing, ...]:
    """Return all small things that no screws of their own hold, in the order of the design.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    runs : sequence of Run
        Its wires.
    """
    made = []
    for thing in fitted(assembly, Record):
        loose = isinstance(thing.record, Capacitor | PowerConnector) or (
            isinstance(thing.record, Board) and thing.record.pattern is None
        )
        for body in thing.bodies if loose else ():
            carrier = {i.name for i in assembly.instances.values() if i.place.id == thing.equipment.on}
            others = [b for b in assembly.bodies if b is not body and b.role != "propeller" and b.name not in carrier]
            own = tuple(run for run in runs if body.name in (run.start, run.end))
            made.append(LooseThing(thing, body, _middle(prisms[body.name]), nearest(body, prisms, others), own))
    return tuple(made)


def nearest(
    body: Body, prisms: Mapping[str, Sequence[Prism]], others: Sequence[Body], last: bool = False
) -> Near | None:
    """Return the body nearest to another; None where there is none.

    Parameters
    ----------
    body : Body
        The one.
    prisms : mapping
        Of all bodies by name.
    others : sequence of Body
        What to look among.
    last : bool
        Count from the last prism of the body only.
    """
    pairs = [(other.name, p) for other in others for p in prisms[other.name]]
    if not pairs:
        return None
    boxes = np.array([p.box for _, p in pairs])
    best = Near("", math.inf)
    for own in prisms[body.name][-1:] if last else prisms[body.name]:
        least = boxes_apart(boxes, own.box)
        for n in np.argsort(least, kind="stable").tolist():
            if least[n] >= best.gap:
                break
            gap = distance(own, pairs[n][1], best.gap)
            if gap < best.gap:
                best = Near(pairs[n][0], gap)
    return best


def nearest_power(middle: Sequence[float], power: Sequence[Run]) -> PowerNear | None:
    """Return the power lead nearest to a point [mm]; None without power leads.

    Examples
    --------
    >>> run = Run("power", "a", "b", ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0)), 10.0, ())
    >>> nearest_power((5.0, 3.0, 4.0), [run]).gap
    5.0
    """
    point: Floats = np.array([middle])
    found = [PowerNear(run, float(distance_to_run(run, point)[0])) for run in power]
    return min(found, key=lambda near: near.gap, default=None)


def _middle(prisms: Sequence[Prism]) -> tuple[float, float, float]:
    boxes = np.array([p.box for p in prisms])
    x, y, z = (((boxes[:, 0].min(axis=0) + boxes[:, 1].max(axis=0)) / 2).round(9) + 0.0).tolist()
    return x, y, z
