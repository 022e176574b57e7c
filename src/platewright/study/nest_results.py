"""What a nest says: pieces on sheets, yields, what is left over. Money as decimals in the shop's currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["KitCount", "NestGroupRow", "NestReport", "NestedPiece", "NestedSheet", "RestRow"]


@dataclass(frozen=True)
class KitCount:
    """A frame and how many kits of it."""

    frame: str
    revision: str
    kits: int


@dataclass(frozen=True)
class NestedPiece:
    """One piece on a sheet: its number there, frame, part, shift [mm] and turn [deg] of the part's axes, its bit."""

    number: int
    frame: str
    part: str
    x_mm: float
    y_mm: float
    turn_deg: float
    in_opening: bool
    cutter_mm: float


@dataclass(frozen=True)
class RestRow:
    """What is left of a sheet in one rectangle, worth keeping."""

    length_mm: float
    width_mm: float


@dataclass(frozen=True)
class NestedSheet:
    """One sheet.

    Parameters
    ----------
    id : str
        Name of its files.
    stock : str
        What it is cut from.
    is_offcut : bool
        Whether it was in the rack.
    length_mm, width_mm, margin_mm : float
        Of the sheet; its length is direction 1 of the fabric.
    price : Decimal
        At the number of sheets of this nest; 0 for an offcut.
    used_length_mm : float
        How far its pieces reach.
    part_area_mm2 : float
        Of all pieces.
    yield_percent, yield_used_percent : float
        Area of pieces over the whole sheet, and over the length that is used.
    rest : RestRow or None
        What is left.
    pieces : tuple of NestedPiece
        In the order of cutting.
    """

    id: str
    stock: str
    is_offcut: bool
    length_mm: float
    width_mm: float
    margin_mm: float
    price: Decimal
    used_length_mm: float
    part_area_mm2: float
    yield_percent: float
    yield_used_percent: float
    rest: RestRow | None
    pieces: tuple[NestedPiece, ...]


@dataclass(frozen=True)
class NestGroupRow:
    """All sheets of one material and thickness, spaced for the thickest bit of any piece.

    `job` tells whether an earlier nest is of the same pieces.
    """

    material: str
    thickness_mm: float
    cutter_mm: float
    spacing_mm: float
    pieces: int
    part_area_mm2: float
    yield_percent: float
    job: str
    sheets: tuple[NestedSheet, ...]


@dataclass(frozen=True)
class NestReport:
    """A whole nest."""

    kits: tuple[KitCount, ...]
    currency: str
    seed: int
    interrupted: bool
    pieces: int
    sheets: int
    price: Decimal
    groups: tuple[NestGroupRow, ...]
