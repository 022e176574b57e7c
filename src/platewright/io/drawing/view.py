"""What a camera sees of its own craft, as a picture: every prism's figure in the image, the nearest painted last."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.rays import first_hits
from platewright.fit.solids import Prism, prisms_of_body
from platewright.fit.view import Eye, Seen
from platewright.io.drawing.canvas import INK, Canvas, number
from platewright.io.drawing.dimensions import THIN
from platewright.io.drawing.painting import ROLE_ORDER, is_disc, legend, role_fill
from platewright.io.drawing.plan import MARGIN, place_tints

__all__ = ["figures_in_view", "view_svg"]

_WIDTH = 150.0  # of the image on the sheet [mm]
_STEP = 1.0  # edges are taken as pieces of at most this [mm]
_FRONT = 0.5  # what is not so far in front of the eye is cut off [mm]
_CHORD = 0.05  # distance of chords from arcs [mm]
_COLUMNS = 3  # of the list below the image
_LEAST = 0.0005  # smaller shares of the image are not named [-]
_SKY, _GROUND = "#dfeaf2", "#e9e6dc"
_DISC_OPACITY = 0.4

Points3 = NDArray[np.float64]


@dataclass(frozen=True)
class _Shape:
    body: Body
    number: int
    prism: Prism
    figure: shapely.Geometry


def view_svg(assembly: Assembly, seen: Seen) -> str:
    """Draw what a camera sees.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    seen : Seen
        What takes which share of the image.
    """
    eye = seen.eye
    height = _WIDTH * eye.aspect
    frame = shapely.box(-1.0, -eye.aspect, 1.0, eye.aspect)
    shapes = _ordered(_shapes(assembly.bodies, eye, frame), eye)
    name = assembly.design.frame.name
    canvas = Canvas(
        _WIDTH + 2 * MARGIN,
        height + 2 * MARGIN + 20.0 + 4.2 * math.ceil(len(_named(seen)) / _COLUMNS),
        f"{name}: view of {eye.camera}",
    )
    canvas.text(MARGIN, 11.0, f"{name}: view of {eye.camera}", 5.5, bold=True)
    wide, high = (round(2 * math.degrees(a)) for a in (eye.half_angle, eye.half_height_angle))
    formula = "r proportional to the angle" if eye.projection == "fisheye" else "r proportional to its tangent"
    canvas.text(
        MARGIN,
        16.0,
        f"{eye.view}: {wide} x {high} deg, plus or minus {math.degrees(eye.tolerance):.0f} · {eye.projection} "
        f"projection ({formula}) · tilted {math.degrees(math.asin(eye.axes[2, 2])):.0f} deg",
        2.6,
    )
    x0, y0, scale = MARGIN + _WIDTH / 2, 20.0 + height / 2, _WIDTH / 2
    canvas.rectangle(MARGIN, 20.0, _WIDTH, height, fill=_SKY)
    _horizon(canvas, eye, frame, (x0, y0, scale))
    tints = place_tints(assembly)
    for shape in shapes:
        disc = is_disc(shape.body, shape.number)
        fill = tints[shape.body.owner] if shape.body.role == "plate" else role_fill(shape.body.role)
        style: dict[str, str | float] = {"fill": fill, "fill_rule": "evenodd", "stroke": INK, "stroke_width": 0.1}
        if disc:
            style |= {"fill_opacity": _DISC_OPACITY, "stroke": fill, "stroke_width": 0.2}
        canvas.path(
            _commands(shape.figure, x0, y0, scale), **style, **{"class": f"{shape.body.role} {shape.body.name}"}
        )
    canvas.line(x0 - 3, y0, x0 + 3, y0, stroke_width=THIN)
    canvas.line(x0, y0 - 3, x0, y0 + 3, stroke_width=THIN)
    canvas.rectangle(MARGIN, 20.0, _WIDTH, height, fill="none", stroke=INK, stroke_width=0.3)
    _shares(canvas, assembly, seen, 20.0 + height + 7.0, tints)
    return canvas.svg()


def figures_in_view(bodies: Iterable[Body], eye: Eye) -> list[tuple[Body, shapely.Geometry]]:
    """Return each prism's figure within the image, in half widths of it; what is behind the eye is cut off."""
    frame = shapely.box(-1.0, -eye.aspect, 1.0, eye.aspect)
    return [(shape.body, shape.figure) for shape in _shapes(bodies, eye, frame)]


