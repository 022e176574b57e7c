"""The design file as records: parts, places, columns, equipment, tabs, keys and the maker's own limits.

Lengths in mm, angles in degrees, masses in g; the unit is in each name. Axes: x forward, y left, z up
(`docs/conventions.md`). Every number may be an expression.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator
from pydantic_core import PydanticCustomError

from platewright.model.base import Identifier, Length, Mirror, Number, Point, Record, Thickness
from platewright.model.outline import Cutout, Link, Mark, Node, Polygon, Web
from platewright.model.stack import StackError, StackItem, parse_item

__all__ = [
    "Checks",
    "Column",
    "Design",
    "Equipment",
    "Frame",
    "Key",
    "Part",
    "Place",
    "Rotors",
    "Tab",
]


class Frame(Record):
    """What the frame is, and what its maker intends."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    description: str = ""
    revision: str = "A"
    frame_class: str = Field("", description="catalogue id of a frame class, such as 5in")
    style: str = ""
    mass_target_g: Length | None = Field(None, description="target for the bare frame")


class Rotors(Record):
    """Where the rotor axes are: a rectangle, a list of points, or the tips of the arms of a place."""

    fore_aft_mm: Length | None = Field(None, description="between front and rear axes; with lateral_mm")
    lateral_mm: Length | None = Field(None, description="between left and right axes")
    at_mm: tuple[Point, ...] = ()
    follow: Identifier | None = Field(None, description="place whose bearing_deg and reach_mm give the axes")
    coaxial: bool = Field(False, description="a second rotor below each axis")
    below: bool = Field(False, description="all motors hang under their plate")
    turns: tuple[Literal["cw", "ccw"], ...] = Field((), description="seen from above, one per rotor")


class Part(Record):
    """One flat cut part: an exact outline, a thickness, a laminate."""

    id: Identifier
    kind: Literal["arm", "base", "deck", "brace", "side", "camera", "other"]
    material: str
    thickness_mm: Thickness
    grain_deg: Annotated[Number, Field(ge=-180, le=180)] = 0.0
    nodes: tuple[Node, ...] = ()
    links: tuple[Link, ...] = ()
    webs: tuple[Web, ...] = ()
    polygons: tuple[Polygon, ...] = ()
    fillet_mm: Annotated[Number, Field(ge=0, le=100)] = 0.0
    mirror: Mirror = ""
    cutouts: tuple[Cutout, ...] = ()
    marks: tuple[Mark, ...] = ()
    drawing: str | None = Field(None, description="a DXF of closed loops instead of nodes and links")


class Place(Record):
    """One use of a part: on a level, turned, turned over, mirrored, at every rotor, or standing on edge."""

    id: Identifier
    part: Identifier
    at_mm: Point = (0.0, 0.0)
    turn_deg: Annotated[Number, Field(ge=-360, le=360)] = 0.0
    over: bool = Field(False, description="turned over: the part's y and its faces are reversed")
    mirror: Mirror = ""
    to: Literal["rotors"] | None = None
    root_mm: Point | None = Field(None, description="arm root in the first quadrant, mirrored to each rotor")
    root_radius_mm: Annotated[Number, Field(ge=0, le=1000)] | None = None
    bearing_deg: Annotated[Number, Field(ge=-360, le=360)] | None = None
    reach_mm: Length | None = None
    handed: bool = Field(False, description="arms of the other hand are the same part turned over")
    stands: Literal["", "xz", "yz"] = ""
    foot: Identifier | None = Field(None, description="place on whose top a standing plate's own y = 0 lies")
    offset_mm: Number | None = Field(None, description="mid-plane of a standing plate that no column fixes")


