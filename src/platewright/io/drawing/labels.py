"""Where the labels of holes go: beside their hole, off other holes, labels and edges as far as room allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

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
    lines = np.array([*edges, shapely.LineString()], dtype=object)
    shapes = np.array([_shape(a) for a in anchors], dtype=object)
    taken, leaders = list(shapes), [shapely.LineString()]
    placed: dict[int, PlacedLabel] = {}
    for n in sorted(range(len(anchors)), key=lambda k: (-_crowd(anchors, k), anchors[k].text)):
        anchor = anchors[n]
        width, height = text_width(anchor.text, size) + 0.5, size * 0.9
        labels = [
            _at(anchor, direction * math.pi, distance, width, height, reach > 1)
            for reach, distance in enumerate(_DISTANCES)
            for direction in _DIRECTIONS
        ]
        boxes, paths = np.array([_box(c) for c in labels], dtype=object), np.array([_leader(c) for c in labels], object)
        others = np.array(taken[:n] + taken[n + 1 :] + [shapely.Point()], dtype=object)
        cost = 40.0 * _meets(boxes, np.array(taken, dtype=object)) + 30.0 * _meets(
            boxes, np.array(leaders, dtype=object)
        )
        cost += 12.0 * _meets(boxes, lines) + 25.0 * _meets(paths, others)
        cost += 25.0 * _meets(paths, np.array(leaders, dtype=object))
        ranks = np.arange(len(labels))
        cost += 3.0 * (ranks // len(_DIRECTIONS)) + 0.1 * (ranks % len(_DIRECTIONS))
        label = labels[int(np.argmin(np.round(cost, 6)))]
        placed[n] = label
        taken.append(_box(label))
        if label.far:
            leaders.append(_leader(label))
    return tuple(placed[n] for n in range(len(anchors)))


def _meets(shapes: NDArray[np.object_], others: NDArray[np.object_]) -> NDArray[np.float64]:
    """Count for each shape how many of the others it meets [-]."""
    counted: NDArray[np.float64] = shapely.intersects(shapes[:, None], others[None, :]).sum(axis=1).astype(float)
    return counted


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


def _leader(label: PlacedLabel) -> shapely.Geometry:
    """Line from a hole's middle to its label's; empty for a label that lies beside its hole."""
    if not label.far:
        return shapely.LineString()
    return shapely.LineString([(label.anchor.x, label.anchor.y), (label.x, label.y)])


def _box(label: PlacedLabel) -> shapely.Geometry:
    w, h = label.width / 2, label.height / 2
    return shapely.box(label.x - w, label.y - h, label.x + w, label.y + h)