def _shares(canvas: Canvas, assembly: Assembly, seen: Seen, y: float, tints: dict[str, str]) -> None:
    """Say under the picture what takes how much of it."""
    rank = {role: n for n, role in enumerate(("propeller", *ROLE_ORDER))}
    roles: dict[str, str] = {}
    for body in assembly.bodies:  # a motor is not painted as its screws are
        roles[body.owner] = min(body.role, roles.get(body.owner, body.role), key=lambda r: rank.get(r, 0))
    total = f"{100 * seen.propellers:.1f} % of the image propellers, {100 * seen.body:.1f} % body"
    canvas.text(MARGIN, y, total, 2.8, bold=True)
    rows = [
        (tints.get(owner, role_fill(roles[owner])), f"{owner}, {100 * share:.1f} %")
        for owner, share in _named(seen).items()
    ]
    for column in range(_COLUMNS):
        legend(canvas, MARGIN + column * _WIDTH / _COLUMNS, y + 5.0, rows[column::_COLUMNS])


def _named(seen: Seen) -> dict[str, float]:
    """Owners that can be made out in the image."""
    return {owner: share for owner, share in seen.owners.items() if share >= _LEAST}


def _horizon(canvas: Canvas, eye: Eye, frame: shapely.Polygon, at: tuple[float, float, float]) -> None:
    """Fill what lies below the level of the eye, up to the horizon."""
    turns = np.radians(np.linspace(-85.0, 85.0, 171))
    level = eye.axes[2].copy()
    level[2] = 0.0
    level /= np.linalg.norm(level)
    right = eye.axes[0]
    far = np.outer(np.cos(turns), level) + np.outer(np.sin(turns), right)
    far = far[far @ eye.axes[2] > 0.05]
    line = eye.project(eye.point + 1e6 * far)
    below = shapely.Polygon([*line.tolist(), (line[-1, 0], -9.0), (line[0, 0], -9.0)]).buffer(0)
    ground = shapely.intersection(below, frame)
    if not ground.is_empty:
        canvas.path(_commands(ground, *at), fill=_GROUND)


def _shapes(bodies: Iterable[Body], eye: Eye, frame: shapely.Polygon) -> list[_Shape]:
    made = []
    for body in bodies:
        if body.name == eye.camera:
            continue
        for n, prism in enumerate(prisms_of_body(body)):
            figure = shapely.intersection(_figure(prism, eye), frame)
            if figure.area > 1e-6:
                made.append(_Shape(body, n, prism, figure))
    return made


def _figure(prism: Prism, eye: Eye) -> shapely.Geometry:
    """Return the union of a prism's faces and sides in the image."""
    section = shapely.simplify(prism.section.polygon, _CHORD)
    faces = [_face(section, prism, height, eye) for height in (prism.low, prism.high)]
    sides = [_quad(a, b, prism, eye) for a, b in _edges(section)]
    return shapely.union_all([f for f in (*faces, *sides) if f is not None and not f.is_empty])


def _face(section: shapely.Polygon, prism: Prism, height: float, eye: Eye) -> shapely.Geometry | None:
    """Return one face, cut off where it passes the eye."""
    forward = eye.axes[2]
    a, b = float(prism.axes[0] @ forward), float(prism.axes[1] @ forward)
    c = float((prism.origin + height * prism.axes[2] - eye.point) @ forward) - _FRONT
    size = math.hypot(a, b)
    if size > 1e-9:
        nx, ny, reach = a / size, b / size, 1e4
        foot = (-c / size * nx, -c / size * ny)
        corners = [
            (foot[0] + u * reach * nx - v * reach * ny, foot[1] + u * reach * ny + v * reach * nx)
            for u, v in ((0, -1), (1, -1), (1, 1), (0, 1))
        ]
        section = shapely.intersection(section, shapely.Polygon(corners))
    elif c < 0:
        return None
    dense = shapely.segmentize(section, _STEP)
    if dense.is_empty:
        return None

    def image(points: Points3) -> Points3:
        space = prism.origin + points @ prism.axes[:2] + height * prism.axes[2]
        return eye.project(space)

    return shapely.make_valid(shapely.transform(dense, image))


