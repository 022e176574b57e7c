"""Load cases as records: forces and moments on named places of a free frame, whose own inertia balances them.

The built-in cases are records of the same form; a design adds its own with `[[load_case]]`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from platewright.model.base import Flag, Identifier, Number, Point, Record

__all__ = ["LEAST_LOAD", "CaseForce", "Direction", "LoadCase"]

LEAST_LOAD = 1e-3
"""What a load must be, or its answers are rounding [N], [N mm]; shares of a direction as well."""
Direction = Literal["up", "down", "forward", "backward", "left", "right", "outwards", "inwards", "across"]
_Force = Annotated[Number, Field(ge=-1_000_000, le=1_000_000)]
_Moment = Annotated[Number, Field(ge=-1_000_000_000, le=1_000_000_000)]
_Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[a-z0-9_]+)*$", max_length=60)]


class CaseForce(Record):
    """A force and a moment on one named place: a rotor, a column, a piece of equipment, or a place of a part."""

    rotor: Annotated[int, Field(ge=1, le=24)] | None = Field(None, description="number of a rotor: on its motor's seat")
    at_propeller: Flag = Field(False, description="at the height of the rotor's propeller instead of the seat")
    at_bell: Flag = Field(False, description="at half the height of the rotor's bell instead of the seat")
    column: _Name | None = Field(None, description="a column, shared evenly by its lines, or one line as COLUMN.N")
    equipment: _Name | None = Field(None, description="a carried thing, ID or ID.ROLE, at its centre of gravity")
    place: _Name | None = Field(None, description="a place, or one instance as PLACE.N: shared by its bolts")
    at_mm: Point | None = Field(None, description="instead of the bolts, a point of the place in the part's own axes")
    force_n: _Force = Field(0.0, description="size of the force")
    direction: Direction = Field(
        "down",
        description="of the force; outwards, inwards and across (to the left) are level, seen from the frame's middle",
    )
    along: tuple[_Force, _Force, _Force] | None = Field(
        None, description="instead of direction, a vector along x, y, z of any length"
    )
    moment_n_mm: tuple[_Moment, _Moment, _Moment] = Field((0.0, 0.0, 0.0), description="about x, y and z")


class LoadCase(Record):
    """Forces that act on the free frame at once, and what is asked."""

    id: Identifier = Field(description="what results call it, with spaces for underscores")
    text: str = Field("", max_length=160, description="what happens, for the reader")
    answer: Literal["margin", "energy"] = Field(
        "margin",
        description="by what the forces may be multiplied, or the energy of a blow like them, until the first failure",
    )
    loads: Annotated[tuple[CaseForce, ...], Field(min_length=1)] = Field(description="forces and moments")
