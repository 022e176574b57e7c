"""Every body of a frame against every other: what overlaps, where and how deep, and plates that nearly touch.

Boxes are swept along x first; what is left is answered by `proximity`. Turning propellers count here by their hubs
only: their discs are a matter of `discs`. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.body_prisms import prisms_of_bodies
from platewright.fit.engaged import Engaged
from platewright.fit.proximity import common, distance
from platewright.fit.solids import CHORD, Prism

__all__ = ["NearPlates", "Overlap", "is_soft", "near_plates", "overlaps", "prisms_of"]

_CONTACT = 2 * CHORD  # what is not deeper may be two chords on one face [mm]
_SOFT = frozenset(("battery", "antenna", "strap", "lead", "other"))


@dataclass(frozen=True)
class Overlap:
    """Two bodies in one space: how deep, and the deepest point [mm]."""

    one: Body
    other: Body
    depth: float
    point: tuple[float, float, float]


@dataclass(frozen=True)
class NearPlates:
    """Two plates side by side on one level, and the gap between their edges [mm]."""

    one: Body
    other: Body
    gap: float


def prisms_of(assembly: Assembly) -> dict[str, tuple[Prism, ...]]:
    """Return the prisms of all bodies by name."""
    return prisms_of_bodies(assembly.bodies)


def is_soft(body: Body) -> bool:
    """Return whether a body gives way or hangs on its leads: packs, antennas, straps, capacitors and plugs."""
    return body.role in _SOFT


def overlaps(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], tab_tolerance: float = 0.1) -> list[Overlap]:
    """Return every pair of bodies that overlap and are not engaged with one another, the deepest first.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        From `prisms_of`.
    tab_tolerance : float
        A tab and its slot may share this much: slots are cut round, and plates are nominal [mm].
    """
    engaged = Engaged(assembly)
    solid = [(body, p) for body in assembly.bodies for p in _hard(body, prisms[body.name])]
    deepest: dict[tuple[str, str], Overlap] = {}
    for m, n in _meeting_boxes([p for _, p in solid]).tolist():
        (a, p), (b, q) = solid[m], solid[n]
        if a is b or engaged.in_column(a, b):
            continue
        found = common(p, q)
        if found is None or found.depth <= _CONTACT or (found.depth <= tab_tolerance and engaged.are_tabbed(a, b)):
            continue
        key = (a.name, b.name)
        if key not in deepest or deepest[key].depth < found.depth:
            deepest[key] = Overlap(a, b, found.depth, found.point)
    return sorted(deepest.values(), key=lambda o: (-o.depth, o.one.name, o.other.name))


def near_plates(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], gap: float) -> list[NearPlates]:
    """Return pairs of plates that share a level and come nearer to one another than `gap` [mm] without overlapping.

    Plates that a key trims to each other, or that are joined by tabs, are near by intention and left out.
    """
    engaged = Engaged(assembly)
    plates = [b for b in assembly.bodies if b.role == "plate"]
    made = []
    for m, n in _meeting_boxes([prisms[b.name][0] for b in plates], gap).tolist():
        a, b = plates[m], plates[n]
        p, q = prisms[a.name][0], prisms[b.name][0]
        if engaged.are_keyed(a, b) or engaged.are_tabbed(a, b) or not _share_a_level(p, q):
            continue
        apart = distance(p, q, gap)
        if 0 < apart < gap:
            made.append(NearPlates(a, b, apart))
    return made


def _hard(body: Body, prisms: Sequence[Prism]) -> Sequence[Prism]:
    return prisms[:1] if body.role == "propeller" else prisms


def _share_a_level(p: Prism, q: Prism) -> bool:
    """Whether two prisms along one axis have heights in common, more than by touching."""
    if abs(float(p.axes[2] @ q.axes[2])) < 1 - 1e-9:
        return False
    low, high = np.sort((q.origin - p.origin) @ p.axes[2] + (q.axes[2] @ p.axes[2]) * np.array([q.low, q.high]))
    return bool(min(high, p.high) - max(low, p.low) > 1e-6)


def _meeting_boxes(prisms: Sequence[Prism], gap: float = 0.0) -> NDArray[np.intp]:
    """Return numbers of pairs whose boxes come nearer than `gap`, or overlap, (n_pairs, 2)."""
    if not prisms:
        return np.zeros((0, 2), dtype=np.intp)
    boxes = np.array([p.box for p in prisms])
    low, high = boxes[:, 0] - gap / 2, boxes[:, 1] + gap / 2
    order = np.argsort(low[:, 0], kind="stable")
    low, high = low[order], high[order]
    until = np.searchsorted(low[:, 0], high[:, 0], side="left")
    n = np.arange(len(order))
    counts = np.maximum(until - n - 1, 0)
    first = np.repeat(n, counts)
    second = first + 1 + np.arange(len(first)) - np.repeat(np.cumsum(counts) - counts, counts)
    meets = ((low[first] < high[second]) & (low[second] < high[first]))[:, 1:].all(axis=1)
    pairs = np.sort(np.column_stack([order[first[meets]], order[second[meets]]]), axis=1)
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
