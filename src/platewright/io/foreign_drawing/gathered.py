"""What is gathered from a drawing: edges and circles with where each comes from, and what was not read [mm]."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from platewright.geometry.chain import LooseEdge
from platewright.geometry.loops import Circle

__all__ = ["Gathered", "Passed", "Source"]


@dataclass(frozen=True)
class Source:
    """Where edges come from: kind of entity, layer and line type."""

    kind: str
    layer: str
    linetype: str


@dataclass(frozen=True)
class Passed:
    """Why entities were not read: `words`, `fill`, `body`, `hidden`, `tilted`, `kind`, `broken` or `block`."""

    reason: str
    kind: str
    layer: str


@dataclass
class Gathered:
    """What a drawing holds, in mm.

    Parameters
    ----------
    edges, edge_sources
        Lines and arcs, and for each the number of its source.
    circles, circle_sources
        The same of circles.
    sources
        Each kind, layer and line type once.
    smoothed
        Largest error of the arcs that stand for splines and ellipses, by source [mm].
    passed
        How many entities were not read, by reason.
    """

    edges: list[LooseEdge] = field(default_factory=list)
    edge_sources: list[int] = field(default_factory=list)
    circles: list[Circle] = field(default_factory=list)
    circle_sources: list[int] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    smoothed: dict[int, float] = field(default_factory=dict)
    passed: Counter[Passed] = field(default_factory=Counter)
    entities: int = 0
