"""What the check says about batteries: rows with units in their names."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BatteryRow", "LeadToDiscRow", "StrapRow"]


@dataclass(frozen=True)
class StrapRow:
    """A strap round a pack: its taut way, the longest it is sold in, and what is left to close it with."""

    strap: str
    path_mm: float
    longest_mm: float
    spare_mm: float


@dataclass(frozen=True)
class LeadToDiscRow:
    """How far a pack's lead stays from a disc as it lies, tied and untied; negative where it reaches into it."""

    lead: str
    rotor: int
    rest_mm: float
    tied_mm: float
    untied_mm: float
    lacks_mm: float


@dataclass(frozen=True)
class BatteryRow:
    """A battery in its place.

    `borne_percent` is the share of its face over plates at its pad, `bearing` those plates; `inertia_percent` its share
    of the three principal inertias of the whole craft, about the axes nearest to x, y and z.
    """

    battery: str
    record: str
    underneath: bool
    bottom_mm: float
    top_mm: float
    pad_mm: float
    bearing: tuple[str, ...]
    borne_percent: float
    inertia_percent: tuple[float, float, float]
    straps: tuple[StrapRow, ...]
    leads: tuple[LeadToDiscRow, ...]
