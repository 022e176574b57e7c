"""How each part of a frame is cut, and the places on it that its cutter should look at."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.fabrication.bit import Bit
from platewright.fabrication.plan import CutPlan, cut_plan
from platewright.fabrication.rules import countersink_depth, narrow_passages, small_holes, stopping_corners
from platewright.fit.webs import Web, inside_corners, webs
from platewright.geometry.loops import Circle, Loop, Outline, bounding_box, circle_loop, flatten
from platewright.study.cut_findings import SINK_RULE, SLOT_OVER
from platewright.study.cutters import chosen_bit
from platewright.study.web_findings import SLIGHT, usual_web

__all__ = ["CutPlace", "PartCutting", "countersink_words", "part_cutting"]

_COMPENSATION = "tolerance.routed_hole_mm"
_BRIDGE = "yield.tab_width_mm"
_CHORD = 0.05  # of curves, for the middle of a web [mm]
_SAME = 1e-6  # [mm]


@dataclass(frozen=True)
class CutPlace:
    """A place to look at, and why [mm]."""

    x: float
    y: float
    why: str


@dataclass(frozen=True)
class PartCutting:
    """The plan of one part, its places to look at; bit, width of a bridge, what holes are cut larger by [mm]."""

    plan: CutPlan
    places: tuple[CutPlace, ...]
    bit_mm: float
    bridge_mm: float
    compensation_mm: float


def part_cutting(assembly: Assembly, finished: FinishedPart) -> PartCutting:
    """Plan the cuts of a part with the bit of `checks.cutter_mm` and the usual compensation and bridges."""
    bit = chosen_bit(assembly.catalogue, assembly.design.checks.cutter_mm)
    bridge, compensation = (assembly.catalogue.rule(rule).value for rule in (_BRIDGE, _COMPENSATION))
    plan = cut_plan(finished.outline, bit, compensation, bridge)
    return PartCutting(plan, tuple(_places(assembly, finished, bit)), bit.diameter, bridge, compensation)


def countersink_words(finished: FinishedPart) -> str:
    """Return the countersinks of a part in words, alike ones counted; empty where there are none."""
    counts: dict[str, int] = {}
    for hole in finished.holes.holes:
        for sink in hole.countersinks:
            face = "upper" if sink.on_upper_face else "lower"
            words = f"{sink.diameter:g} mm at {sink.angle_deg:g} deg in the {face} face"
            counts[words] = counts.get(words, 0) + 1
    return ", ".join(f"{n} x {words}" for words, n in counts.items())


def _places(assembly: Assembly, finished: FinishedPart, bit: Bit) -> Iterator[CutPlace]:
    """Yield the places of all findings about cutting one part."""
    outline, thickness = finished.outline, finished.part.thickness_mm
    for c in small_holes(outline, bit):
        yield CutPlace(c.x, c.y, "drill")
    for p in narrow_passages(outline, bit.diameter + SLOT_OVER[1]):
        yield CutPlace(p.x, p.y, f"{p.width:.1f} mm wide")
    for x, y, r in stopping_corners(outline, bit):
        yield CutPlace(x, y, f"radius {r:.2f}")
    for corner in inside_corners(outline, bit.diameter / 2 - 1e-3):
        yield CutPlace(corner.x, corner.y, f"radius {corner.radius:.2f}")
    usual = max(usual_web(assembly, finished), assembly.design.checks.web_mm)
    for web in webs(outline, usual):
        if web.width < usual - SLIGHT:
            yield CutPlace(*_middle(outline, web), f"web {web.width:.1f}")
    deepest = assembly.catalogue.rule(SINK_RULE).value * thickness
    for hole in finished.holes.holes:
        depths = [countersink_depth(s.diameter, hole.diameter, math.radians(s.angle_deg)) for s in hole.countersinks]
        if depths and max(depths) > deepest + 1e-9:
            yield CutPlace(hole.x, hole.y, f"countersink {max(depths):.1f} deep")


def _middle(outline: Outline, web: Web) -> tuple[float, float]:
    """Return the middle of the narrowest place of a web [mm]."""
    opening = shapely.LinearRing(flatten(_loop_at(outline, web.opening), _CHORD))
    other = outline.outer if web.neighbour is None else _loop_at(outline, web.neighbour)
    middle = shapely.shortest_line(opening, shapely.LinearRing(flatten(other, _CHORD))).centroid
    return float(middle.x), float(middle.y)


def _loop_at(outline: Outline, at: tuple[float, float]) -> Loop:
    """Return the opening or round hole whose box has its middle there."""
    for loop in outline.inner:
        x0, y0, x1, y1 = bounding_box(loop)
        if math.dist(((x0 + x1) / 2, (y0 + y1) / 2), at) < _SAME:
            return loop
    circle = min(outline.circles, key=lambda c: math.dist((c.x, c.y), at))
    return circle_loop(Circle(circle.x, circle.y, circle.radius))
