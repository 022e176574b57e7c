"""Pictures of the air about a frame: the wakes seen from the side, and the download seen from above."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from platewright.fit.discs import Disc
from platewright.io.colours import PALETTE
from platewright.io.drawing.canvas import Canvas, number
from platewright.io.drawing.paths import Projection
from platewright.io.field_colours import band_codes
from platewright.rotor.download import wake_radius
from platewright.study.flight_bodies import AirBody
from platewright.study.flight_download import Washed

__all__ = ["download_svg", "wakes_svg"]

_EDGE, _HEAD = 10.0, 28.0
_WAKES = (PALETTE["sky blue"], PALETTE["bluish green"], PALETTE["vermillion"])
_PLATE, _THING = "#b8b8b8", "#8c8c8c"
_BANDS = 8
_SCALE_WIDTH = 30.0


def wakes_svg(
    frame: str, bodies: Sequence[AirBody], discs: Sequence[Disc], skews: Sequence[tuple[float, float]]
) -> str:
    """Return a frame from the right, nose to the right, with the front wakes passing the discs behind.

    Parameters
    ----------
    frame : str
        Its name.
    bodies : sequence of AirBody
        From `air_bodies` [mm].
    discs : sequence of Disc
        From `discs_of` [mm].
    skews : sequence of (float, float)
        Speed [m/s] and angle of the wake of the foremost disc from its axis [rad].

    Notes
    -----
    The frame is drawn level, as the discs see it: the air comes from the right and from above.
    """
    foremost = max(discs, key=lambda d: (d.x, d.z))
    radius = foremost.diameter / 2
    left, right = min(d.x for d in discs) - 1.6 * radius, max(d.x for d in discs) + 1.2 * radius
    low = min([*(b.bottom for b in bodies), foremost.z - 2.2 * radius])
    high = max([*(b.top for b in bodies), max(d.z for d in discs)]) + 6.0
    canvas = Canvas(right - left + 2 * _EDGE, high - low + _HEAD + _EDGE, f"{frame}: wakes of the front rotors")
    canvas.text(_EDGE, 9.0, f"{frame}: wakes of the front rotors", size=5.0, bold=True)
    said = (
        "from the right, nose to the right, drawn level: air comes from ahead and, the more the craft tilts, from above"
    )
    canvas.text(_EDGE, 22.5, said, size=3.2)
    place = Projection.upright(1.0, _EDGE - left, _HEAD + high)
    canvas.open_window("air", _EDGE, _HEAD, right - left, high - low)
    for (_, skew), colour in zip(skews, _WAKES, strict=False):
        length = 20 * radius
        away = (-length * math.sin(skew), -length * math.cos(skew))
        ends = [(foremost.x + s * radius, foremost.z) for s in (-1.0, 1.0)]
        corners = [*ends, *((x + away[0], z + away[1]) for x, z in reversed(ends))]
        canvas.polygon([place(*p) for p in corners], fill=colour, fill_opacity=0.18, stroke="none")
        for x, z in ends:
            canvas.line(*place(x, z), *place(x + away[0], z + away[1]), stroke=colour, stroke_width=0.5)
    canvas.close_window()
    for body in sorted(bodies, key=lambda b: -b.top):
        _shape(canvas, body.side, place, fill=_PLATE if body.kind in ("arm", "base", "deck", "brace") else _THING)
    for disc in discs:
        ends = [place(disc.x + s * disc.diameter / 2, disc.z) for s in (-1.0, 1.0)]
        canvas.line(*ends[0], *ends[1], stroke=PALETTE["black"], stroke_width=0.9)
    for n, ((speed, skew), colour) in enumerate(zip(skews, _WAKES, strict=False)):
        x = _EDGE + 62.0 * n
        canvas.rectangle(x, 13.2, 5.0, 3.0, fill=colour, fill_opacity=0.5, stroke=colour, stroke_width=0.4)
        canvas.text(x + 7.0, 16.0, f"{speed:.0f} m/s, {math.degrees(skew):.0f} deg", size=3.6)
    return canvas.svg()


def download_svg(
    frame: str, bodies: Sequence[AirBody], discs: Sequence[Disc], washed: Sequence[Washed], mass_g: float
) -> str:
    """Return a frame from above, nose up, with what stands in the propellers' air coloured by what it costs.

    Parameters
    ----------
    frame : str
        Its name.
    bodies : sequence of AirBody
        From `air_bodies` [mm].
    discs : sequence of Disc
        From `discs_of` [mm].
    washed : sequence of Washed
        From `washed_pieces`.
    mass_g : float
        Ready to fly, to say costs in grams.
    """
    radius = max(d.diameter for d in discs) / 2
    reach_y = max(abs(d.y) for d in discs) + radius + 4.0
    top, bottom = max(d.x for d in discs) + radius + 4.0, min(d.x for d in discs) - radius - 4.0
    title = f"{frame}: thrust lost to what stands in the propellers' air"
    width = max(2 * reach_y + 2 * _EDGE + _SCALE_WIDTH, 190.0)
    canvas = Canvas(width, top - bottom + _HEAD + _EDGE, title)
    canvas.text(_EDGE, 9.0, title, size=5.0, bold=True)
    canvas.text(_EDGE, 15.5, "seen from above, nose up; dashed: the air at the height of the arms", size=3.6)
    # x of the frame is up on the page, y to the left
    place = Projection(0.0, -1.0, -1.0, 0.0, _EDGE + reach_y, _HEAD + top)
    for body in sorted(bodies, key=lambda b: b.top):
        if body.kind in ("arm", "base", "deck", "brace", "battery", "camera", "motor"):
            colour = "#e4e4e4" if body.kind in ("arm", "base", "deck", "brace") else "#d0d0d0"
            _shape(canvas, body.plan, place, fill=colour)
    costs = [w.lost * mass_g for w in washed]
    most = max(costs, default=0.0) or 1.0
    codes = band_codes(_BANDS)
    for piece, cost in zip(washed, costs, strict=True):
        band = min(int(cost / most * _BANDS), _BANDS - 1)
        _shape(canvas, piece.piece, place, fill=codes[band])
    for disc in discs:
        centre = place(disc.x, disc.y)
        canvas.circle(*centre, disc.diameter / 2, fill="none", stroke=PALETTE["black"], stroke_width=0.4)
        depths = [w.depth for w in washed if w.body.kind == "arm"]
        if depths:
            narrow = wake_radius(max(depths), disc.diameter / 2)
            canvas.circle(
                *centre, narrow, fill="none", stroke=PALETTE["blue"], stroke_width=0.4, stroke_dasharray="2 1.4"
            )
    x, base = width - _SCALE_WIDTH + 4.0, _HEAD + (top - bottom) / 2 + 2.5 * _BANDS
    canvas.text(x, base - 5.0 * _BANDS - 3.0, "g, each piece", size=3.4, bold=True)
    for n, code in enumerate(codes):
        canvas.rectangle(x, base - 5.0 * (n + 1), 6.0, 5.0, fill=code)
        canvas.text(x + 8.0, base - 5.0 * n + 1.2, number(most * n / _BANDS, 2), size=3.2)
    canvas.text(x + 8.0, base - 5.0 * _BANDS + 1.2, number(most, 2), size=3.2)
    return canvas.svg()


def _shape(canvas: Canvas, shape: shapely.Geometry, place: Projection, fill: str) -> None:
    """Draw polygons with their holes."""
    commands = []
    for polygon in shapely.get_parts(shape).tolist():
        if shapely.get_dimensions(polygon) < 2:
            continue
        for ring in (polygon.exterior, *polygon.interiors):
            points = " ".join(f"{number(u)} {number(v)}" for u, v in (place(x, y) for x, y in ring.coords))
            commands.append(f"M{points}Z")
    if commands:
        canvas.path("".join(commands), fill=fill, fill_rule="evenodd", stroke="#5a5a5a", stroke_width=0.15)
