"""Whether boards of a hole pattern fit: squares of holes in the level plates, the screws they take, the height above.

A board pattern is the side of a square. Four holes whose opposite ones are that far apart, as a motor's are, make a
square smaller by a factor of 1.414: they are said to be what they are, and no place for the boards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.instances import Instance
from platewright.model.catalogue import BoardPattern
from platewright.study.fit_answers import FitAnswer, Verdict

__all__ = ["board_answer"]

_NEAR = 0.15  # by which a square of holes may miss the pattern [mm]
_HEIGHTS: Mapping[float, tuple[str, str]] = {  # what is usually stacked on a pattern, and the rule of its height
    16.0: ("two boards take", "board_stack.two_board_height_16x16_mm"),
    20.0: ("two boards take", "board_stack.two_board_height_20x20_mm"),
    25.5: ("an all-in-one board takes", "board_stack.aio_height_mm"),
    30.5: ("two boards take", "board_stack.two_board_height_30x30_mm"),
}
_USUAL = ("three boards take", "board_stack.three_board_height_mm")  # on any other pattern: enough for all
_HOW: Mapping[Verdict, str] = {
    "fits": "fit",
    "tight": "fit if they are low ones,",
    "no": "find their holes but not their height in",
}
_FREE_RULE = "board_stack.free_space_above_top_board_min_mm"


@dataclass(frozen=True)
class _Square:
    """Four holes of a plate: where they are, how they are turned, how wide they are, and whether they are in use."""

    place: str
    x: float
    y: float
    turn_deg: float
    hole: float
    used_by: tuple[str, ...]


def board_answer(assembly: Assembly, pattern: BoardPattern) -> FitAnswer:
    """Return whether the usual boards of a pattern fit somewhere.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    pattern : BoardPattern
        The pattern.
    """
    frame, name = assembly.design.frame.name, f"{pattern.side_mm:g} x {pattern.side_mm:g} boards"
    screw = assembly.catalogue.clearance_hole(pattern.thread, "fine").d_mm
    squares = [s for s in _squares(assembly, pattern.side_mm) if s.hole > screw - _NEAR]
    if not squares:
        return FitAnswer("boards", pattern.id, "no", _why_not(assembly, pattern, name), None, "")
    rows = [(_free_height(assembly, s), s) for s in squares]
    room, best = max(rows, key=lambda r: (math.inf if r[0] is None else r[0], not r[1].used_by))
    where = f"on {best.place} at {best.x:.1f}, {best.y:.1f}"
    where += f", turned {best.turn_deg:.0f} deg" if best.turn_deg else ""
    where += f", where {' and '.join(best.used_by)} stands now" if best.used_by else ""
    loose = f"; their holes are {best.hole:.1f} mm, wide for {pattern.thread}" if best.hole > screw + 0.5 else ""
    if room is None:
        text = f"{name} fit {frame} {where}, with nothing above them{loose}."
        return FitAnswer("boards", pattern.id, "fits", text, None, "height")
    what, rule = _HEIGHTS.get(pattern.side_mm, _USUAL)
    height, free = assembly.catalogue.rule(rule), assembly.catalogue.rule(_FREE_RULE).value
    low, high = height.low or height.value, height.high or height.value
    margin = room - high - free
    verdict: Verdict = "fits" if margin >= 0 else "tight" if room >= low + free else "no"
    how = {"fits": "fit", "tight": "fit if they are low ones,", "no": "find their holes but not their height in"}[
        verdict
    ]
    text = (
        f"{name} {how} {frame} {where}: {room:.1f} mm are free, {what} {low:g} to {high:g} mm ({rule}) and "
        f"{free:g} mm of air, {margin:+.1f} mm{loose}."
    )
    return FitAnswer("boards", pattern.id, verdict, text, margin, "height")


def _why_not(assembly: Assembly, pattern: BoardPattern, name: str) -> str:
    """Say which patterns there are instead, and warn of holes that are that far apart only across the diagonal."""
    frame = assembly.design.frame.name
    others = [p for p in assembly.catalogue.of_class(BoardPattern) if p.id != pattern.id]
    there = [p.id for p in others if next(_squares(assembly, p.side_mm), None) is not None]
    text = f"{name} do not fit {frame}: no level plate has four holes {pattern.side_mm:g} mm apart"
    text += f"; it has {' and '.join(there)}" if there else ""
    across = next(_squares(assembly, pattern.side_mm / math.sqrt(2)), None)
    if across is not None:
        text += (
            f"; the holes of {across.place} that are {pattern.side_mm:g} mm apart are opposite ones (factor 1.414), a "
            f"square of {pattern.side_mm / math.sqrt(2):.1f} mm"
        )
    return text + "."


def _squares(assembly: Assembly, side: float) -> Iterator[_Square]:
    """Yield squares of holes of one diameter in every level plate."""
    for name, instance in assembly.instances.items():
        if instance.normal == "z":
            yield from _squares_of(name, instance, assembly.parts[instance.part.id], side)


def _squares_of(name: str, instance: Instance, finished: FinishedPart, side: float) -> Iterator[_Square]:
    holes = finished.holes.holes
    points = [(h.x, h.y) for h in holes]
    for a in range(len(holes)):
        for b in range(len(holes)):
            dx, dy = points[b][0] - points[a][0], points[b][1] - points[a][1]
            if a == b or abs(math.hypot(dx, dy) - side) > _NEAR:
                continue
            c = _hole_at(points, points[b][0] - dy, points[b][1] + dx)
            d = _hole_at(points, points[a][0] - dy, points[a][1] + dx)
            if c is None or d is None or a != min(a, b, c, d):
                continue
            four = [holes[k] for k in (a, b, c, d)]
            x, y = instance.to_plane.apply((points[a][0] + points[c][0]) / 2, (points[a][1] + points[c][1]) / 2)
            turn = math.degrees(math.atan2(dy, dx) + math.atan2(instance.to_plane.sin, instance.to_plane.cos))
            used = {r.source.partition(".")[0] for h in four for r in h.requests if r.used and r.instance == name}
            yield _Square(name, x, y, round(turn % 90.0, 1) % 90.0, min(h.diameter for h in four), tuple(sorted(used)))


def _hole_at(points: Sequence[tuple[float, float]], x: float, y: float) -> int | None:
    return next((k for k, p in enumerate(points) if math.hypot(p[0] - x, p[1] - y) < _NEAR), None)


def _free_height(assembly: Assembly, square: _Square) -> float | None:
    """Return the air above a plate up to the next level plate over the middle of a square [mm]; None under the sky."""
    own = assembly.instances[square.place]
    top = assembly.levels.level[square.place].at(square.x, square.y).nominal + own.part.thickness_mm
    above = []
    for name, instance in assembly.instances.items():
        if instance.normal != "z" or name == square.place:
            continue
        bottom = assembly.levels.level[name].at(square.x, square.y).nominal
        over = assembly.parts[instance.part.id].probe.closed_to(*instance.in_part(square.x, square.y), square.hole)
        if bottom > top - _NEAR and over:
            above.append(bottom - top)
    return min(above, default=None)
