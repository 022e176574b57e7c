"""How the outline of a part is written: a rounded graph of nodes and links, webs, polygons, cut-outs and marks."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from platewright.model.base import Identifier, Length, Number, Point, Record

__all__ = [
    "CircleCutout",
    "Cutout",
    "Link",
    "Mark",
    "Node",
    "Polygon",
    "PolygonCutout",
    "RectangleCutout",
    "SlotCutout",
    "Web",
]

_Corner = Annotated[Number, Field(ge=0, le=200)]
_Turn = Annotated[Number, Field(ge=-360, le=360)]


class Node(Record):
    """A disc of the graph: a boss round a hole, a pad under a motor."""

    id: Identifier
    at_mm: Point
    radius_mm: Length


class Link(Record):
    """A band between two nodes; `end_width_mm` tapers it."""

    start: Identifier
    end: Identifier
    width_mm: Length
    end_width_mm: Length | None = None


class Web(Record):
    """The filled polygon through the centres of three nodes or more."""

    nodes: Annotated[tuple[Identifier, ...], Field(min_length=3)]


class Polygon(Record):
    """A filled polygon with rounded corners: side plates are drawn like this."""

    points_mm: Annotated[tuple[Point, ...], Field(min_length=3)]
    corner_mm: _Corner = 0.0


class CircleCutout(Record):
    """A round opening that no column makes."""

    shape: Literal["circle"]
    at_mm: Point
    diameter_mm: Length


class SlotCutout(Record):
    """A slot with round ends, between the centres of its ends."""

    shape: Literal["slot"]
    start_mm: Point
    end_mm: Point
    width_mm: Length


class RectangleCutout(Record):
    """A rectangle with rounded corners."""

    shape: Literal["rectangle"]
    at_mm: Point
    length_mm: Length
    width_mm: Length
    corner_mm: _Corner
    turn_deg: _Turn = 0.0


class PolygonCutout(Record):
    """A polygon with rounded corners."""

    shape: Literal["polygon"]
    points_mm: Annotated[tuple[Point, ...], Field(min_length=3)]
    corner_mm: _Corner


Cutout = Annotated[
    CircleCutout | SlotCutout | RectangleCutout | PolygonCutout,
    Field(discriminator="shape"),
]


class Mark(Record):
    """Engraved text on the upper face of the part."""

    text: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[A-Z0-9 ./-]+$")]
    at_mm: Point
    height_mm: Length
    turn_deg: _Turn = 0.0
