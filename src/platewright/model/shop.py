"""The shop file: what the maker's own machine, sheets, prices and parcels are; nothing of it is known beforehand.

Money is decimal, in the one currency that the file names; a sheet's length is direction 1 of its fabric.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from platewright.model.base import Flag, Number, Point, Record, Thickness

__all__ = [
    "Carrier",
    "Carton",
    "Clamp",
    "Customs",
    "HardwarePrice",
    "KitPrice",
    "Labour",
    "Machine",
    "Offcut",
    "Packing",
    "PriceBreak",
    "Rate",
    "ShopCutter",
    "ShopFile",
    "ShopSheet",
    "price_at",
    "shop_problems",
]

Money = Annotated[Decimal, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
Count = Annotated[int, Field(ge=1, le=1_000_000)]
_SheetLength = Annotated[Number, Field(ge=20, le=3000)]
_Small = Annotated[Number, Field(ge=0, le=100)]
_Percent = Annotated[Number, Field(ge=0, le=95)]
_Minutes = Annotated[Number, Field(ge=0, le=600)]
_Side = Annotated[Number, Field(gt=0, le=2000)]
_Sides = tuple[_Side, _Side, _Side]
_Name = Annotated[str, Field(min_length=1, max_length=60)]
Report = tuple[tuple[str | int, ...], str, str]


class PriceBreak(Record):
    """Price of one piece from some quantity upwards."""

    quantity: Count = Field(1, description="pieces bought at once, at least")
    price: Money = Field(description="of one piece")


_Breaks = Annotated[tuple[PriceBreak, ...], Field(min_length=1)]


class ShopCutter(Record):
    """A router bit of the shop; numbers replace those of its catalogue record."""

    id: _Name = Field(description="catalogue id, such as cutter_2.0")
    price: Money = Field(description="of one bit")
    feed_mm_min: Annotated[Number, Field(gt=0, le=10_000)] | None = Field(None, description="feed in carbon plate")
    depth_per_pass_mm: Annotated[Number, Field(gt=0, le=12)] | None = Field(None, description="depth of one pass")
    life_m_mm: Annotated[Number, Field(gt=0, le=10_000)] | None = Field(
        None, description="length it cuts times the thickness of the plate"
    )


class Machine(Record):
    """The router: its hour, what it adds to each cut, and how parts are held."""

    rate_per_h: Money = Field(description="of a running machine with its operator")
    setup_min_per_sheet: _Minutes = Field(10.0, description="clamping, zeroing, taking off and cleaning")
    tool_change_min: _Minutes = Field(2.0, description="another bit, measured again")
    approach_s: Annotated[Number, Field(ge=0, le=120)] = Field(3.0, description="travel to one contour, down and up")
    hold: Literal["tabs", "vacuum"] = Field("tabs", description="holding bridges, or vacuum or tape that needs none")
    tab_width_mm: Annotated[Number, Field(gt=0, le=10)] | None = Field(None, description="of a bridge along the edge")
    tab_left_mm: Annotated[Number, Field(gt=0, le=3)] = Field(0.4, description="thickness left under a bridge")
    hole_compensation_mm: Annotated[Number, Field(ge=0, le=0.5)] = Field(
        0.05, description="holes are cut larger by this, because the bit bends away"
    )
    web_mm: Annotated[Number, Field(ge=0, le=50)] = Field(1.0, description="plate left between two cuts on the sheet")


class Labour(Record):
    """The bench: its hour and what each kit takes of it."""

    rate_per_h: Money = Field(description="of the bench")
    edge_min_per_m: _Minutes = Field(2.0, description="breaking and sealing edges")
    tab_s: Annotated[Number, Field(ge=0, le=600)] = Field(15.0, description="filing one holding bridge off")
    countersink_s: Annotated[Number, Field(ge=0, le=600)] = Field(20.0, description="one countersink")
    pack_min_per_kit: _Minutes = Field(8.0, description="counting hardware, bagging, labelling")
    batch_min: _Minutes = Field(30.0, description="once a batch: order, files, clearing away")
    design_min: _Minutes = Field(5.0, description="once a batch for each kind of part: its file, its bin, its check")


class Clamp(Record):
    """A rectangle of the sheet that no part may touch."""

    at_mm: Point = Field(description="its corner nearest the sheet's own corner")
    size_mm: tuple[Annotated[Number, Field(gt=0, le=3000)], Annotated[Number, Field(gt=0, le=3000)]] = Field(
        description="along the sheet's length and across"
    )


class ShopSheet(Record):
    """A sheet that the shop buys."""

    material: _Name = Field(description="catalogue id of a laminate")
    thickness_mm: Thickness = Field(description="nominal thickness")
    length_mm: _SheetLength = Field(description="along direction 1 of its fabric")
    width_mm: _SheetLength = Field(description="across it")
    margin_mm: _Small | None = Field(None, description="rim that is not cut; the usual one where left out")
    clamps: tuple[Clamp, ...] = Field((), description="what else may not be cut")
    any_turn: Flag = Field(False, description="parts may lie at any angle, whatever the fabric")
    prices: _Breaks = Field(description="price of one sheet, by sheets bought at once")


class Offcut(Record):
    """What is left of an earlier sheet; used first, and free."""

    id: _Name = Field(description="what is written on it")
    material: _Name = Field(description="catalogue id of a laminate")
    thickness_mm: Thickness = Field(description="nominal thickness")
    length_mm: _SheetLength = Field(description="along direction 1 of its fabric")
    width_mm: _SheetLength = Field(description="across it")
    margin_mm: _Small | None = Field(None, description="rim that is not cut; the usual one where left out")
    clamps: tuple[Clamp, ...] = Field((), description="what may not be cut, holes of earlier parts among them")
    any_turn: Flag = Field(False, description="parts may lie at any angle, whatever the fabric")
    quantity: Count = Field(1, description="pieces like it")


class HardwarePrice(Record):
    """Price of one item of the parts list, or of all whose names fit a pattern."""

    item: _Name = Field(description="as the parts list calls it; * stands for any text")
    pack: Count = Field(1, description="pieces that one price buys")
    prices: _Breaks = Field(description="price of one pack, by packs bought at once")


class Packing(Record):
    """Something that every kit is packed in, or with."""

    item: _Name = Field(description="what it is")
    quantity: Count = Field(1, description="pieces per kit")
    price: Money = Field(description="of one piece")


class Carton(Record):
    """A box or envelope that kits are sent in."""

    name: _Name = Field(description="what it is")
    inner_mm: _Sides = Field(description="length, width and height inside")
    outer_mm: _Sides = Field(description="length, width and height outside, as a carrier measures it")
    mass_g: Annotated[Number, Field(ge=0, le=20_000)] = Field(description="empty, with its padding")


class Rate(Record):
    """What a parcel up to a mass costs."""

    up_to_kg: Annotated[Number, Field(gt=0, le=1000)] = Field(description="billed mass, at most")
    price: Money = Field(description="of one parcel")


class Carrier(Record):
    """Who carries parcels, and how they are billed."""

    name: _Name = Field(description="what you call it")
    divisor_cm3_per_kg: Annotated[Number, Field(gt=0, le=20_000)] | None = Field(
        None, description="cubic centimetres that are billed as a kilogram; none where only mass counts"
    )
    step_kg: Annotated[Number, Field(gt=0, le=10)] = Field(0.1, description="billed mass is rounded up to this")
    rates: tuple[Rate, ...] = Field((), description="prices by billed mass, lightest first")


class Customs(Record):
    """Your customs line; which heading is right is for you and your customs office to say."""

    hs_heading: Annotated[str, Field(pattern=r"^\d{4}(\.?\d{2}){0,3}$")] = Field(
        description="heading of the Harmonized System, 4 to 10 digits"
    )
    description: Annotated[str, Field(min_length=1, max_length=120)] = Field(description="of the goods, in plain words")
    origin: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] = Field(description="country of origin, ISO 3166, such as DE")


class KitPrice(Record):
    """What a kit of one frame is sold for."""

    frame: _Name = Field(description="name of the frame")
    price: Money = Field(description="without tax")
    fee_percent: _Percent = Field(0.0, description="of the price, kept by shop or payment service")


class ShopFile(Record):
    """The whole file."""

    format: Literal[1] = Field(description="version of the file")
    name: str = Field("", max_length=60, description="the workshop")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = Field(description="code of ISO 4217, such as EUR")
    scrap_percent: _Percent | None = Field(None, description="parts lost while cutting; the usual where left out")
    yield_percent: Annotated[Number, Field(ge=5, le=95)] | None = Field(
        None, description="area of parts over sheets, from your own nests; the usual where left out"
    )
    batches: Annotated[tuple[Count, ...], Field(min_length=1, max_length=12)] = Field(
        (1, 10, 50, 200), description="kits made at once, for the table of costs"
    )
    machine: Machine = Field(description="the router")
    labour: Labour = Field(description="the bench")
    cutter: Annotated[tuple[ShopCutter, ...], Field(min_length=1)] = Field(description="its bits")
    sheet: tuple[ShopSheet, ...] = Field((), description="sheets it buys")
    offcut: tuple[Offcut, ...] = Field((), description="what lies in the rack")
    hardware: tuple[HardwarePrice, ...] = Field((), description="prices of screws and the like, the first that fits")
    packing: tuple[Packing, ...] = Field((), description="bags, cards, boxes")
    kit: tuple[KitPrice, ...] = Field((), description="prices of kits")
    bags: Annotated[int, Field(ge=1, le=50)] | None = Field(
        None, description="hardware bags of a kit, at most; one for each step of assembly where left out"
    )
    carton: tuple[Carton, ...] = Field((), description="what kits are sent in")
    carrier: tuple[Carrier, ...] = Field((), description="who carries them")
    customs: Customs | None = Field(None, description="the customs line of a kit")


def price_at(breaks: tuple[PriceBreak, ...], quantity: int) -> Decimal:
    """Return the price of one piece when so many are bought; below the first break it is that of the first.

    Examples
    --------
    >>> price_at((PriceBreak(price=Decimal("5")), PriceBreak(quantity=10, price=Decimal("4"))), 12)
    Decimal('4')
    """
    reached = [b for b in breaks if b.quantity <= quantity]
    return (reached or breaks[:1])[-1].price


def shop_problems(file: ShopFile) -> Iterator[Report]:
    """Yield path, code and sentence of what the keys alone do not show."""
    for kind in ("sheet", "hardware"):
        for n, record in enumerate(getattr(file, kind)):
            steps = [b.quantity for b in record.prices]
            if steps != sorted(set(steps)):
                text = f"must list larger and larger quantities (got {', '.join(map(str, steps))}); put them in order."
                yield (kind, n, "prices"), "shop.prices", text
    for n, carrier in enumerate(file.carrier):
        limits = [rate.up_to_kg for rate in carrier.rates]
        if limits != sorted(set(limits)):
            text = f"must list larger and larger masses (got {', '.join(f'{x:g}' for x in limits)}); put them in order."
            yield ("carrier", n, "rates"), "shop.prices", text
    for n, carton in enumerate(file.carton):
        if any(inside > outside for inside, outside in zip(carton.inner_mm, carton.outer_mm, strict=True)):
            text = "must be at most outer_mm along each side; give both in the same order."
            yield ("carton", n, "inner_mm"), "value.range", text
    for kind in ("cutter", "offcut"):
        ids = [record.id for record in getattr(file, kind)]
        for n, name in enumerate(ids):
            if name in ids[:n]:
                yield (kind, n, "id"), "record.duplicate", f"has the id '{name}' a second time; give it another."
    for kind in ("sheet", "offcut"):
        for n, record in enumerate(getattr(file, kind)):
            least = min(record.length_mm, record.width_mm)
            if record.margin_mm is not None and 2 * record.margin_mm >= least:
                text = f"must leave some of the {least:g} mm between both rims (got {record.margin_mm:g})."
                yield (kind, n, "margin_mm"), "value.range", text
