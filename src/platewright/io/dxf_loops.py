"""Closed loops read from a DXF drawing, for a part that brings its own.

Lines, arcs, circles and polylines are read, also within blocks; ends nearer than the gap tolerance are joined. What
cannot be cut exactly (splines, ellipses, solids) is refused, not approximated. Layers that are off or frozen, layers
that do not plot, and our own layers of marks and notes are passed over, and so are texts, dimensions and hatches.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing

from platewright.foundation.errors import DrawingError, GeometryError
from platewright.foundation.units import MM_PER_INCH, MM_PER_M
from platewright.geometry.chain import LooseEdge, chain_edges, nest_loops
from platewright.geometry.loops import Circle, Loop, Outline, Vertex, circle_loop, to_shapely

__all__ = ["read_loops_dxf"]

_UNITS = {units.MM: 1.0, units.CM: 10.0, units.M: MM_PER_M, units.IN: MM_PER_INCH}
_NOT_CUT = {"ENGRAVE", "COUNTERSINK_UPPER", "COUNTERSINK_LOWER", "NOTE", "DEFPOINTS"}
_WORDS = "TEXT MTEXT ATTRIB ATTDEF DIMENSION ARC_DIMENSION LEADER MULTILEADER TOLERANCE HATCH MPOLYGON POINT VIEWPORT"
_PASSED_OVER = frozenset(_WORDS.split())
_DEEPEST_BLOCK = 16
_LONGEST_REASON = 100
_FLAT = 1e-6  # height within which a drawing counts as flat [-], in units of the drawing


def read_loops_dxf(path: Path, gap_tol: float = 0.02) -> list[Outline]:
    """Return the plates that the closed loops of a drawing form.

    Parameters
    ----------
    path : Path
        A DXF file that states its units: mm, cm, m or inch.
    gap_tol : float
        Ends of loose edges nearer than this are one point [mm].

    Raises
    ------
    DrawingError
        If the file is no DXF or is cut short, states no units, holds nothing to cut, holds curves that are not read,
        or if its edges do not form closed loops apart from one another.
    """
    document = _document(path)
    scale = _scale(document, path.name)
    found = _Found(path.name, scale)
    for entity in _visible(document, document.modelspace(), path.name):
        found.add(entity)
    found.check_finite()
    try:
        loops = found.loops + chain_edges(found.edges, gap_tol)
        plates = nest_loops(loops)
    except GeometryError as error:
        msg = f"'{path.name}' cannot be read as plates: {error}"
        raise DrawingError(msg) from error
    if not plates:
        msg = f"'{path.name}' must hold at least one closed loop of lines, arcs, circles or polylines (got none)."
        raise DrawingError(msg)
    for plate in plates:
        if not to_shapely(plate, 64).is_valid:
            x, y, _ = plate.outer.vertices[0]
            msg = f"'{path.name}' has a loop that crosses itself, in the plate at ({x:.3f}, {y:.3f}) mm; untangle it."
            raise DrawingError(msg)
    return plates


@dataclass
class _Found:
    """Loops and loose edges gathered from entities, in mm."""

    name: str
    scale: float
    loops: list[Loop] = field(default_factory=list)
    edges: list[LooseEdge] = field(default_factory=list)

    def add(self, entity: Any) -> None:
        kind = entity.dxftype()
        readers: dict[str, Callable[[Any], None]] = {
            "LINE": self._line,
            "ARC": self._arc,
            "CIRCLE": self._circle,
            "LWPOLYLINE": self._light_polyline,
            "POLYLINE": self._polyline,
        }
        if kind in _PASSED_OVER:
            return
        if kind not in readers:
            raise DrawingError(self._refused(entity, kind))
        readers[kind](entity)

    def check_finite(self) -> None:
        numbers = [value for loop in self.loops for vertex in loop.vertices for value in vertex]
        numbers += [value for start, end, bulge in self.edges for value in (*start, *end, bulge)]
        if not all(math.isfinite(value) for value in numbers):
            msg = f"'{self.name}' holds a coordinate that is not a finite number; save it again as DXF."
            raise DrawingError(msg)

    def _refused(self, entity: Any, kind: str) -> str:
        words = {"SPLINE": "splines", "ELLIPSE": "ellipses"}.get(kind, f"entities of type {kind}")
        return (
            f"'{self.name}' holds {words}, on layer '{entity.dxf.layer}', which this version does not read; it reads "
            "lines, arcs, circles and polylines: convert them to lines and arcs, or move them to a frozen layer."
        )

    def _line(self, entity: Any) -> None:
        start, end = entity.dxf.start, entity.dxf.end
        self._check_flat(entity, start.z, end.z)
        self._edge(start, end, 0.0)

    def _arc(self, entity: Any) -> None:
        sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
        if sweep == 0.0:
            self._circle(entity)
            return
        self._edge(entity.start_point, entity.end_point, self._facing(entity) * math.tan(sweep / 4))

    def _circle(self, entity: Any) -> None:
        self._facing(entity)
        centre = entity.ocs().to_wcs(entity.dxf.center)
        s, radius = self.scale, abs(entity.dxf.radius)
        if not radius > 0:
            msg = f"'{self.name}' has a circle or arc without a radius at ({centre.x * s:.3f}, {centre.y * s:.3f}) mm."
            raise DrawingError(msg)
        self.loops.append(circle_loop(Circle(centre.x * s, centre.y * s, radius * s)))

    def _light_polyline(self, entity: Any) -> None:
        bulges = [bulge for (bulge,) in entity.get_points("b")]
        self._run(entity, list(entity.vertices_in_wcs()), bulges, closed=entity.closed)

    def _polyline(self, entity: Any) -> None:
        if not (entity.is_2d_polyline or entity.is_3d_polyline):
            raise DrawingError(self._refused(entity, "MESH"))
        if entity.dxf.flags & 4:
            raise DrawingError(self._refused(entity, "SPLINE"))
        bulges = [vertex.dxf.get("bulge", 0.0) for vertex in entity.vertices]
        points = list(entity.points_in_wcs())
        if entity.is_3d_polyline:
            self._check_flat(entity, *(p.z for p in points))
        self._run(entity, points, bulges, closed=entity.is_closed)

    def _run(self, entity: Any, points: list[Any], bulges: list[float], *, closed: bool) -> None:
        sign, s = self._facing(entity), self.scale
        vertices: list[Vertex] = [(p.x * s, p.y * s, sign * b) for p, b in zip(points, bulges, strict=True)]
        if not closed:
            for start, end, bulge in zip(points, points[1:], bulges, strict=False):
                self._edge(start, end, sign * bulge)
            return
        ends = [*vertices[1:], *vertices[:1]]
        kept = tuple(v for v, w in zip(vertices, ends, strict=True) if v[:2] != w[:2])
        if len(kept) > 1:
            self.loops.append(Loop(kept))

    def _edge(self, start: Any, end: Any, bulge: float) -> None:
        s = self.scale
        if (start.x, start.y) != (end.x, end.y):
            self.edges.append(((start.x * s, start.y * s), (end.x * s, end.y * s), bulge))

    def _facing(self, entity: Any) -> float:
        """Return 1 for an entity seen from above, -1 for one seen from below, whose turns are reversed."""
        normal = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
        x, y, z = normal
        if math.hypot(x, y) > _FLAT * abs(z):
            raise DrawingError(self._tilted(entity))
        return math.copysign(1.0, z)

    def _check_flat(self, entity: Any, *heights: float) -> None:
        if max(heights) - min(heights) > _FLAT:
            raise DrawingError(self._tilted(entity))

    def _tilted(self, entity: Any) -> str:
        return (
            f"'{self.name}' must be flat; an entity of type {entity.dxftype()} on layer '{entity.dxf.layer}' leaves "
            "the plane of x and y; draw the part in that plane."
        )


def _document(path: Path) -> Drawing:
    try:
        document = ezdxf.readfile(path)
    except FileNotFoundError as error:
        msg = f"the drawing '{path.name}' does not exist in that folder; check its name."
        raise DrawingError(msg) from error
    except Exception as error:  # on a broken file the library raises whatever its parser stumbles on
        msg = (
            f"'{path.name}' must be a complete DXF drawing; it is none, or is damaged or cut short "
            f"({_reason(error, path)}); save it again as DXF."
        )
        raise DrawingError(msg) from error
    return document


def _reason(error: Exception, path: Path) -> str:
    text = str(error).replace(str(path), path.name).strip() or type(error).__name__
    plain = "".join(letter if letter.isprintable() else "?" for letter in text.splitlines()[0])
    return plain[:_LONGEST_REASON].rstrip(".")


def _scale(document: Drawing, name: str) -> float:
    unit = document.units
    if unit not in _UNITS:
        stated = "none" if unit == 0 else units.unit_name(unit)
        msg = (
            f"'{name}' must state its units as mm, cm, m or inch (got {stated}); set them in the drawing "
            "($INSUNITS) and save it again."
        )
        raise DrawingError(msg)
    return _UNITS[unit]


def _visible(document: Drawing, entities: Iterable[Any], name: str, within: tuple[str, ...] = ()) -> Iterator[Any]:
    """Yield entities on layers that are shown and plotted, those of blocks where the blocks are inserted."""
    if len(within) > _DEEPEST_BLOCK or within[-1:] in [(block,) for block in within[:-1]]:
        msg = f"'{name}' nests block '{within[-1]}' in itself, or blocks deeper than {_DEEPEST_BLOCK}; explode them."
        raise DrawingError(msg)
    for entity in entities:
        if _is_hidden(document, entity.dxf.layer) or entity.dxf.get("invisible", 0):
            continue
        if entity.dxftype() == "INSERT":
            for insert in entity.multi_insert() if entity.mcount > 1 else (entity,):
                yield from _visible(document, insert.virtual_entities(), name, (*within, entity.dxf.name.upper()))
        else:
            yield entity


def _is_hidden(document: Drawing, layer: str) -> bool:
    if layer.upper() in _NOT_CUT:
        return True
    if layer not in document.layers:
        return False
    entry = document.layers.get(layer)
    return bool(entry.is_off() or entry.is_frozen() or entry.dxf.get("plot", 1) == 0)
