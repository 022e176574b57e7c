"""What all design records share: frozen, unknown keys rejected, any number may be an expression.

A string where a number belongs is evaluated with the `lookup` function of the validation context; without one, only
plain arithmetic is possible.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, Strict, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from platewright.model.expression import ExpressionError, evaluate

__all__ = ["Flag", "Identifier", "Length", "Mirror", "Number", "Point", "Record", "Thickness"]


class Record(BaseModel):
    """A frozen record that rejects unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


def _number(value: Any, info: ValidationInfo) -> Any:
    if not isinstance(value, str):
        if isinstance(value, bool):
            raise PydanticCustomError(
                "not_a_number", "must be a number or an expression (got {value}).", {"value": value}
            )
        return value
    lookup: Callable[[str], float] | None = (info.context or {}).get("lookup")
    try:
        return evaluate(value, lookup or _no_names)
    except ExpressionError as error:
        raise PydanticCustomError("expression", "{reason}", {"reason": str(error)}) from None


def _no_names(name: str) -> float:
    raise KeyError(name)


_EXPRESSION_SCHEMA = {"anyOf": [{"type": "number"}, {"type": "string", "description": "an expression"}]}
Number = Annotated[float, BeforeValidator(_number), Field(allow_inf_nan=False), WithJsonSchema(_EXPRESSION_SCHEMA)]
"""A finite number, or an expression in a string."""
Length = Annotated[Number, Field(gt=0, le=2000)]
"""A length above 0 and at most 2000 mm: nothing in a hand-carried frame is longer."""
Thickness = Annotated[Number, Field(ge=0.3, le=12)]
"""A plate from the thinnest sold (0.3 mm) to the thickest a small router cuts (12 mm)."""
Point = tuple[Number, Number]
Flag = Annotated[bool, Strict()]
"""True or false, not a word or a number that means it."""
Mirror = Literal["", "x", "y", "xy"]
Identifier = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
"""Lower-case letters, digits and underscores, a letter first."""
