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
_NARROWEST = 190.0  # of a picture [mm]; words grow with what is wider
_ONE_PLACE = 1.0  # discs as far ahead, within [mm]
_LABELLED = 0.15  # pieces that cost less than this share of the costliest carry no number


def wakes_svg(
    frame: str, bodies: Sequence[AirBody], discs: Sequence[Disc], skews: Sequence[tuple[float, Sequence[float]]]
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
    skews : sequence of (float, sequence of float)
        Speed [m/s] and angle of the wake of each disc from its axis [rad].

    Notes
    -----
    The frame is drawn level, as the discs see it: the air comes from the right and from above.
    """
    ahead = {round(d.z, 1): n for n, d in enumerate(discs) if d.x > max(e.x for e in discs) - _ONE_PLACE}
    foremost = [discs[n] for n in ahead.values()]
    radius = foremost[0].diameter / 2
    left, right = min(d.x for d in discs) - 1.6 * radius, max(d.x for d in discs) + 1.2 * radius
    low = min([*(b.bottom for b in bodies), min(d.z for d in foremost) - 2.2 * radius])
    high = max([*(b.top for b in bodies), max(d.z for d in discs)]) + 6.0
    width = max(right - left + 2 * _EDGE, _NARROWEST)
    s = width / _NARROWEST  # a large frame's picture is shown smaller, and its words must stay legible
    head = _HEAD * s
    canvas = Canvas(width, high - low + head + _EDGE, f"{frame}: wakes of the front rotors")
    canvas.text(_EDGE, 9.0 * s, f"{frame}: wakes of the front rotors", size=5.0 * s, bold=True)
    said = (
        "from the right, nose to the right, drawn level: air comes from ahead and, the more the craft tilts, from above"
    )
    canvas.text(_EDGE, 22.5 * s, said, size=3.2 * s)
    place = Projection.upright(1.0, _EDGE - left, head + high)
    canvas.open_window("air", _EDGE, head, right - left, high - low)
    drawn = [
        (angles[n], colour, discs[n])
        for (_, angles), colour in zip(skews, _WAKES, strict=False)
        for n in ahead.values()
    ]
    for skew, colour, disc in drawn:
        length = 20 * radius
        away = (-length * math.sin(skew), -length * math.cos(skew))
        ends = [(disc.x + side * radius, disc.z) for side in (-1.0, 1.0)]
        corners = [*ends, *((x + away[0], z + away[1]) for x, z in reversed(ends))]
        canvas.polygon([place(*p) for p in corners], fill=colour, fill_opacity=0.18, stroke="none")
        for x, z in ends:
            canvas.line(*place(x, z), *place(x + away[0], z + away[1]), stroke=colour, stroke_width=0.5)
    canvas.close_window()
    for body in sorted(bodies, key=lambda b: -b.top):
        _shape(canvas, body.side, place, fill=_PLATE if body.kind in ("arm", "base", "deck", "brace") else _THING)
    for disc in discs:
        rim = [place(disc.x + side * disc.diameter / 2, disc.z) for side in (-1.0, 1.0)]
        canvas.line(*rim[0], *rim[1], stroke=PALETTE["black"], stroke_width=0.9)
    for k, ((speed, angles), colour) in enumerate(zip(skews, _WAKES, strict=False)):
        x = _EDGE + 62.0 * s * k
        canvas.rectangle(x, 13.2 * s, 5.0 * s, 3.0 * s, fill=colour, fill_opacity=0.5, stroke=colour, stroke_width=0.4)
        skewed = " and ".join(dict.fromkeys(f"{math.degrees(angles[n]):.0f}" for n in ahead.values()))
        canvas.text(x + 7.0 * s, 16.0 * s, f"{speed:.0f} m/s, {skewed} deg", size=3.6 * s)
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
    s = max((2 * reach_y + 2 * _EDGE) / (_NARROWEST - _SCALE_WIDTH), 1.0)
    width, head = max(2 * reach_y + 2 * _EDGE + _SCALE_WIDTH * s, _NARROWEST), _HEAD * s
    canvas = Canvas(width, top - bottom + head + _EDGE, title)
    canvas.text(_EDGE, 9.0 * s, title, size=5.0 * s, bold=True)
    costliest = max(washed, key=lambda w: w.lost, default=None)
    seen = "seen from above, nose up; numbers in grams; dashed: the air at the height of what costs most"
    canvas.text(_EDGE, 15.5 * s, seen, size=3.4 * s)
    # x of the frame is up on the page, y to the left
    place = Projection(0.0, -1.0, -1.0, 0.0, _EDGE + reach_y, head + top)
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
        if costliest is not None:
            narrow = wake_radius(costliest.depth, disc.diameter / 2)
            canvas.circle(
                *centre, narrow, fill="none", stroke=PALETTE["blue"], stroke_width=0.4, stroke_dasharray="2 1.4"
            )
    for piece, cost in zip(washed, costs, strict=True):
        if cost >= _LABELLED * most:
            x, y = shapely.get_coordinates(shapely.point_on_surface(piece.piece))[0].tolist()
            u, v = place(x, y)
            canvas.text(u, v + 1.2 * s, number(cost, 1), size=3.4 * s, anchor="middle", halo=True)
    x, base, step = width - (_SCALE_WIDTH - 4.0) * s, head + (top - bottom) / 2 + 2.5 * _BANDS * s, 5.0 * s
    canvas.text(x, base - step * _BANDS - 3.0 * s, "g, each piece", size=3.4 * s, bold=True)
    for n, code in enumerate(codes):
        canvas.rectangle(x, base - step * (n + 1), 6.0 * s, step, fill=code)
        canvas.text(x + 8.0 * s, base - step * n + 1.2 * s, number(most * n / _BANDS, 2), size=3.2 * s)
    canvas.text(x + 8.0 * s, base - step * _BANDS + 1.2 * s, number(most, 2), size=3.2 * s)
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