def _edges(section: shapely.Polygon) -> Iterable[tuple[Points3, Points3]]:
    for polygon in shapely.get_parts(section):
        for ring in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(shapely.segmentize(ring, 10 * _STEP))
            yield from pairwise(points)


def _quad(a: Points3, b: Points3, prism: Prism, eye: Eye) -> shapely.Geometry | None:
    """Return one strip of a prism's side in the image."""
    base = [prism.origin + p @ prism.axes[:2] for p in (a, b)]
    up = prism.axes[2]
    ring = [base[0] + prism.low * up, base[1] + prism.low * up, base[1] + prism.high * up, base[0] + prism.high * up]
    ahead = [float((p - eye.point) @ eye.axes[2]) - _FRONT for p in ring]
    if max(ahead) <= 0:
        return None
    points: list[Points3] = []
    for k in range(4):
        p, q, d, e = ring[k], ring[(k + 1) % 4], ahead[k], ahead[(k + 1) % 4]
        pieces = max(math.ceil(float(np.linalg.norm(q - p)) / (4 * _STEP)), 1)
        if d < 0 < e or e < 0 < d:
            cut = p + (q - p) * d / (d - e)
            p, q = (cut, q) if d < 0 else (p, cut)
        elif d <= 0:
            continue
        points += [p + (q - p) * t for t in np.linspace(0.0, 1.0, pieces, endpoint=d > 0 > e).tolist()]
    if len(points) < 3:
        return None
    return shapely.make_valid(shapely.Polygon(eye.project(np.array(points))))


def _ordered(shapes: Sequence[_Shape], eye: Eye) -> list[_Shape]:
    """Sort so that what hides another comes after it: asked along one line of sight through each shared area."""
    hides: dict[int, set[int]] = {k: set() for k in range(len(shapes))}  # those that must be painted before
    tree = [s.figure.bounds for s in shapes]
    for m, n in combinations(range(len(shapes)), 2):
        (ax, ay, aw, ah), (bx, by, bw, bh) = tree[m], tree[n]
        if ax >= bw or bx >= aw or ay >= bh or by >= ah:
            continue
        shared = shapely.intersection(shapes[m].figure, shapes[n].figure)
        if shared.area < 1e-7:
            continue
        point = shapely.get_coordinates(shapely.point_on_surface(shared))[0]
        way = eye.ways(np.array([point[0]]), np.array([point[1]]))
        one, other = (float(first_hits([shapes[k].prism], eye.point, way)[1][0]) for k in (m, n))
        nearer, farther = (m, n) if one < other else (n, m)
        hides[nearer].add(farther)
    order: list[int] = []
    waiting = sorted(hides, key=lambda k: -_distance(shapes[k], eye))
    while waiting:
        free = next((k for k in waiting if not hides[k] - set(order)), waiting[0])
        order.append(free)
        waiting.remove(free)
    return [shapes[k] for k in order]


def _distance(shape: _Shape, eye: Eye) -> float:
    return float(np.linalg.norm(shape.prism.box.mean(axis=0) - eye.point))


def _commands(figure: shapely.Geometry, x0: float, y0: float, scale: float) -> str:
    """Return the SVG path of all polygons of a figure."""
    rings = []
    for part in shapely.get_parts(figure):
        if part.geom_type != "Polygon":
            continue
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(shapely.simplify(ring, 0.0005))[:-1]
            rings.append(
                "M" + "L".join(f"{number(x0 + scale * x, 2)} {number(y0 - scale * y, 2)}" for x, y in points) + "Z"
            )
    return "".join(rings)
