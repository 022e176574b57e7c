"""How far the leads of a battery stay from the blades, as they lie, tied and untied.

They leave at the middle of one end of the pack: that nearer to the connector of the frame, else the rear one. Lengths
in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.fit.battery import Pack
from platewright.fit.discs import Disc
from platewright.fit.things import connector_point
from platewright.geometry.curves import Floats

__all__ = ["LeadReach", "balance_reach", "power_reach"]

_RINGS, _TURNS = 12, 72  # points of a disc at which a lead may meet it


@dataclass(frozen=True)
class LeadReach:
    """How far a lead of a pack stays from the nearest disc: negative by how much it reaches into it [mm].

    `rest` is the distance of the lead as it lies, `gap` that of the farthest it can stand out once tied, `loose` that
    of the whole lead, not tied at all; `lacks` is what a power lead lacks to its connector.
    """

    pack: Pack
    lead: str
    disc: Disc
    rest: float
    gap: float
    loose: float
    lacks: float


def balance_reach(
    assembly: Assembly, pack: Pack, discs: Sequence[Disc], length: float, tied: float
) -> LeadReach | None:
    """Return how far a balance lead, folded back under the strap, stays from the nearest disc; None without discs.

    Notes
    -----
    What stands out of a tied lead is a loop, held at both ends: it reaches half its own length away.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    pack : Pack
        The battery.
    discs : sequence of Disc
        All discs.
    length, tied : float
        Of the whole lead, and of the loop that stands out once it is tied [mm].
    """
    exits = _exits(assembly, pack)
    gaps = [(float(disc.prism().gap(exits).min()), disc) for disc in discs]
    if not gaps:
        return None
    gap, disc = min(gaps, key=lambda row: row[0])
    return LeadReach(pack, "balance lead", disc, gap, gap - tied / 2, gap - length, 0.0)


def power_reach(assembly: Assembly, pack: Pack, discs: Sequence[Disc], length: float, slack: float) -> LeadReach | None:
    """Return how far a power lead, held at the pack and at the frame's connector, stays from the nearest disc.

    Notes
    -----
    A lead bends, it does not kink: longer by s than its chord d, it bows out by b = sqrt(3 d s / 8), the sagitta of a
    flat arc. It may bow to any side, within a spindle of half axis b about the chord. None without discs or connector.

    Parameters
    ----------
    assembly, pack, discs
        As in `balance_reach`.
    length : float
        Of the whole lead [mm].
    slack : float
        By which it is longer than the straight line between both ends once it is tied [mm].
    """
    plug = connector_point(assembly)
    if plug is None or not discs:
        return None
    start = _exits(assembly, pack).mean(axis=0)
    direct = float(np.linalg.norm(plug - start))
    tied, loose = (math.sqrt(3 * direct * extra / 8) for extra in (slack, max(length - direct, 0.0)))
    gaps = [_spindle_gaps(_disc_points(d), start, plug, (0.0, tied, loose)) for d in discs]
    nearest = min(range(len(discs)), key=lambda n: gaps[n][1])
    rest, gap, untied = gaps[nearest]
    return LeadReach(pack, "power lead", discs[nearest], rest, gap, untied, max(direct - length, 0.0))


def _exits(assembly: Assembly, pack: Pack) -> Floats:
    """Both sides of the end at which a pack's leads leave, at half its height."""
    ends = [
        [pack.body.frame.point(s * pack.length / 2, t * pack.width / 4, pack.height / 2) for t in (-1, 1)]
        for s in (-1, 1)
    ]
    plug = connector_point(assembly)
    target = np.array([-1e6, 0.0, 0.0]) if plug is None else plug
    return min((np.array(end) for end in ends), key=lambda end: float(np.linalg.norm(end.mean(axis=0) - target)))


def _spindle_gaps(points: Floats, start: Floats, end: Floats, halves: Sequence[float]) -> list[float]:
    """Least distances of points from ellipsoids about the line from start to end, measured across it [mm]."""
    chord = end - start
    size = float(np.linalg.norm(chord))
    away = points - start
    along = away @ chord / max(size, 1e-9) ** 2
    off = away - np.minimum(np.maximum(along, 0.0), 1.0)[:, None] * chord
    aside = np.sqrt(np.einsum("ij,ij->i", off, off))
    bow = np.sqrt(np.maximum(1.0 - (2 * along - 1.0) ** 2, 0.0))
    return [float((aside - half * bow).min()) for half in halves]


def _disc_points(disc: Disc) -> Floats:
    """Points of the room of a disc's blades, upper and lower face."""
    radii = disc.diameter / 2 * np.sqrt(np.linspace(0.1, 1.0, _RINGS))
    turns = np.linspace(0.0, 2 * math.pi, _TURNS, endpoint=False)
    x = disc.x + np.outer(radii, np.cos(turns)).ravel()
    y = disc.y + np.outer(radii, np.sin(turns)).ravel()
    half = disc.half_height()
    return np.concatenate([np.stack([x, y, np.full_like(x, disc.z + s * half)], axis=-1) for s in (-1.0, 0.0, 1.0)])
