"""Where the labels of holes go: beside their hole, off other holes, labels and edges as far as room allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from platewright.io.drawing.lettering import text_width

__all__ = ["Anchor", "PlacedLabel", "place_labels"]

_DIRECTIONS = (0.25, -0.25, 0.75, -0.75, 0.0, 1.0, 0.5, -0.5, 0.125, -0.125, 0.875, -0.875)  # in half turns
_DISTANCES = (0.5, 1.6, 3.2, 5.2, 8.0, 11.0, 15.0)  # beyond the hole's rim [mm]


@dataclass(frozen=True)
class Anchor:
    """What is to be labelled: its centre and half its width and height, on the page [mm]."""

    text: str
    x: float
    y: float
    half_width: float
    half_height: float


@dataclass(frozen=True)
class PlacedLabel:
    """A label's middle and the box about it, on the page [mm]; far ones have a leader."""

    anchor: Anchor
    x: float
    y: float
    width: float
    height: float
    far: bool


def place_labels(anchors: Sequence[Anchor], edges: Sequence[shapely.Geometry], size: float) -> tuple[PlacedLabel, ...]:
    """Place labels one after another, the most crowded first.

    Parameters
    ----------
    anchors : sequence of Anchor
        Holes and slots.
    edges : sequence of geometry
        Lines that labels should not cross.
    size : float
        Height of the lettering [mm].
    """
    tree = shapely.STRtree(list(edges))
    taken: list[shapely.Geometry] = [_shape(a) for a in anchors]
    leaders: list[shapely.Geometry] = []
    placed: dict[int, PlacedLabel] = {}
    for n in sorted(range(len(anchors)), key=lambda k: (-_crowd(anchors, k), anchors[k].text)):
        anchor = anchors[n]
        width, height = text_width(anchor.text, size) + 0.5, size * 0.9
        best: tuple[float, PlacedLabel] | None = None
        for reach, distance in enumerate(_DISTANCES):
            for turn, direction in enumerate(_DIRECTIONS):
                label = _at(anchor, direction * math.pi, distance, width, height, reach > 1)
                cost = _cost(label, taken, leaders, tree, n) + reach * 3.0 + turn * 0.1
                if best is None or cost < best[0] - 1e-9:
                    best = (cost, label)
        assert best is not None
        label = best[1]
        placed[n] = label
        taken.append(_box(label))
        if label.far:
            leaders.append(shapely.LineString([(anchor.x, anchor.y), (label.x, label.y)]))
    return tuple(placed[n] for n in range(len(anchors)))


def _crowd(anchors: Sequence[Anchor], k: int) -> int:
    here = anchors[k]
    return sum(1 for a in anchors if math.hypot(a.x - here.x, a.y - here.y) < 8.0)


def _at(anchor: Anchor, angle: float, distance: float, width: float, height: float, far: bool) -> PlacedLabel:
    cos, sin = math.cos(angle), -math.sin(angle)
    x = anchor.x + cos * (anchor.half_width + distance + width / 2)
    y = anchor.y + sin * (anchor.half_height + distance + height / 2)
    return PlacedLabel(anchor, x, y, width, height, far)


def _shape(anchor: Anchor) -> shapely.Geometry:
    w, h = anchor.half_width + 0.2, anchor.half_height + 0.2
    if abs(w - h) < 1e-9:
        return shapely.Point(anchor.x, anchor.y).buffer(w, 8)
    return shapely.box(anchor.x - w, anchor.y - h, anchor.x + w, anchor.y + h)


def _cost(
    label: PlacedLabel,
    taken: Sequence[shapely.Geometry],
    leaders: Sequence[shapely.Geometry],
    tree: shapely.STRtree,
    own: int,
) -> float:
    box = _box(label)
    cost = 40.0 * sum(bool(shapely.intersects(box, t)) for t in taken)
    cost += 30.0 * sum(bool(shapely.intersects(box, t)) for t in leaders)
    cost += 12.0 * len(tree.query(box, predicate="intersects"))
    if label.far:
        leader = shapely.LineString([(label.anchor.x, label.anchor.y), (label.x, label.y)])
        crossed = sum(bool(shapely.intersects(leader, t)) for k, t in enumerate(taken) if k != own)
        cost += 25.0 * crossed + 25.0 * sum(bool(shapely.intersects(leader, t)) for t in leaders)
    return cost


def _box(label: PlacedLabel) -> shapely.Geometry:
    w, h = label.width / 2, label.height / 2
    return shapely.box(label.x - w, label.y - h, label.x + w, label.y + h)
