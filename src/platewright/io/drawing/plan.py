"""The plan: a frame seen from above, nose up, with its rotors, spacings and a list of its plates."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Cylinder
from platewright.assembly.stance import Rotor
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import THIN, dimension, millimetres, scale_bar
from platewright.io.drawing.facts import Spacing, plate_levels, rotor_spacing, standing_places
from platewright.io.drawing.painting import ROLE_ORDER, is_disc, legend, mix, paint, plate_tints, role_fill
from platewright.io.drawing.silhouettes import TOP, Figure, figures

__all__ = ["picture_scale", "place_tints", "plan_svg"]

SHEET = (289.0, 202.0)  # A4 within margins of 4 mm [mm]
MARGIN = 6.0  # white about the picture [mm]
_LEGEND = 70.0  # width kept for the list [mm]
_TOP, _SIDE, _FOOT = 18.0, 20.0, 20.0  # room for the title, the dimensions at the left and those below [mm]


def plan_svg(assembly: Assembly, mass_g: float | None = None, size: tuple[float, float] = SHEET) -> str:
    """Draw a frame from above.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    mass_g : float, optional
        Mass of the bare frame, if it is to be printed [g].
    size : (float, float)
        Width and height of the picture [mm].
    """
    width, height = size
    name = assembly.design.frame.name
    canvas = Canvas(width, height, f"{name}: plan")
    shapes = figures(assembly.bodies, TOP)
    left, low, right, high = _bounds(shapes)
    room_x, room_y = width - MARGIN - _LEGEND - _SIDE - 8, height - _TOP - _FOOT
    scale = picture_scale(right - left, high - low, room_x, room_y)
    x0 = _SIDE + room_x / 2 - scale * (left + right) / 2
    y0 = _TOP + room_y / 2 + scale * (low + high) / 2
    tints = place_tints(assembly)
    paint(canvas, shapes, tints, scale, x0, y0)
    reach = _disc_radii(assembly)
    spacing = rotor_spacing(assembly.axes)
    if spacing is not None:
        box = (x0 + scale * left, y0 - scale * low, x0 + scale * right)
        _spacings(canvas, spacing, assembly.axes, reach, scale, (x0, y0), box)
    _rotors(canvas, assembly.rotors, reach, scale, x0, y0)
    canvas.text(MARGIN, 11.0, name, 5.5, bold=True)
    canvas.text(MARGIN, 16.0, f"plan, seen from above, nose up · scale 1:{millimetres(1 / scale)}", 2.6)
    _list(canvas, assembly, tints, spacing, mass_g, width - MARGIN - _LEGEND, 10.0)
    scale_bar(canvas, width - MARGIN - _LEGEND, height - 12.0, scale, _LEGEND - 12)
    return canvas.svg()


def picture_scale(width: float, height: float, room_x: float, room_y: float) -> float:
    """Return the greatest scale of a plain ratio at which a picture fits [-].

    Examples
    --------
    >>> picture_scale(300.0, 200.0, 150.0, 150.0)
    0.5
    """
    ratios = [
        0.2,
        0.25,
        0.5,
        1.0,
        1.25,
        1.5,
        1.75,
        2.0,
        2.25,
        2.5,
        2.75,
        3.0,
        3.5,
        4.0,
        5.0,
        6.0,
        8.0,
        10.0,
        15.0,
        20.0,
    ]
    most = max(width / room_x, height / room_y)
    return 1 / next((r for r in ratios if r >= most - 1e-9), most)


def place_tints(assembly: Assembly) -> dict[str, str]:
    """Return the fill of every place: rising tints for horizontal ones, a middle one for those on edge."""
    tints = plate_tints([row.place for row in plate_levels(assembly)])
    return tints | {place: mix("#000000", 0.6) for place, _, _ in standing_places(assembly)}


def _bounds(shapes: Sequence[Figure]) -> tuple[float, float, float, float]:
    boxes = [f.box for f in shapes] or [(-50.0, -50.0, 50.0, 50.0)]
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def _disc_radii(assembly: Assembly) -> dict[int, float]:
    """Radius of the disc that each rotor sweeps [mm]."""
    radii: dict[int, float] = {}
    for body in assembly.bodies:
        for n, solid in enumerate(body.solids):
            if is_disc(body, n) and isinstance(solid.shape, Cylinder):
                radii[int(body.name.rsplit(".", 1)[1])] = solid.shape.radius
    return radii


def _rotors(
    canvas: Canvas, rotors: Sequence[Rotor], reach: Mapping[int, float], scale: float, x0: float, y0: float
) -> None:
    for rotor in rotors:
        x, y = x0 - scale * rotor.y, y0 - scale * rotor.x
        for dx, dy in ((2.2, 0.0), (0.0, 2.2)):
            canvas.line(x - dx, y - dy, x + dx, y + dy, stroke_width=THIN)
        radius = reach.get(rotor.number, 0.0) * scale
        if radius <= 0:  # no propeller: the number and the sense beside the axis
            down = 4.2 if rotor.below else -2.2
            canvas.text(x + 3.0, y + down, _rotor_text(rotor), 2.6, bold=True, halo=True)
            continue
        colour = role_fill("propeller")
        if not rotor.below:
            canvas.circle(x, y, radius, fill="none", stroke=colour, stroke_width=0.25, stroke_dasharray="2 1")
        _turning(canvas, rotor, x, y, radius, colour)


def _rotor_text(rotor: Rotor) -> str:
    return f"{rotor.number} {rotor.turns}" + (" below" if rotor.below else "")


def _turning(canvas: Canvas, rotor: Rotor, x: float, y: float, radius: float, colour: str) -> None:
    """Draw an arc with its arrow and the rotor's number toward nose or tail; a lower rotor's arc is the inner one."""
    side = math.copysign(1.0, -rotor.y) if abs(rotor.y) > 1e-9 else 1.0
    fore = -math.copysign(1.0, rotor.x) if abs(rotor.x) > 1e-9 else 0.0
    middle = math.atan2(fore, 0.0 if fore else side)  # toward the nose or the tail
    ring = radius * (0.58 if rotor.below else 0.84)
    half = 0.42
    clockwise = rotor.turns == "cw"
    a, b = (middle - half, middle + half) if clockwise else (middle + half, middle - half)
    start = (x + ring * math.cos(a), y + ring * math.sin(a))
    end = (x + ring * math.cos(b), y + ring * math.sin(b))
    sweep = 1 if clockwise else 0
    canvas.path(
        f"M{start[0]:.3f} {start[1]:.3f} A{ring:.3f} {ring:.3f} 0 0 {sweep} {end[0]:.3f} {end[1]:.3f}",
        fill="none",
        stroke=colour,
        stroke_width=0.45,
    )
    tangent = b + (math.pi / 2 if clockwise else -math.pi / 2)
    bend = -1.6 / ring if clockwise else 1.6 / ring
    canvas.arrow(end[0] + 1.2 * math.cos(tangent), end[1] + 1.2 * math.sin(tangent), tangent + bend, 3.0, colour, 0.3)
    inner = ring - 4.2
    canvas.text(
        x + inner * math.cos(middle),
        y + inner * math.sin(middle) + 1.1,
        _rotor_text(rotor),
        3.0,
        "middle",
        bold=True,
        halo=True,
    )


def _spacings(
    canvas: Canvas,
    spacing: Spacing,
    axes: Sequence[tuple[float, float]],
    reach: Mapping[int, float],
    scale: float,
    origin: tuple[float, float],
    box: tuple[float, float, float],
) -> None:
    """Draw fore-aft at the left, lateral below, the wheelbase along its own line."""
    x0, y0 = origin
    left, bottom, _ = box

    def page(axis: tuple[float, float]) -> tuple[float, float]:
        return x0 - scale * axis[1], y0 - scale * axis[0]

    front = max(axes, key=lambda a: (round(a[0], 6), a[1]))
    rear = min(axes, key=lambda a: (round(a[0], 6), -a[1]))
    if spacing.fore_aft > 1e-6:
        (xa, ya), (xb, yb) = page(front), page(rear)
        _measured(canvas, (xa, ya), (xb, yb), vertical=left - 7.0, text=millimetres(spacing.fore_aft))
    widest = max(axes, key=lambda a: (round(a[1], 6), -a[0])), min(axes, key=lambda a: (round(a[1], 6), a[0]))
    if spacing.lateral > 1e-6:
        (xa, ya), (xb, yb) = page(widest[0]), page(widest[1])
        _measured(canvas, (xa, ya), (xb, yb), horizontal=bottom + 7.0, text=millimetres(spacing.lateral))
    a, b = sorted((page(spacing.ends[0]), page(spacing.ends[1])))
    angle = math.atan2(b[1] - a[1], b[0] - a[0])
    out = max(reach.values(), default=20.0) * scale
    tip = (b[0] + 0.97 * out * math.cos(angle), b[1] + 0.97 * out * math.sin(angle))
    canvas.line(*a, *tip, stroke_width=THIN, stroke_dasharray="4 0.8 0.8 0.8")
    canvas.arrow(*a, angle + math.pi, 2.0)
    canvas.arrow(*b, angle, 2.0)
    at = 0.62 * out
    lift = 1.0
    canvas.text(
        b[0] + at * math.cos(angle) + lift * math.sin(angle),
        b[1] + at * math.sin(angle) - lift * math.cos(angle),
        f"wheelbase {millimetres(spacing.wheelbase, 1)}",
        2.5,
        "middle",
        turn=math.degrees(angle),
        halo=True,
    )


def _measured(
    canvas: Canvas,
    a: tuple[float, float],
    b: tuple[float, float],
    text: str,
    vertical: float | None = None,
    horizontal: float | None = None,
) -> None:
    """Draw a dimension at a given x or y of the page; the measured points lie on a line of its own direction."""
    if vertical is not None:
        x = min(a[0], b[0])
        for p in (a, b):
            if p[0] - x > 1e-6:
                canvas.line(x, p[1], p[0], p[1], stroke_width=THIN)
        dimension(canvas, (x, a[1]), (x, b[1]), x - vertical, text)
    elif horizontal is not None:
        y = max(a[1], b[1])
        for p in (a, b):
            if y - p[1] > 1e-6:
                canvas.line(p[0], p[1], p[0], y, stroke_width=THIN)
        dimension(canvas, (a[0], y), (b[0], y), horizontal - y, text)


def _list(
    canvas: Canvas,
    assembly: Assembly,
    tints: Mapping[str, str],
    spacing: Spacing | None,
    mass_g: float | None,
    x: float,
    y: float,
) -> None:
    canvas.text(x, y, "Plates, from the top", 2.8, bold=True)
    canvas.text(x + _LEGEND, y, "underside z, mm", 2.2, "end")
    y += 4.8
    for row in reversed(plate_levels(assembly)):
        several = f"{row.count} × " if row.count > 1 else ""
        canvas.text(x + _LEGEND, y, f"{row.low:.2f}", 2.5, "end")
        y = legend(canvas, x, y, [(tints[row.place], f"{several}{row.place}, {millimetres(row.thickness)} mm")])
    for place, count, thickness in standing_places(assembly):
        text = f"{f'{count} × ' if count > 1 else ''}{place}, {millimetres(thickness)} mm"
        canvas.text(x + _LEGEND, y, "on edge", 2.3, "end")
        y = legend(canvas, x, y, [(tints[place], text)])
    y += 3.0
    roles = {body.role for body in assembly.bodies}
    canvas.text(x, y, "Fitted to them", 2.8, bold=True)
    top = y + 4.8
    present = [role for role in ROLE_ORDER if role in roles]
    half = (len(present) + 1) // 2
    for column, names in enumerate((present[:half], present[half:])):
        legend(canvas, x + column * _LEGEND / 2, top, [(role_fill(r), r) for r in names])
    y = top + half * 4.2 + 3.0
    canvas.text(x, y, "Figures", 2.8, bold=True)
    y += 4.8
    for label, value in _figures(assembly, spacing, mass_g):
        canvas.text(x, y, label, 2.5)
        canvas.text(x + _LEGEND, y, value, 2.5, "end")
        y += 4.0
    canvas.line(x - 5.0, MARGIN, x - 5.0, canvas.height - MARGIN, stroke_width=THIN, stroke=mix(INK, 0.5))


def _figures(assembly: Assembly, spacing: Spacing | None, mass_g: float | None) -> list[tuple[str, str]]:
    rows = []
    if spacing is not None:
        rows += [
            ("wheelbase", f"{spacing.wheelbase:.1f} mm"),
            ("rotors fore-aft", f"{millimetres(spacing.fore_aft)} mm"),
            ("rotors lateral", f"{millimetres(spacing.lateral)} mm"),
            ("stretch", f"{millimetres(spacing.fore_aft - spacing.lateral)} mm"),
        ]
    discs = sorted(set(_disc_radii(assembly).values()))
    if discs:
        rows.append(("propeller", ", ".join(f"{2 * r:.1f} mm" for r in discs)))
    if mass_g is not None:
        rows.append(("bare frame", f"{mass_g:.1f} g"))
    return rows
