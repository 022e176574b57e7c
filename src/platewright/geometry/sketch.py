"""The rounded graph from which an outline grows, all numbers known [mm, rad].

Solids (node discs, links, webs, polygons) are joined and their inner corners filled with the fillet radius; half
planes, cut-outs and slots are taken away; tabs are added last and stay crisp. `mirror` repeats everything: "y" also at
-y, "x" also at -x, "xy" both (four copies); a cut, half plane or tab with `mirrored=False` is used once, as written.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "CircleCut",
    "Cut",
    "HalfPlaneCut",
    "Link",
    "Node",
    "Polygon",
    "PolygonCut",
    "RectangleCut",
    "Sketch",
    "SlotCut",
    "TabAdd",
    "Web",
]


@dataclass(frozen=True)
class Node:
    """A disc of material about (x, y); radius 0 marks a point only."""

    id: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Link:
    """A band with straight sides from node to node.

    Its sides are the common tangents of the circles of diameter `width` and `end_width` about the two nodes, so a band
    as wide as a node's disc runs into it smoothly. Without `end_width` it is parallel.
    """

    start_id: str
    end_id: str
    width: float
    end_width: float | None = None


@dataclass(frozen=True)
class Web:
    """A filled polygon through node centres."""

    node_ids: tuple[str, ...]


@dataclass(frozen=True)
class Polygon:
    """A solid polygon; `corners` gives a radius per point, otherwise `corner` rounds them all."""

    points: tuple[tuple[float, float], ...]
    corner: float = 0.0
    corners: tuple[float, ...] = ()


@dataclass(frozen=True)
class RectangleCut:
    """A rectangle about (x, y), `length` along its own x, turned by `turn` [rad], with corner radius."""

    x: float
    y: float
    length: float
    width: float
    corner: float = 0.0
    turn: float = 0.0
    mirrored: bool = True


@dataclass(frozen=True)
class SlotCut:
    """A slot with round ends whose centres are the two points."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    mirrored: bool = True


@dataclass(frozen=True)
class PolygonCut:
    """A polygonal opening with one corner radius."""

    points: tuple[tuple[float, float], ...]
    corner: float = 0.0
    mirrored: bool = True


@dataclass(frozen=True)
class CircleCut:
    """A round opening."""

    x: float
    y: float
    diameter: float
    mirrored: bool = True


@dataclass(frozen=True)
class HalfPlaneCut:
    """Removes everything on the side of (x, y) to which the normal (nx, ny) points."""

    x: float
    y: float
    nx: float
    ny: float
    mirrored: bool = True


@dataclass(frozen=True)
class TabAdd:
    """A crisp rectangle about (x, y) added last, `length` along its own x, turned by `turn` [rad]."""

    x: float
    y: float
    length: float
    width: float
    turn: float = 0.0
    mirrored: bool = True


Cut = RectangleCut | SlotCut | PolygonCut | CircleCut


@dataclass(frozen=True)
class Sketch:
    """Everything an outline is built from, before column holes."""

    nodes: tuple[Node, ...] = ()
    links: tuple[Link, ...] = ()
    webs: tuple[Web, ...] = ()
    polygons: tuple[Polygon, ...] = ()
    fillet: float = 0.0
    cuts: tuple[Cut, ...] = ()
    half_planes: tuple[HalfPlaneCut, ...] = ()
    tabs: tuple[TabAdd, ...] = ()
    slots: tuple[Cut, ...] = ()
    mirror: str = ""
