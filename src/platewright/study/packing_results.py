"""What is packed for one kit: plates, hardware by bag, spares, the parcel, what carriers and customs ask."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Bag", "BagLine", "Billed", "CustomsLine", "PackedPlate", "Packing", "Parcel"]


@dataclass(frozen=True)
class PackedPlate:
    """A cut part: pieces, sheet, the rectangle about it, mass of one."""

    part: str
    quantity: int
    material: str
    thickness_mm: float
    long_mm: float
    short_mm: float
    mass_g: float


@dataclass(frozen=True)
class BagLine:
    """Hardware in a bag."""

    item: str
    quantity: int


@dataclass(frozen=True)
class Bag:
    """One hardware bag; `steps` are those of the assembly drawing, none for the bag of spares."""

    number: int
    steps: tuple[int, ...]
    what: str
    lines: tuple[BagLine, ...]
    mass_g: float

    @property
    def pieces(self) -> int:
        """All pieces in the bag."""
        return sum(line.quantity for line in self.lines)


@dataclass(frozen=True)
class Billed:
    """What a carrier bills."""

    carrier: str
    volumetric_kg: float | None
    billed_kg: float
    price: Decimal | None


@dataclass(frozen=True)
class Parcel:
    """The carton with the kit in it."""

    carton: str
    outer_mm: tuple[float, float, float]
    content_height_mm: float
    mass_g: float
    billed: tuple[Billed, ...]


@dataclass(frozen=True)
class CustomsLine:
    """One line of a customs form; the value is the kit's price where there is one."""

    hs_heading: str
    description: str
    origin: str
    quantity: int
    net_mass_kg: float
    value: Decimal | None
    currency: str


@dataclass(frozen=True)
class Packing:
    """One kit, packed; `not_weighed` names hardware of which no mass is known."""

    frame: str
    revision: str
    workshop: str
    design_hash: str
    number: str
    plates: tuple[PackedPlate, ...]
    bags: tuple[Bag, ...]
    brought_by_buyer: tuple[str, ...]
    tools: tuple[str, ...]
    material: tuple[tuple[str, int], ...]
    net_mass_g: float
    parcel: Parcel | None
    too_large: str
    customs: CustomsLine | None
    not_weighed: tuple[str, ...]