class Column(Record):
    """One straight bolt line and what it goes through along +axis."""

    id: Identifier
    at_mm: tuple[Point, ...]
    of: Identifier | None = Field(None, description="place in whose own axes at_mm is given, once per instance")
    mirror: Mirror = ""
    axis: Literal["x", "y", "z"] = "z"
    foot: Identifier | None = Field(None, description="place from whose top a sideways line's height counts")
    centre_mm: Number = 0.0
    sets_level: tuple[Identifier, ...] = ()
    fitted: bool = True
    hole: Literal["fine", "medium", "coarse"] = "fine"
    stack: Annotated[tuple[str, ...], Field(min_length=1)]

    @field_validator("at_mm", mode="before")
    @classmethod
    def _one_point(cls, value: object) -> object:
        return as_points(value)

    @field_validator("stack")
    @classmethod
    def _words(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        return known_words(value)

    @property
    def items(self) -> tuple[StackItem, ...]:
        """The stack, parsed."""
        return tuple(parse_item(text) for text in self.stack)


class Equipment(Record):
    """Something bought that the frame carries, placed by its mounting interface."""

    id: Identifier
    use: Annotated[dict[str, str], Field(min_length=1, description="role = catalogue id")]
    at: Literal["rotors"] | None = None
    at_mm: tuple[Number, ...] = Field((0.0, 0.0), min_length=2, max_length=3, description="x, y; or x, height, for axis y")
    on: Identifier | None = Field(None, description="place whose face carries it")
    face: Literal["top", "bottom"] = "top"
    foot: Identifier | None = None
    axis: Literal["x", "y", "z"] = "z"
    mirror: Mirror = ""
    turn_deg: Annotated[Number, Field(ge=-360, le=360)] = 0.0
    tilt_deg: Annotated[Number, Field(ge=-90, le=90)] = 0.0
    through: tuple[Identifier, ...] = Field((), description="places that get its slots or its hole")
    spacing_mm: Length | None = Field(None, description="between the two slots of a strap, across it")
    pattern: str | None = Field(None, description="hole pattern of the record to use, where it has several")
    hole: Literal["fine", "medium", "coarse"] = "fine"
    fitted: bool = True
    mass_g: Length | None = None
    stack: tuple[str, ...] = ()

    @field_validator("stack")
    @classmethod
    def _words(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        return known_words(value)

    @property
    def items(self) -> tuple[StackItem, ...]:
        """The stack, parsed."""
        return tuple(parse_item(text) for text in self.stack)


class Tab(Record):
    """Tabs on the edge of a standing place and the slots they enter."""

    id: Identifier
    of: Identifier
    into: Annotated[tuple[Identifier, ...], Field(min_length=1)]
    along_mm: Annotated[tuple[Number, ...], Field(min_length=1)]
    length_mm: Length
    clearance_mm: Annotated[Number, Field(ge=0, le=1)] = 0.1


class Key(Record):
    """Neighbouring instances of one place trimmed to each other; a key carries no load."""

    id: Identifier
    of: Identifier
    clearance_mm: Annotated[Number, Field(ge=0, le=2)] = 0.1


class Checks(Record):
    """Limits the maker sets for itself; the defaults are the trade's, with their reasons in the errors page."""

    motor_engagement_diameters: Annotated[Number, Field(gt=0, le=3)] = 0.8
    standoff_engagement_diameters: Annotated[Number, Field(gt=0, le=3)] = 1.0
    nut_protrusion_pitches: Annotated[Number, Field(ge=0, le=10)] = 1.0
    nut_protrusion_max_mm: Annotated[Number, Field(gt=0, le=50)] = 4.0
    tips_apart_mm: Annotated[Number, Field(ge=0, le=10)] = 1.0
    mix_up_mm: Annotated[Number, Field(ge=0, le=10)] = 1.0
    hole_merge_mm: Annotated[Number, Field(gt=0, le=0.5)] = 0.01
    gap_mm: Annotated[Number, Field(gt=0, le=20)] = 1.0
    bow_mm: Annotated[Number, Field(gt=0, le=50)] = 6.0
    hole_to_edge_mm: Annotated[Number, Field(ge=0, le=50)] = 2.0
    motor_hole_to_edge_mm: Annotated[Number, Field(ge=0, le=50)] = 2.5
    bearing_pressure_mpa: Annotated[Number, Field(gt=0, le=2000)] = 140.0
    friction: Annotated[Number, Field(gt=0.02, le=0.5)] = 0.12
    cutter_mm: Annotated[Number, Field(gt=0, le=6)] = 2.0
    spare_fraction: Annotated[Number, Field(ge=0, le=1)] = 0.1
    slot_clearance_mm: Annotated[Number, Field(ge=0, le=2)] = 0.1


class Design(Record):
    """A whole design, resolved: includes merged, expressions evaluated."""

    format: Literal[1]
    include: tuple[str, ...] = ()
    frame: Frame
    parameters: dict[str, Number] = Field(default_factory=dict)
    rotors: Rotors
    part: tuple[Part, ...] = ()
    place: tuple[Place, ...] = ()
    column: tuple[Column, ...] = ()
    equipment: tuple[Equipment, ...] = ()
    tab: tuple[Tab, ...] = ()
    key: tuple[Key, ...] = ()
    checks: Checks = Checks()


def as_points(value: object) -> object:
    """Let one point stand for a list of one."""
    if isinstance(value, list | tuple) and value and not isinstance(value[0], list | tuple):
        return (value,)
    return value


def known_words(value: tuple[str, ...]) -> tuple[str, ...]:
    """Refuse a stack in which a word is not understood, naming its position."""
    for index, text in enumerate(value):
        try:
            parse_item(text)
        except StackError as error:
            raise PydanticCustomError("stack", "{reason}", {"reason": f"item {index + 1} {error}"}) from None
    return value
