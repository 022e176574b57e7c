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

    id: Identifier = Field(description="how links and webs name it")
    at_mm: Point = Field(description="its centre, in the part's own axes")
    radius_mm: Length = Field(description="of the disc")


class Link(Record):
    """A band between two nodes; `end_width_mm` tapers it."""

    start: Identifier = Field(description="node at which it begins")
    end: Identifier = Field(description="node at which it ends")
    width_mm: Length = Field(description="width, at the start where it tapers")
    end_width_mm: Length | None = Field(None, description="width at the end; the same where left out")


class Web(Record):
    """The filled polygon through the centres of three nodes or more."""

    nodes: Annotated[tuple[Identifier, ...], Field(min_length=3)] = Field(description="three nodes or more, in order")


class Polygon(Record):
    """A filled polygon with rounded corners: side plates are drawn like this."""

    points_mm: Annotated[tuple[Point, ...], Field(min_length=3)] = Field(description="three corners or more, in order")
    corner_mm: _Corner = Field(0.0, description="radius of its corners")


class CircleCutout(Record):
    """A round opening that no column makes."""

    shape: Literal["circle"] = Field(description="kind of cut-out")
    at_mm: Point = Field(description="its centre")
    diameter_mm: Length = Field(description="of the opening")


class SlotCutout(Record):
    """A slot with round ends, between the centres of its ends."""

    shape: Literal["slot"] = Field(description="kind of cut-out")
    start_mm: Point = Field(description="centre of one round end")
    end_mm: Point = Field(description="centre of the other")
    width_mm: Length = Field(description="across")


class RectangleCutout(Record):
    """A rectangle with rounded corners."""

    shape: Literal["rectangle"] = Field(description="kind of cut-out")
    at_mm: Point = Field(description="its centre")
    length_mm: Length = Field(description="along its own x")
    width_mm: Length = Field(description="along its own y")
    corner_mm: _Corner = Field(description="radius of its corners")
    turn_deg: _Turn = Field(0.0, description="turned counter-clockwise")


class PolygonCutout(Record):
    """A polygon with rounded corners."""

    shape: Literal["polygon"] = Field(description="kind of cut-out")
    points_mm: Annotated[tuple[Point, ...], Field(min_length=3)] = Field(description="three corners or more, in order")
    corner_mm: _Corner = Field(description="radius of its corners")


Cutout = Annotated[
    CircleCutout | SlotCutout | RectangleCutout | PolygonCutout,
    Field(discriminator="shape"),
]


class Mark(Record):
    """Engraved text on the upper face of the part."""

    text: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[A-Z0-9 ./-]+$")] = Field(
        description="capitals, digits, spaces, and . / -"
    )
    at_mm: Point = Field(description="its middle")
    height_mm: Length = Field(description="height of the capitals")
    turn_deg: _Turn = Field(0.0, description="turned counter-clockwise")
