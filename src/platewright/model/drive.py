"""The maker's own numbers of motor and propeller, where they differ from what is typical of the catalogue's classes."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from platewright.model.base import Number, Record

__all__ = ["Drive"]

_Id = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.\-]*$", max_length=40)]


class Drive(Record):
    """Motor, propeller and consumers in numbers; what is left out is what is typical of the class in `equipment`."""

    propeller: _Id | None = Field(
        None, description="propeller_class or measured_propeller whose thrust and power these are"
    )
    pitch_in: Annotated[Number, Field(gt=0, le=20)] | None = Field(
        None, description="printed pitch, for a propeller that is predicted"
    )
    blades: Annotated[int, Field(ge=2, le=8)] | None = Field(
        None, description="number of blades, for a propeller that is predicted"
    )
    static_speed_rpm: Annotated[Number, Field(ge=1000, le=100_000)] | None = Field(
        None, description="speed at which the propeller was measured at rest"
    )
    static_ct: Annotated[Number, Field(gt=0, le=0.5)] | None = Field(
        None, description="CT measured there, as platewright fit-propeller prints it"
    )
    static_cp: Annotated[Number, Field(gt=0, le=0.5)] | None = Field(None, description="CP measured there")
    kv_rpm_per_v: Annotated[Number, Field(ge=100, le=33000)] | None = Field(
        None, description="motor's speed for a volt, without load"
    )
    resistance_mohm: Annotated[Number, Field(gt=0, le=5000)] | None = Field(
        None, description="winding, controller and leads together, as platewright fit-motor prints it"
    )
    no_load_current_a: Annotated[Number, Field(ge=0, le=20)] | None = Field(
        None, description="motor's current without load"
    )
    other_power_w: Annotated[Number, Field(ge=0, le=500)] = Field(
        8.0, description="boards, camera, transmitter; the default is common practice, no source"
    )

    @model_validator(mode="after")
    def _whole_point(self) -> Drive:
        given = [v is not None for v in (self.static_speed_rpm, self.static_ct, self.static_cp)]
        if any(given) and not all(given):
            raise PydanticCustomError(
                "drive_point", "must give static_speed_rpm, static_ct and static_cp together; give all three or none."
            )
        return self

    @model_validator(mode="after")
    def _possible_point(self) -> Drive:
        if self.static_ct is None or self.static_cp is None:
            return self
        merit = math.sqrt(2 / math.pi * self.static_ct**3) / self.static_cp
        if merit > 1:
            raise PydanticCustomError(
                "drive_point",
                "must give static_ct and static_cp of one propeller: these would lift with {merit} times less power "
                "than momentum theory needs; correct them: T / (rho n2 D4), P / (rho n3 D5), n in turns a second.",
                {"merit": f"{merit:.2g}"},
            )
        return self
