"""A change as a picture: the exploded view in grey, what comes off, out and aside in colour, its steps numbered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.assembly.reach import body_node
from platewright.io.colours import PALETTE
from platewright.io.drawing.callouts import Callout, callout_width, write_callouts
from platewright.io.drawing.canvas import Canvas
from platewright.io.drawing.exploded import exploded, paint_exploded
from platewright.io.drawing.painting import legend, mix
from platewright.io.drawing.plan import MARGIN, SHEET
from platewright.study.results import ServiceRow, ServiceStep

__all__ = ["service_svg"]

_REST = "#e4e4e4"
_SEEN = 0.15  # area of a body in sight to which a step may point [mm^2 on the page]
_GROUPS: Mapping[str, tuple[str, str]] = {
    "take out": (PALETTE["vermillion"], "comes off"),
    "take off": (PALETTE["vermillion"], "comes off"),
    "undo": (PALETTE["blue"], "screws that come out"),
    "set aside": (PALETTE["sky blue"], "set aside"),
    "lift off": (PALETTE["yellow"], "lifted off on the way"),
    "move away": (PALETTE["yellow"], "lifted off on the way"),
}


def service_svg(assembly: Assembly, row: ServiceRow, size: tuple[float, float] = SHEET, gap_mm: float = 26.0) -> str:
    """Draw how a thing comes off.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    row : ServiceRow
        What comes off, and its steps.
    size : (float, float)
        Width and height of the picture [mm].
    gap_mm : float
        By which neighbouring levels are moved apart [mm].
    """
    thing = row.copies[0] if len(row.copies) > 1 else row.thing
    canvas = Canvas(*size, f"{assembly.design.frame.name}: how {thing} comes off")
    painter = [s for s in row.steps if s.action in _GROUPS]
    colours: dict[str, str] = {}
    used: dict[str, str] = {}

    def fill(body: Body) -> str:
        if body.name not in colours:
            step = next((s for s in painter if _is_of(body, s)), None)
            colours[body.name] = _GROUPS[step.action][0] if step is not None else _REST
            if step is not None:
                used[_GROUPS[step.action][1]] = mix(_GROUPS[step.action][0], 0.2)
        return mix(colours[body.name], 0.2) if colours[body.name] != _REST else _REST

    texts = [_text(step) for step in row.steps]
    painted = paint_exploded(canvas, exploded(assembly, gap_mm), callout_width([(t, 0.0, 0.0) for t in texts]), fill)
    for body, shape in painted:  # what lies behind something else shows as a dashed line
        if colours[body.name] != _REST:
            _ghost(canvas, shape, colours[body.name])
    callouts, unseen = _callouts(row.steps, painted)
    write_callouts(canvas, callouts, MARGIN)
    canvas.text(MARGIN, 11.0, f"{assembly.design.frame.name}: {thing} off and on", 5.5, bold=True)
    tools = ", ".join(row.tools) or "no tools"
    canvas.text(MARGIN, 16.0, f"{row.screws} screws · {tools} · about {row.minutes:.0f} min out and back", 2.6)
    y = legend(canvas, MARGIN, 23.0, [(colour, name) for name, colour in used.items()])
    for text in unseen:
        canvas.text(MARGIN, y, f"not drawn: {text}", 2.5)
        y += 4.2
    return canvas.svg()


def _text(step: ServiceStep) -> str:
    screws = f": {', '.join(step.screws)}" if step.screws else ""
    return f"{step.number}  {step.action} {step.what}{screws}"


def _is_of(body: Body, step: ServiceStep) -> bool:
    """Whether a step is about a body."""
    return any(
        body.name == name or body_node(body) == name or (body.name.startswith(f"{name}.") and not body.line)
        for name in step.bodies
        if body.role != "plate" or body.name == name
    )


def _callouts(
    steps: Sequence[ServiceStep], painted: Sequence[tuple[Body, shapely.Geometry]]
) -> tuple[list[Callout], list[str]]:
    """Point each step at the rightmost sight of its bodies, or where they hide; return also steps without bodies."""
    best: dict[int, tuple[float, float]] = {}
    hidden: dict[int, tuple[float, float]] = {}
    over: shapely.Geometry = shapely.Polygon()
    for body, shape in reversed(painted):
        for step in (s for s in steps if _is_of(body, s)):
            x, y = shapely.get_coordinates(shapely.point_on_surface(shape)).tolist()[0]
            hidden.setdefault(step.number, (x, y))
            for part in shapely.get_parts(shapely.difference(shape, over)).tolist():
                if shapely.area(part) < _SEEN:
                    continue
                middle = shapely.get_coordinates(shapely.point_on_surface(part)).tolist()[0]
                if step.number not in best or middle[0] > best[step.number][0]:
                    best[step.number] = (middle[0], middle[1])
        over = shapely.union(over, shape)
    points = hidden | best
    found = [(_text(s), *points[s.number]) for s in steps if s.number in points]
    return found, [_text(s) for s in steps if s.number not in points]


def _ghost(canvas: Canvas, shape: shapely.Geometry, colour: str) -> None:
    for part in shapely.get_parts(shape).tolist():
        points = [(x, y) for x, y in shapely.get_coordinates(shapely.get_exterior_ring(part)).tolist()]
        canvas.polygon(points, fill="none", stroke=colour, stroke_width=0.25, stroke_dasharray="1 0.7")
