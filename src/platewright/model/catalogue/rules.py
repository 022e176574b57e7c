"""Records of frame classes and of single rules: limits, habits and tolerances of the trade and of the standards."""

from __future__ import annotations

from typing import ClassVar

from pydantic import model_validator

from platewright.model.catalogue.base import Range, Record

__all__ = ["FrameClass", "Rule"]


class FrameClass(Record):
    """What frames of one size usually are."""

    kind: ClassVar[str] = "frame_class"
    wheelbase_range_mm: Range
    propeller_range_in: Range
    arm_thickness_range_mm: Range
    plate_thickness_range_mm: Range
    board_patterns: tuple[str, ...]
    frame_mass_range_g: Range


class Rule(Record):
    """One rule, its id `topic.name_unit`.

    `typical` is the value to use, `low` and `high` the band seen; a rule that is only a range has no typical value, one
    that is only words has none of the three.
    """

    kind: ClassVar[str] = "rule"
    typical: float | None = None
    low: float | None = None
    high: float | None = None
    text: str = ""

    @model_validator(mode="after")
    def _says_something(self) -> Rule:
        if self.typical is None and not self.text and (self.low is None or self.high is None):
            message = "needs typical, both low and high, or text"
            raise ValueError(message)
        numbers = [n for n in (self.low, self.typical, self.high) if n is not None]
        if numbers != sorted(numbers):
            message = f"low, typical and high must be in order (got {numbers})"
            raise ValueError(message)
        return self

    @property
    def value(self) -> float:
        """The typical value, or the middle of the range; `ValueError` for a rule that is only words."""
        if self.typical is not None:
            return self.typical
        if self.low is None or self.high is None:
            message = f"rule {self.id} has no number: {self.text}"
            raise ValueError(message)
        return (self.low + self.high) / 2

    @property
    def title(self) -> str:
        """Its key in words."""
        return self.id.replace(".", ": ").replace("_", " ")
