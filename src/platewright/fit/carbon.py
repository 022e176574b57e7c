"""Carbon plates beside what must not touch them: bare pads of boards, and capacitor cans.

Pads stand at the edges of a board that is held by its screws; what is taped on lies in a sleeve and is left out. Every
plate counts as carbon unless its laminate is named otherwise. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.fit.proximity import boxes_apart, distance
from platewright.fit.solids import Prism
from platewright.fit.things import fitted
from platewright.model.catalogue.electronics import Board
from platewright.model.catalogue.power import Capacitor

__all__ = ["NearCarbon", "bare_boards", "capacitor_cans", "nearest_carbon"]

_INSULATORS = frozenset(("plate_g10",))  # laminates without carbon


@dataclass(frozen=True)
class NearCarbon:
    """A body, the carbon plate that is nearest to it, and the air between them; 0 where they touch [mm]."""

    body: str
    plate: str
    gap: float


def bare_boards(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> tuple[NearCarbon, ...]:
    """Return for the bare edge of each screwed board the nearest carbon.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    boards = [b for t in fitted(assembly, Board) if t.record.pattern is not None for b in t.bodies]
    found = [nearest_carbon(assembly, prisms, b.name, prisms[b.name][:1]) for b in boards]
    return tuple(f for f in found if f is not None)


def capacitor_cans(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> tuple[NearCarbon, ...]:
    """Return for each capacitor the nearest carbon.

    Parameters
    ----------
    assembly, prisms
        As in `bare_boards`.
    """
    cans = [b for t in fitted(assembly, Capacitor) for b in t.bodies]
    found = [nearest_carbon(assembly, prisms, b.name, prisms[b.name]) for b in cans]
    return tuple(f for f in found if f is not None)


def nearest_carbon(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], body: str, own: Sequence[Prism]
) -> NearCarbon | None:
    """Return the carbon plate nearest to some prisms of a body; None in a frame without carbon.

    Parameters
    ----------
    assembly, prisms
        As in `bare_boards`.
    body : str
        What to call it.
    own : sequence of Prism
        Its prisms.
    """
    parts = {i.name: i.part for i in assembly.instances.values()}
    plates = [
        (plate.name, p)
        for plate in assembly.bodies
        if plate.role == "plate" and not (plate.name in parts and parts[plate.name].material in _INSULATORS)
        for p in prisms[plate.name]
    ]
    boxes = np.array([p.box for _, p in plates]).reshape(-1, 2, 3)
    apart = np.array([boxes_apart(boxes, q.box) for q in own]).reshape(len(own), len(plates)).tolist()
    pairs = [(apart[k][n], name, q, p) for n, (name, p) in enumerate(plates) for k, q in enumerate(own)]
    best: NearCarbon | None = None
    for least, name, q, p in sorted(pairs, key=lambda row: row[:2]):
        if best is not None and least >= best.gap:
            break
        gap = distance(q, p, best.gap) if best else distance(q, p)
        if best is None or gap < best.gap:
            best = NearCarbon(body, name, gap)
    return best
