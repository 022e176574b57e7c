"""What a kit costs, by batch, with what it is made of. Money as decimals in the shop's currency, rounded to cents."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["BatchCost", "ChoiceCost", "CostReport", "CostRow", "PartCost"]


@dataclass(frozen=True)
class CostRow:
    """One kind of cost of one kit: what, how it comes about, and the money."""

    what: str
    basis: str
    money: Decimal


@dataclass(frozen=True)
class BatchCost:
    """What one kit costs when so many are made at once.

    Parameters
    ----------
    kits : int
        In the batch.
    rows : tuple of CostRow
        Of one kit.
    total, total_low, total_high : Decimal
        Their sum, and with the ends of the band of the sheets' yield.
    cash : Decimal
        To buy whole sheets, packs and bits for the batch.
    machine_min, bench_min : float
        Of one kit.
    sheets : int
        For the batch, by the yield rule.
    price, margin, margin_percent
        What a kit is sold for, and what is left after fees and cost; None without a price.
    """

    kits: int
    rows: tuple[CostRow, ...]
    total: Decimal
    total_low: Decimal
    total_high: Decimal
    cash: Decimal
    machine_min: float
    bench_min: float
    sheets: int
    price: Decimal | None
    margin: Decimal | None
    margin_percent: float | None


@dataclass(frozen=True)
class PartCost:
    """One part: what cutting one piece takes, and its share of a sheet."""

    part: str
    quantity: int
    material: str
    thickness_mm: float
    cutter_mm: float
    area_mm2: float
    sheet_area_mm2: float
    cut_length_mm: float
    passes: int
    machine_min: float
    bit_share_percent: float
    holes: int
    drilled: int
    openings: int
    bridges: int


@dataclass(frozen=True)
class ChoiceCost:
    """What a change of the design does to cost and bare mass of one kit; a reason where it cannot be made."""

    choice: str
    money: Decimal | None
    mass_g: float | None
    reason: str


@dataclass(frozen=True)
class CostReport:
    """The cost of a frame's kit."""

    frame: str
    revision: str
    currency: str
    yield_percent: float
    yield_low_percent: float
    yield_high_percent: float
    parts: tuple[PartCost, ...]
    batches: tuple[BatchCost, ...]
    unpriced: tuple[str, ...]
    choices: tuple[ChoiceCost, ...]
    choices_kits: int
