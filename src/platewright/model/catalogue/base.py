"""What every catalogue record has: a kind, an id, where its numbers come from, and the file it was read from.

Units stand in the field names (mm, g, N, MPa, deg ...). A pair ``*_range_*`` is (low, high). An `Estimate` is a value
with its band and its own provenance.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

__all__ = ["Estimate", "Frozen", "NonNegative", "Positive", "Properties", "Provenance", "Range", "Record", "middle"]

Provenance = Literal["standard+xcheck", "table", "computed", "standard-memory", "memory", "practice"]
"""How far a number can be trusted, best first; explained in `docs/reference/catalogue.md`."""


def middle(pair: tuple[float, float]) -> float:
    """Return the middle of a (low, high) pair.

    Examples
    --------
    >>> middle((2.0, 3.0))
    2.5
    """
    return (pair[0] + pair[1]) / 2


def _ordered(pair: tuple[float, float]) -> tuple[float, float]:
    if pair[0] > pair[1]:
        message = f"the low end {pair[0]} must not be above the high end {pair[1]}"
        raise ValueError(message)
    return pair


Positive = Annotated[float, Field(gt=0)]
NonNegative = Annotated[float, Field(ge=0)]
Range = Annotated[tuple[float, float], AfterValidator(_ordered)]


class Frozen(BaseModel):
    """A frozen record that refuses unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)


class Estimate(Frozen):
    """A typical value with its band, in the unit that its key names; `low` and `high` are None where none is known."""

    typical: float
    low: float | None = None
    high: float | None = None
    provenance: Provenance
    source: str = Field(min_length=1)
    note: str = ""

    @model_validator(mode="after")
    def _typical_in_band(self) -> Estimate:
        if self.low is not None and self.typical < self.low:
            message = f"typical {self.typical} must not be below low {self.low}"
            raise ValueError(message)
        if self.high is not None and self.typical > self.high:
            message = f"typical {self.typical} must not be above high {self.high}"
            raise ValueError(message)
        return self

    @property
    def band(self) -> tuple[float, float]:
        """The (low, high) pair, a missing end replaced by the typical value."""
        return (
            self.typical if self.low is None else self.low,
            self.typical if self.high is None else self.high,
        )


Properties = dict[str, Estimate]


class Record(Frozen):
    """One catalogue record.

    Parameters
    ----------
    id : str
        Unique among the records of its kind.
    provenance : str
        How far the record can be trusted, one of `Provenance`.
    source : str
        The standard, handbook or table, or "common practice, no source".
    note : str
        What was assumed, or what to beware of.
    origin : str
        The file it was read from; set by the loader.
    """

    kind: ClassVar[str] = ""
    id: str = Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.+\-]*$")
    provenance: Provenance
    source: str = Field(min_length=1)
    note: str = ""
    origin: str = Field(default="", exclude=True)

    @property
    def title(self) -> str:
        """What a person calls it."""
        return self.id.replace("_", " ")
