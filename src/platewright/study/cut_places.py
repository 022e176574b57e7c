"""How each part of a frame is cut, and the places on it that its cutter should look at."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.fabrication.plan import CutPlan, cut_plan
from platewright.fabrication.rules import narrow_passages, small_holes, stopping_corners
from platewright.fit.webs import inside_corners
from platewright.study.cutters import chosen_bit

__all__ = ["CutPlace", "PartCutting", "part_cutting"]

_SLOT_OVER = 0.2  # what a slot should be wider than the bit [mm]
_COMPENSATION = "tolerance.routed_hole_mm"
_BRIDGE = "yield.tab_width_mm"


@dataclass(frozen=True)
class CutPlace:
    """A place to look at, and why [mm]."""

    x: float
    y: float
    why: str


@dataclass(frozen=True)
class PartCutting:
    """The plan of one part, and its places to look at; diameter of the bit and width of a bridge [mm]."""

    plan: CutPlan
    places: tuple[CutPlace, ...]
    bit_mm: float
    bridge_mm: float


def part_cutting(assembly: Assembly, finished: FinishedPart) -> PartCutting:
    """Plan the cuts of a part with the bit of `checks.cutter_mm` and the usual compensation and bridges."""
    bit = chosen_bit(assembly.catalogue, assembly.design.checks.cutter_mm)
    bridge = assembly.catalogue.rule(_BRIDGE).value
    plan = cut_plan(finished.outline, bit, assembly.catalogue.rule(_COMPENSATION).value, bridge)
    outline = finished.outline
    places = [
        *(CutPlace(c.x, c.y, "drill") for c in small_holes(outline, bit)),
        *(CutPlace(p.x, p.y, f"{p.width:.1f} mm wide") for p in narrow_passages(outline, bit.diameter + _SLOT_OVER)),
        *(CutPlace(x, y, f"radius {r:.2f}") for x, y, r in stopping_corners(outline, bit)),
        *(CutPlace(c.x, c.y, f"radius {c.radius:.2f}") for c in inside_corners(outline, bit.diameter / 2 - 1e-3)),
    ]
    return PartCutting(plan, tuple(places), bit.diameter, bridge)
