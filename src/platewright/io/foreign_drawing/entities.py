"""Edges and circles gathered from the entities of a drawing, with where each comes from [mm].

Nothing is left out in silence: what is not an edge, or is not shown, is counted by kind, layer and reason.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any

from ezdxf.document import Drawing

from platewright.foundation.errors import DrawingError
from platewright.geometry.biarc import ArcRun
from platewright.geometry.loops import Circle
from platewright.io.foreign_drawing.gathered import Gathered, Passed, Source
from platewright.io.foreign_drawing.smooth import ellipse_run, spline_run

__all__ = ["gather"]

_WORDS = frozenset(
    {"TEXT", "MTEXT", "ATTRIB", "ATTDEF", "DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER"}
    | {"MULTILEADER", "MLEADER", "TOLERANCE", "ACAD_TABLE", "POINT", "VIEWPORT"}
)
_FILLS = frozenset({"HATCH", "MPOLYGON", "WIPEOUT", "IMAGE"})
_BODIES = frozenset(
    {"3DSOLID", "BODY", "REGION", "SURFACE", "EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE", "SWEPTSURFACE"}
    | {"PLANESURFACE", "MESH", "3DFACE", "HELIX"}
)
_DEEPEST_BLOCK = 16
_MOST_ENTITIES = 250_000
_FARTHEST = 1e8  # [mm]
_FLAT = 1e-6  # height within which a drawing counts as flat [-], in units of the drawing
_ROUND = 1e-9  # relative difference of axes below which an ellipse is a circle [-]


def gather(document: Drawing, name: str, scale: float, tolerance: float) -> Gathered:
    """Gather all edges of the model space, those of blocks where the blocks are inserted.

    Parameters
    ----------
    document : Drawing
        The drawing.
    name : str
        Its file's name, for messages.
    scale : float
        Length of a unit of the drawing [mm].
    tolerance : float
        Largest distance of a spline or ellipse from its arcs [mm].

    Raises
    ------
    DrawingError
        If a coordinate is no finite number, or a block contains itself.
    """
    reader = _Reader(document, name, scale, tolerance)
    reader.read(document.modelspace(), ())
    reader.check_finite()
    return reader.found


class _Reader:
    def __init__(self, document: Drawing, name: str, scale: float, tolerance: float) -> None:
        self.found = Gathered()
        self._document, self._name, self._scale, self._tolerance = document, name, scale, tolerance
        self._numbers: dict[tuple[str, str, str], int] = {}
        self._hidden: dict[str, bool] = {}
        self._source = 0
        self._readers: dict[str, Callable[[Any], None]] = {
            "LINE": self._line,
            "ARC": self._arc,
            "CIRCLE": self._circle,
            "LWPOLYLINE": self._light_polyline,
            "POLYLINE": self._polyline,
            "SPLINE": self._spline,
            "ELLIPSE": self._ellipse,
        }

    def read(self, entities: Iterable[Any], within: tuple[str, ...], outer_layer: str = "0") -> None:
        """Read entities; those of layer 0 within a block are on the layer of the block's insertion."""
        if len(within) > _DEEPEST_BLOCK or within[-1:] in [(block,) for block in within[:-1]]:
            msg = (
                f"'{self._name}' nests block '{within[-1]}' in itself, or blocks deeper than {_DEEPEST_BLOCK}; "
                "explode them."
            )
            raise DrawingError(msg)
        for entity in entities:
            kind, layer = entity.dxftype(), "?"
            kept = len(self.found.edges)
            try:
                layer = entity.dxf.layer if entity.dxf.layer != "0" or not within else outer_layer
                if kind == "INSERT":
                    self._insert(entity, layer, within)
                else:
                    self._take(entity, kind, layer)
            except _TiltedError:
                self._pass("tilted", kind, layer)
            except DrawingError:
                raise
            except Exception:  # of a broken entity the library raises whatever it stumbles on
                if kind != "INSERT":
                    del self.found.edges[kept:], self.found.edge_sources[kept:]
                self._pass("broken", kind, layer)

    def check_finite(self) -> None:
        """Refuse coordinates that are no numbers, or too large for a plate on any sheet."""
        circles = (value for c in self.found.circles for value in (c.x, c.y, c.radius))
        edges = (value for start, end, _ in self.found.edges for value in (*start, *end))
        if not (all(abs(v) < _FARTHEST for v in circles) and all(abs(v) < _FARTHEST for v in edges)):
            msg = (
                f"'{self._name}' holds a coordinate that is not a finite number, or lies beyond {_FARTHEST:g} mm; "
                "save it again as DXF."
            )
            raise DrawingError(msg)

    def _insert(self, entity: Any, layer: str, within: tuple[str, ...]) -> None:
        name = str(entity.dxf.get("name", ""))
        if self._is_hidden(layer, entity):
            self._pass("hidden", "INSERT", layer)
        elif entity.block() is None:
            self._pass("block", f"INSERT of '{name}'", layer)
        else:
            for insert in entity.multi_insert() if entity.mcount > 1 else (entity,):
                self._count()
                self.read(insert.virtual_entities(), (*within, name.upper()), layer)

    def _count(self) -> None:
        self.found.entities += 1
        if self.found.entities > _MOST_ENTITIES:
            msg = (
                f"'{self._name}' must not hold more than {_MOST_ENTITIES} entities, those of blocks and arrays counted "
                "each time; save less in it."
            )
            raise DrawingError(msg)

    def _take(self, entity: Any, kind: str, layer: str) -> None:
        self._count()
        if self._is_hidden(layer, entity):
            self._pass("hidden", kind, layer)
            return
        reader = self._readers.get(kind)
        if reader is None:
            reasons = (("words", _WORDS), ("fill", _FILLS), ("body", _BODIES))
            self._pass(next((r for r, kinds in reasons if kind in kinds), "kind"), kind, layer)
            return
        self._source = self._number(kind, layer, entity)
        reader(entity)

    def _number(self, kind: str, layer: str, entity: Any) -> int:
        linetype = entity.dxf.get("linetype", "BYLAYER")
        key = (kind, layer, linetype)
        if key not in self._numbers:
            if linetype.upper() == "BYLAYER" and layer in self._document.layers:
                linetype = self._document.layers.get(layer).dxf.get("linetype", "CONTINUOUS")
            self._numbers[key] = len(self.found.sources)
            self.found.sources.append(Source(kind, layer, linetype))
        return self._numbers[key]

    def _pass(self, reason: str, kind: str, layer: str) -> None:
        self.found.passed[Passed(reason, kind, layer)] += 1

    def _is_hidden(self, layer: str, entity: Any) -> bool:
        if layer not in self._hidden:
            entry = self._document.layers.get(layer) if layer in self._document.layers else None
            off = entry is not None and (entry.is_off() or entry.is_frozen() or entry.dxf.get("plot", 1) == 0)
            self._hidden[layer] = bool(off) or layer.upper() == "DEFPOINTS"
        return self._hidden[layer] or bool(entity.dxf.get("invisible", 0))

    def _line(self, entity: Any) -> None:
        start, end = entity.dxf.start, entity.dxf.end
        _check_flat(start.z, end.z)
        self._edge(start, end, 0.0)

    def _arc(self, entity: Any) -> None:
        sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
        if sweep == 0.0:
            self._circle(entity)
            return
        _check_radius(entity)
        self._edge(entity.start_point, entity.end_point, _facing(entity) * math.tan(sweep / 4))

    def _circle(self, entity: Any) -> None:
        _facing(entity)
        _check_radius(entity)
        centre = entity.ocs().to_wcs(entity.dxf.center)
        s = self._scale
        self._add_circle(Circle(centre.x * s, centre.y * s, abs(entity.dxf.radius) * s))

    def _light_polyline(self, entity: Any) -> None:
        bulges = [bulge for (bulge,) in entity.get_points("b")]
        self._run(entity, list(entity.vertices_in_wcs()), bulges, closed=entity.closed)

    def _polyline(self, entity: Any) -> None:
        if not (entity.is_2d_polyline or entity.is_3d_polyline):
            self._pass("body", "POLYLINE of a mesh", entity.dxf.layer)
            return
        # Of a curve fitted by the program that drew it, the frame of control points is no part of the curve.
        vertices = [v for v in entity.vertices if not v.dxf.get("flags", 0) & 16]
        if entity.is_3d_polyline:
            points = [v.dxf.location for v in vertices]
            _check_flat(*(p.z for p in points))
        else:
            ocs, height = entity.ocs(), entity.dxf.get("elevation", (0, 0, 0))[2]
            points = [ocs.to_wcs((v.dxf.location.x, v.dxf.location.y, height)) for v in vertices]
        bulges = [v.dxf.get("bulge", 0.0) for v in vertices]
        self._run(entity, points, bulges, closed=entity.is_closed)

    def _run(self, entity: Any, points: list[Any], bulges: list[float], *, closed: bool) -> None:
        sign = _facing(entity)
        ends = [*points[1:], *points[:1]] if closed else points[1:]
        for start, end, bulge in zip(points, ends, bulges, strict=False):
            self._edge(start, end, sign * bulge)

    def _spline(self, entity: Any) -> None:
        tool = entity.construction_tool()
        _check_flat(*(p.z for p in tool.control_points))
        self._add_run(spline_run(entity, self._scale, self._tolerance))

    def _ellipse(self, entity: Any) -> None:
        _facing(entity)
        tool = entity.construction_tool()
        _check_flat(0.0, tool.major_axis.z)
        if abs(tool.ratio - 1) < _ROUND and abs(abs(tool.end_param - tool.start_param) - 2 * math.pi) < _ROUND:
            centre, radius = tool.center * self._scale, tool.major_axis.magnitude * self._scale
            self._add_circle(Circle(centre.x, centre.y, radius))
            return
        self._add_run(ellipse_run(entity, self._scale, self._tolerance))

    def _add_run(self, run: ArcRun) -> None:
        for start, end, bulge in zip(run.points, run.points[1:], run.bulges, strict=False):
            self.found.edges.append((start, end, bulge))
            self.found.edge_sources.append(self._source)
        self.found.smoothed[self._source] = max(self.found.smoothed.get(self._source, 0.0), run.error)

    def _add_circle(self, circle: Circle) -> None:
        self.found.circles.append(circle)
        self.found.circle_sources.append(self._source)

    def _edge(self, start: Any, end: Any, bulge: float) -> None:
        s = self._scale
        if (start.x, start.y) != (end.x, end.y):
            self.found.edges.append(((start.x * s, start.y * s), (end.x * s, end.y * s), bulge))
            self.found.edge_sources.append(self._source)


class _TiltedError(Exception):
    """An entity leaves the plane of x and y."""


def _facing(entity: Any) -> float:
    """Return 1 for an entity seen from above, -1 for one seen from below, whose turns are reversed."""
    x, y, z = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    if math.hypot(x, y) > _FLAT * abs(z):
        raise _TiltedError
    return math.copysign(1.0, z)


def _check_radius(entity: Any) -> None:
    if not 0 < abs(entity.dxf.radius) < math.inf:
        msg = "a circle or arc needs a radius."
        raise ValueError(msg)


def _check_flat(*heights: float) -> None:
    if heights and max(heights) - min(heights) > _FLAT:
        raise _TiltedError
