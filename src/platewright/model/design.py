"""The design file as records: parts, places, columns, equipment, tabs, keys and the maker's own limits.

Lengths in mm, angles in degrees, masses in g; the unit is in each name. Axes: x forward, y left, z up
(`docs/conventions.md`). Every number may be an expression.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, field_validator
from pydantic_core import PydanticCustomError

from platewright.model.base import Flag, Identifier, Length, Mirror, Number, Point, Record, Thickness
from platewright.model.drive import Drive
from platewright.model.load_case import LoadCase
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


def _known_words(value: tuple[str, ...]) -> tuple[str, ...]:
    """Refuse a stack in which a word is not understood, naming its position."""
    for index, text in enumerate(value):
        try:
            parse_item(text)
        except StackError as error:
            raise PydanticCustomError("stack", "{reason}", {"reason": f"item {index + 1} {error}"}) from None
    return value


_UNDERSTOOD = AfterValidator(_known_words)


class Frame(Record):
    """What the frame is, and what its maker intends."""

    name: Annotated[str, Field(min_length=1, max_length=60)] = Field(
        description="what the frame is called on drawings and lists"
    )
    workshop: str = Field("", max_length=60, description="whose frame it is, for title blocks")
    description: str = Field("", description="a sentence for the reader")
    revision: str = Field("A", description="letter or number of the revision")
    frame_class: str = Field("", description="catalogue id of a frame class, such as 5in")
    style: str = Field("", description="what it is flown for, such as freestyle")
    mass_target_g: Length | None = Field(None, description="target for the bare frame")


class Rotors(Record):
    """Where the rotor axes are: a rectangle, a list of points, or the tips of the arms of a place."""

    fore_aft_mm: Length | None = Field(None, description="between front and rear axes; with lateral_mm")
    lateral_mm: Length | None = Field(None, description="between left and right axes")
    at_mm: tuple[Point, ...] = Field((), description="the axes, one point each")
    follow: Identifier | None = Field(None, description="place whose bearing_deg and reach_mm give the axes")
    coaxial: Flag = Field(False, description="a second rotor below each axis")
    below: Flag = Field(False, description="all motors hang under their plate")
    turns: tuple[Literal["cw", "ccw"], ...] = Field((), description="seen from above, one per rotor")


class Part(Record):
    """One flat cut part: an exact outline, a thickness, a laminate."""

    id: Identifier = Field(description="how places name it")
    kind: Literal["arm", "base", "deck", "brace", "side", "camera", "other"] = Field(
        description="what the part is to the frame"
    )
    material: str = Field(description="catalogue id of a laminate")
    thickness_mm: Thickness = Field(description="nominal thickness of the sheet")
    grain_deg: Annotated[Number, Field(ge=-180, le=180)] = Field(
        0.0, description="direction 1 of the sheet, from the part's own +x"
    )
    nodes: tuple[Node, ...] = Field((), description="discs of the outline graph")
    links: tuple[Link, ...] = Field((), description="bands between nodes")
    webs: tuple[Web, ...] = Field((), description="filled polygons through nodes")
    polygons: tuple[Polygon, ...] = Field((), description="filled polygons of their own")
    fillet_mm: Annotated[Number, Field(ge=0, le=100)] = Field(
        0.0, description="radius that closes every inner corner and notch"
    )
    mirror: Mirror = Field("", description="the outline is also mirrored in x, in y, or in both")
    cutouts: tuple[Cutout, ...] = Field((), description="openings that no column and no equipment makes")
    marks: tuple[Mark, ...] = Field((), description="engraved texts")
    drawing: str | None = Field(None, description="a DXF of closed loops instead of nodes and links")


class Place(Record):
    """One use of a part: on a level, turned, turned over, mirrored, at every rotor, or standing on edge."""

    id: Identifier = Field(description="how stacks name it")
    part: Identifier = Field(description="id of the part")
    at_mm: Point = Field((0.0, 0.0), description="where the part's own origin lies")
    turn_deg: Annotated[Number, Field(ge=-360, le=360)] = Field(
        0.0, description="turned counter-clockwise, seen from above"
    )
    over: Flag = Field(False, description="turned over: the part's y and its faces are reversed")
    mirror: Mirror = Field("", description="also placed mirrored in x, in y, or in both")
    to: Literal["rotors"] | None = Field(None, description="one instance at every rotor")
    root_mm: Point | None = Field(None, description="arm root in the first quadrant, mirrored to each rotor")
    root_radius_mm: Annotated[Number, Field(ge=0, le=1000)] | None = Field(
        None, description="arm roots on a circle instead of root_mm"
    )
    bearing_deg: Annotated[Number, Field(ge=-360, le=360)] | None = Field(
        None, description="direction of the first arm from +x, where rotors follow this place"
    )
    reach_mm: Length | None = Field(None, description="from root to rotor axis, where rotors follow this place")
    handed: Flag = Field(False, description="arms of the other hand are the same part turned over")
    stands: Literal["", "xz", "yz"] = Field("", description="on edge, in the plane of x and z or of y and z")
    foot: Identifier | None = Field(None, description="place on whose top a standing plate's own y = 0 lies")
    offset_mm: Number | None = Field(None, description="mid-plane of a standing plate that no column fixes")


class Column(Record):
    """One straight bolt line and what it goes through along +axis."""

    id: Identifier = Field(description="what findings and the order of assembly call it")
    at_mm: tuple[Point, ...] = Field(description="one point or several; x and height for a sideways line")
    of: Identifier | None = Field(None, description="place in whose own axes at_mm is given, once per instance")
    mirror: Mirror = Field("", description="also mirrored in x, in y, or in both")
    axis: Literal["x", "y", "z"] = Field("z", description="direction in which the stack reads")
    foot: Identifier | None = Field(None, description="place from whose top a sideways line's height counts")
    centre_mm: Number = Field(0.0, description="where the middle of a sideways stack lies along its axis")
    sets_level: tuple[Identifier, ...] = Field((), description="places whose plane passes here")
    fitted: Flag = Field(True, description="false for a provision: holes, no hardware")
    hole: Literal["fine", "medium", "coarse"] = Field("fine", description="clearance holes, class of ISO 273")
    stack: Annotated[tuple[str, ...], Field(min_length=1), _UNDERSTOOD] = Field(
        description="what the line goes through, along +axis; see the words of a stack"
    )

    @field_validator("at_mm", mode="before")
    @classmethod
    def _one_point(cls, value: object) -> object:
        return as_points(value)

    @property
    def items(self) -> tuple[StackItem, ...]:
        """The stack, parsed."""
        return tuple(parse_item(text) for text in self.stack)


class Equipment(Record):
    """Something bought that the frame carries, placed by its mounting interface."""

    id: Identifier = Field(description="how stacks name it, as ID.ROLE")
    use: Annotated[dict[str, str], Field(min_length=1, description="role = catalogue id")]
    at: Literal["rotors", "rotors_above", "rotors_below"] | None = Field(
        None, description="one at every rotor, or at those above or below their plate"
    )
    at_mm: tuple[Number, ...] = Field(
        (0.0, 0.0),
        min_length=2,
        max_length=3,
        description="x, y, and a distance from the face that carries it; or x, height, for axis y",
    )
    on: Identifier | None = Field(None, description="place whose face carries it")
    face: Literal["top", "bottom"] = Field("top", description="face of the place that carries it")
    foot: Identifier | None = Field(None, description="place from whose top a height counts")
    axis: Literal["x", "y", "z"] = Field("z", description="direction in which its stack reads")
    mirror: Mirror = Field("", description="also mirrored in x, in y, or in both")
    turn_deg: Annotated[Number, Field(ge=-360, le=360)] = Field(
        0.0, description="turned counter-clockwise, seen from above"
    )
    tilt_deg: Annotated[Number, Field(ge=-90, le=90)] = Field(0.0, description="nose up")
    through: tuple[Identifier, ...] = Field((), description="places that get its slots or its hole")
    spacing_mm: Length | None = Field(None, description="between the two slots of a strap, across it")
    pattern: str | None = Field(None, description="hole pattern of the record to use, where it has several")
    hole: Literal["fine", "medium", "coarse"] = Field("fine", description="clearance holes, class of ISO 273")
    fitted: Flag = Field(True, description="false for a provision: holes, nothing mounted")
    mass_g: Length | None = Field(None, description="instead of the mass of the catalogue")
    stack: Annotated[tuple[str, ...], _UNDERSTOOD] = Field(
        (), description="what its screws go through, along +axis; see the words of a stack"
    )

    @property
    def items(self) -> tuple[StackItem, ...]:
        """The stack, parsed."""
        return tuple(parse_item(text) for text in self.stack)


class Tab(Record):
    """Tabs on the edge of a standing place and the slots they enter."""

    id: Identifier = Field(description="what findings call it")
    of: Identifier = Field(description="standing place that has the tabs")
    into: Annotated[tuple[Identifier, ...], Field(min_length=1)] = Field(description="places that get the slots")
    along_mm: Annotated[tuple[Number, ...], Field(min_length=1)] = Field(
        description="middle of each tab, along the standing part's own x"
    )
    length_mm: Length = Field(description="length of each tab")
    clearance_mm: Annotated[Number, Field(ge=0, le=1)] = Field(0.1, description="slot wider and longer than the tab")


class Key(Record):
    """Neighbouring instances of one place trimmed to each other; a key carries no load."""

    id: Identifier = Field(description="what findings call it")
    of: Identifier = Field(description="place that goes to the rotors")
    clearance_mm: Annotated[Number, Field(ge=0, le=2)] = Field(0.1, description="between neighbouring outlines")


class Checks(Record):
    """Limits the maker sets for itself; the defaults are the trade's, with their reasons in the errors page."""

    motor_engagement_diameters: Annotated[Number, Field(gt=0, le=3)] = Field(
        0.8, description="least thread in a motor's base"
    )
    standoff_engagement_diameters: Annotated[Number, Field(gt=0, le=3)] = Field(
        1.0, description="least thread in a standoff or tapped body"
    )
    nut_protrusion_pitches: Annotated[Number, Field(ge=0, le=10)] = Field(1.0, description="least screw past a nut")
    nut_protrusion_max_mm: Annotated[Number, Field(gt=0, le=50)] = Field(4.0, description="most screw past a nut")
    tips_apart_mm: Annotated[Number, Field(ge=0, le=10)] = Field(
        1.0, description="least between two screw tips in one standoff"
    )
    mix_up_mm: Annotated[Number, Field(ge=0, le=10)] = Field(
        1.0, description="lengths closer than this are easily mixed up"
    )
    hole_merge_mm: Annotated[Number, Field(gt=0, le=0.5)] = Field(0.01, description="holes closer than this are one")
    gap_mm: Annotated[Number, Field(gt=0, le=20)] = Field(1.0, description="largest gap that tightening may close")
    bow_mm: Annotated[Number, Field(gt=0, le=50)] = Field(6.0, description="largest bow of a deck")
    hole_to_edge_mm: Annotated[Number, Field(ge=0, le=50)] = Field(2.0, description="least plate beside a hole")
    motor_hole_to_edge_mm: Annotated[Number, Field(ge=0, le=50)] = Field(
        2.5, description="least plate beside a motor's hole"
    )
    web_mm: Annotated[Number, Field(ge=0, le=50)] = Field(2.0, description="least web beside an opening")
    bearing_pressure_mpa: Annotated[Number, Field(gt=0, le=2000)] = Field(
        140.0, description="most under a screw head or nut"
    )
    friction: Annotated[Number, Field(gt=0.02, le=0.5)] = Field(
        0.12, description="of threads and heads, for the torque"
    )
    strength_margin: Annotated[Number, Field(ge=1, le=20)] = Field(
        2.0, description="least margin of loads that are known"
    )
    cutter_mm: Annotated[Number, Field(gt=0, le=6)] = Field(2.0, description="diameter of the router bit")
    spare_fraction: Annotated[Number, Field(ge=0, le=1)] = Field(0.1, description="spare hardware in a kit")


