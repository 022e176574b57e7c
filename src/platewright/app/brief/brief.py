"""The brief: the few things a maker decides before a starting design can be written.

Propeller sizes are in inches by the trade's habit, lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from platewright.foundation.errors import PlatewrightError

__all__ = ["SIZES_IN", "Brief", "BriefError", "CameraClass", "Style"]

SIZES_IN = (2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0)
"""Sizes a starting design is written for."""


class BriefError(PlatewrightError, ValueError):
    """The brief asks for what cannot be written; the message says why in one sentence."""


class Style(StrEnum):
    """What the frame is flown for."""

    FREESTYLE = "freestyle"
    LONG_RANGE = "long-range"
    RACE = "race"
    CINE = "cine"


class CameraClass(StrEnum):
    """Size class of the flight camera."""

    NANO = "nano"
    MICRO = "micro"
    MINI = "mini"
    STANDARD = "standard"


@dataclass(frozen=True)
class Brief:
    """What the maker asks for; None leaves the choice to the rules.

    Parameters
    ----------
    propeller_in : float
        Size of the propellers [in].
    style : Style
        What the frame is flown for.
    fore_aft_mm, lateral_mm : float or None
        Rotor spacing of the maker's own [mm].
    camera : CameraClass or None
        Size class of the flight camera.
    boards : str or None
        Hole pattern of the boards, such as 30.5x30.5.
    cells : int or None
        Cells of the battery, in series.
    name : str
        Name of the frame.

    Raises
    ------
    BriefError
        If a number is out of its range.
    """

    propeller_in: float
    style: Style = Style.FREESTYLE
    fore_aft_mm: float | None = None
    lateral_mm: float | None = None
    camera: CameraClass | None = None
    boards: str | None = None
    cells: int | None = None
    name: str = "Unnamed"

    def __post_init__(self) -> None:
        if self.propeller_in not in SIZES_IN:
            sizes = ", ".join(f"{s:g}" for s in SIZES_IN)
            msg = (
                f"propeller size must be one of {sizes} inch (got {self.propeller_in:g}): below 2.5 inch ducted frames "
                "are printed rather than bolted, and above 8 inch arms want tubes rather than one sheet."
            )
            raise BriefError(msg)
        for name, value in (("fore-aft", self.fore_aft_mm), ("lateral", self.lateral_mm)):
            if value is not None and not 60 <= value <= 600:
                msg = (
                    f"{name} rotor spacing must be 60 to 600 mm (got {value:g}): below it propellers of 2.5 inch would "
                    "touch, above it a frame of sheet is no longer stiff."
                )
                raise BriefError(msg)
        if not 1 <= len(self.name) <= 60 or not self.name.isprintable():
            msg = f"the name must be 1 to 60 printable characters (got {self.name!r})."
            raise BriefError(msg)
