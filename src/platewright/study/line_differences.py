"""What differs between two nearly same parts, in sentences, and the plainest way to make them one."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import bounding_box
from platewright.geometry.near import EdgeDifference, HoleDifference, NearMatch, OpeningDifference
from platewright.study.identity import PartIdentity
from platewright.study.line_results import PartDifference

__all__ = ["advice_of", "differences_of"]

_SAME = 5e-4  # thicknesses that differ by less are the same [mm]
_GRAIN = 0.1  # directions that differ by less are the same [deg]
_CLOSE = 0.05  # a place is on a rim or an axis of the box within this share of it [-]
Names = tuple[str, str]


def differences_of(
    match: NearMatch, one: PartIdentity, other: PartIdentity, names: Names
) -> tuple[PartDifference, ...]:
    """Return all that must change for two parts to be one; places are in the second part's axes."""
    box = bounding_box(other.outline)
    found = list(_laminate(match.motion, one, other, names))
    found += [_hole(h, names, box) for h in match.holes]
    found += [_opening(o, box) for o in match.openings]
    found += [_edge(e, names, box) for e in match.edges]
    return tuple(found)


def advice_of(match: NearMatch, one: PartIdentity, other: PartIdentity, names: Names) -> str:
    """Return the plainest way to make two parts one."""
    said = []
    if abs(one.thickness - other.thickness) > _SAME:
        thicker = max(one.thickness, other.thickness)
        said.append(f"take {thicker:g} mm for both")
    if one.material != other.material:
        said.append("choose one laminate")
    moved = [h for h in match.holes if h.first_diameter and h.second_diameter]
    missing = [h for h in match.holes if not (h.first_diameter and h.second_diameter)]
    if missing:
        said.append(f"drill the {len(missing)} {_plural('hole', len(missing))} that one lacks in both")
    far = [h for h in moved if h.kind == "moved"]
    if far:
        most = max(h.distance for h in far)
        said.append(f"move {len(far)} {_plural('hole', len(far))} by up to {most:.2f} mm")
    wide = [h for h in moved if h.kind == "resized"]
    if wide:
        said.append(f"drill {len(wide)} {_plural('hole', len(wide))} to one diameter")
    if match.openings:
        n, most = len(match.openings), max(o.distance for o in match.openings)
        said.append(f"move {n} {_plural('opening', n)} by up to {most:.2f} mm")
    if match.edges:
        depth = match.edges[0].depth
        more = {e.more for e in match.edges}
        if len(more) == 1:
            larger = names[0 if more == {"first"} else 1]
            said.append(f"cut both as {larger} (edges up to {depth:.2f} mm apart)")
        else:
            said.append(
                f"bring {len(match.edges)} {_plural('edge', len(match.edges))} together, up to {depth:.2f} mm apart"
            )
    if one.marks != other.marks or one.sinks != other.sinks:
        said.append("engrave and countersink both alike")
    if not said and _turned(match.motion, one, other):
        said.append("cut both along the same direction of the sheet")
    text = "; ".join(said) if said else "turn neither over: they have an upper face"
    return text[0].upper() + text[1:] + ", then check both frames."


def _laminate(motion: Isometry, one: PartIdentity, other: PartIdentity, names: Names) -> Iterator[PartDifference]:
    if abs(one.thickness - other.thickness) > _SAME:
        text = f"{names[0]} is {one.thickness:g} mm thick, {names[1]} {other.thickness:g} mm"
        yield PartDifference("thickness", None, None, round(abs(one.thickness - other.thickness), 3), text)
    if one.material != other.material:
        text = f"{names[0]} is of {one.material}, {names[1]} of {other.material}"
        yield PartDifference("material", None, None, 0.0, text)
    if _turned(motion, one, other):
        yield PartDifference("direction", None, None, 0.0, "they lie along different directions of the sheet")
    if one.marks != other.marks or one.sinks != other.sinks:
        yield PartDifference("marks", None, None, 0.0, "engraving or countersinks differ")
    elif motion.flip and (one.marks or one.sinks):
        yield PartDifference("marks", None, None, 0.0, "both have an upper face, and one would lie turned over")


def _turned(motion: Isometry, one: PartIdentity, other: PartIdentity) -> bool:
    turn = math.degrees(math.atan2(motion.sin, motion.cos))
    grain = turn + (-one.grain if motion.flip else one.grain)
    return abs(math.remainder(grain - other.grain, 180.0)) > _GRAIN


def _hole(hole: HoleDifference, names: Names, box: tuple[float, float, float, float]) -> PartDifference:
    where = f"at ({hole.x:.2f}, {hole.y:.2f}) mm, {_side(hole.x, hole.y, box)}"
    if hole.kind == "moved":
        size = hole.distance
        text = f"the {hole.second_diameter:.2f} mm hole {where}, is {hole.distance:.2f} mm off"
    elif hole.kind == "resized":
        size = max(hole.distance, abs(hole.first_diameter - hole.second_diameter))
        off = f", and {hole.distance:.2f} mm off" if hole.distance > _SAME else ""
        sizes = f"{hole.first_diameter:.2f} mm in {names[0]}, {hole.second_diameter:.2f} mm in {names[1]}"
        text = f"the hole {where}, is {sizes}{off}"
    else:
        size = 0.0
        name = names[0 if hole.kind == "first" else 1]
        text = f"only {name} has the {max(hole.first_diameter, hole.second_diameter):.2f} mm hole {where}"
    return PartDifference(f"hole_{hole.kind}", round(hole.x, 3), round(hole.y, 3), round(size, 3), text)


def _opening(opening: OpeningDifference, box: tuple[float, float, float, float]) -> PartDifference:
    size = f"{opening.length:.2f} x {opening.width:.2f} mm"
    where = f"at ({opening.x:.2f}, {opening.y:.2f}) mm, {_side(opening.x, opening.y, box)}"
    text = f"the opening of {size} {where}, is {opening.distance:.2f} mm off"
    return PartDifference("opening", round(opening.x, 3), round(opening.y, 3), round(opening.distance, 3), text)


def _edge(edge: EdgeDifference, names: Names, box: tuple[float, float, float, float]) -> PartDifference:
    name = names[0 if edge.more == "first" else 1]
    text = (
        f"the edge near ({edge.x:.1f}, {edge.y:.1f}) mm, {_side(edge.x, edge.y, box)}, stands {edge.depth:.2f} mm "
        f"farther out in {name} ({edge.area:.1f} mm²)"
    )
    return PartDifference("edge", round(edge.x, 3), round(edge.y, 3), round(edge.depth, 3), text)


def _side(x: float, y: float, box: tuple[float, float, float, float]) -> str:
    """Say where on a part a point lies, with +y up and +x right as it is drawn."""
    words = []
    for value, low, high, (less, more) in (
        (y, box[1], box[3], ("lower", "upper")),
        (x, box[0], box[2], ("left", "right")),
    ):
        share = (value - (low + high) / 2) / max(high - low, 1e-9)
        if abs(share) > _CLOSE:
            words.append(more if share > 0 else less)
    return " ".join(words) or "in the middle"


def _plural(word: str, n: int) -> str:
    return word if n == 1 else f"{word}s"