class Design(Record):
    """A whole design, resolved: includes merged, expressions evaluated."""

    format: Literal[1] = Field(description="version of the file format")
    include: tuple[str, ...] = Field((), description="files merged below this one")
    frame: Frame = Field(description="what the frame is")
    parameters: dict[str, Number] = Field(default_factory=dict, description="numbers with a name, for expressions")
    rotors: Rotors = Field(description="where the rotor axes are")
    part: tuple[Part, ...] = Field((), description="flat cut parts")
    place: tuple[Place, ...] = Field((), description="uses of the parts")
    column: tuple[Column, ...] = Field((), description="bolt lines")
    equipment: tuple[Equipment, ...] = Field((), description="what is bought and carried")
    tab: tuple[Tab, ...] = Field((), description="tabs and their slots")
    key: tuple[Key, ...] = Field((), description="arms trimmed to each other")
    load_case: tuple[LoadCase, ...] = Field((), description="loads of the maker's own, beside the built-in ones")
    drive: Drive = Field(Drive(), description="the maker's own numbers of motor and propeller")
    checks: Checks = Field(Checks(), description="limits the maker sets for itself")


def as_points(value: object) -> object:
    """Let one point stand for a list of one."""
    if isinstance(value, list | tuple) and value and not isinstance(value[0], list | tuple):
        return (value,)
    return value
