"""Shapes to nest, shelf packing of their boxes for comparison, and a check of nests that shares no code with them."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import shapely

from platewright.fabrication.nest import Nest, NestPart
from platewright.geometry.loops import Circle, Loop, Outline
from platewright.geometry.shapes import rectangle_loop

__all__ = ["QUARTERS", "arm", "ell", "frame_parts", "independent_faults", "ring", "shelves"]

QUARTERS = tuple(k * math.pi / 2 for k in range(4))


def arm(key: str, length: float, pad: float, quantity: int) -> NestPart:
    """Return a bar with a round pad at one end and a hole in it."""
    half = pad / 3
    x = math.sqrt(pad**2 - half**2)
    bulge = math.tan((2 * math.pi - 2 * math.asin(half / pad)) / 4)
    loop = Loop(((-length, -half, 0.0), (-x, -half, bulge), (-x, half, 0.0), (-length, half, 0.0)))
    return NestPart(key, Outline(loop, (), (Circle(0, 0, 3),)), quantity, QUARTERS)


def ell(key: str, a: float, b: float, wide: float, quantity: int) -> NestPart:
    """Return an L."""
    points = [(0, 0), (a, 0), (a, wide), (wide, wide), (wide, b), (0, b)]
    return NestPart(key, Outline(Loop(tuple((x, y, 0.0) for x, y in points))), quantity, QUARTERS)


def ring(key: str, size: float, rim: float, quantity: int) -> NestPart:
    """Return a square frame with a large opening."""
    inner = rectangle_loop(0, 0, size - 2 * rim, size - 2 * rim)
    return NestPart(key, Outline(rectangle_loop(0, 0, size, size), (inner,)), quantity, QUARTERS)


def frame_parts(per_shape: int) -> list[NestPart]:
    """Return twelve shapes as a frame maker has them."""
    made = [arm(f"arm{k}", 70 + 12 * k, 9 + k, per_shape) for k in range(4)]
    made += [ell(f"bracket{k}", 40 + 8 * k, 30 + 5 * k, 9, per_shape) for k in range(4)]
    made += [ring(f"deck{k}", 60 + 14 * k, 12, per_shape) for k in range(2)]
    made += [NestPart("cheek", Outline(rectangle_loop(0, 0, 34, 22)), per_shape, QUARTERS)]
    star = [(r * math.cos(a), r * math.sin(a), 0.0) for n in range(10) for r, a in [((36, 15)[n % 2], n * math.pi / 5)]]
    return [*made, NestPart("star", Outline(Loop(tuple(star))), per_shape, QUARTERS)]


def shelves(parts: Sequence[NestPart], length: float, width: float, margin: float, spacing: float) -> float:
    """Return the area that shelf packing of bounding boxes takes: next fit, the highest first, boxes laid flat [mm^2].

    Full sheets count whole, the last as far as its shelves reach.
    """
    boxes = []
    for part in parts:
        x0, y0, x1, y1 = part.polygon.bounds
        sides = sorted((x1 - x0, y1 - y0))
        boxes += [(sides[0] + spacing, sides[1] + spacing)] * part.quantity
    across, along = width - 2 * margin + spacing, length - 2 * margin + spacing
    sheets, x, y, depth = 1, 0.0, 0.0, 0.0
    for thin, long in sorted(boxes, reverse=True):
        if y + long > across:
            x, y, depth = x + depth, 0.0, 0.0
        if x + max(depth, thin) > along:
            sheets, x, y, depth = sheets + 1, 0.0, 0.0, 0.0
        y, depth = y + long, max(depth, thin)
    return (sheets - 1) * length * width + (x + depth + margin) * width


def independent_faults(nest: Nest, seed: int = 1) -> list[str]:
    """Return what is wrong with a nest, from outlines turned and shifted here and from points on their edges."""
    rng = random.Random(seed)
    found = []
    for layout in nest.layouts:
        placed = []
        for piece in layout.pieces:
            outline = nest.by_key[piece.part].outline
            c, s = math.cos(piece.turn), math.sin(piece.turn)
            rings = [_points(loop) for loop in (outline.outer, *outline.inner)]
            rings += [_circle(circle) for circle in outline.circles]
            moved = [[(c * x - s * y + piece.x, s * x + c * y + piece.y) for x, y in r] for r in rings]
            placed.append(shapely.Polygon(moved[0], moved[1:]))
        stock = layout.stock
        for polygon in placed:
            x0, y0, x1, y1 = polygon.bounds
            m = stock.margin - 2e-3
            if x0 < m or y0 < m or x1 > stock.length - m or y1 > stock.width - m:
                found.append("rim")
        for n, one in enumerate(placed):
            for other in placed[:n]:
                if one.distance(other) < nest.spacing - 2e-3:
                    found.append(f"near: {one.distance(other):.3f}")
                point = one.exterior.interpolate(rng.random(), normalized=True)
                if other.contains(point):
                    found.append("overlap")
            for x, y, a, b in stock.clamps:
                if one.distance(shapely.box(x, y, x + a, y + b)) < nest.spacing - 2e-3:
                    found.append("clamp")
    return found


def _points(loop: Loop) -> list[tuple[float, float]]:
    points = []
    for (xa, ya, bulge), (xb, yb, _) in zip(loop.vertices, (*loop.vertices[1:], loop.vertices[0]), strict=True):
        points.append((xa, ya))
        if bulge:
            start, chord, turn = complex(xa, ya), complex(xb - xa, yb - ya), 4 * math.atan(bulge)
            centre = start + chord / 2 * (1 + 1j * (1 - bulge**2) / (2 * bulge))
            for k in range(1, 64):
                p = centre + (start - centre) * complex(math.cos(turn * k / 64), math.sin(turn * k / 64))
                points.append((p.real, p.imag))
    return points


def _circle(circle: Circle) -> list[tuple[float, float]]:
    angles = [k * math.pi / 64 for k in range(128)]
    return [(circle.x + circle.radius * math.cos(a), circle.y + circle.radius * math.sin(a)) for a in angles]
