"""What a kit costs: its share of sheets by a yield rule instead of a nest, machine, bits, bench, hardware, packing.

The area that a part takes of a sheet is that within its outer edge, grown by half the spacing (a narrow band along the
edge), over the yield. Decimal money, rounded to cents by kind of cost, so that the sum is what the rows add up to.
"""

from __future__ import annotations

import fnmatch
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.bill import BillLine, bill_of_materials
from platewright.fabrication.cost import (
    Break,
    SheetOffer,
    hours_cost,
    margin_at,
    packs_cost,
    price_of,
    sheets_cost,
    started,
    tool_changes,
)
from platewright.fabrication.cutting import CutTime, Pace, cut_time
from platewright.fabrication.plan import cut_plan
from platewright.foundation.errors import RequestError
from platewright.foundation.units import MM_PER_M, S_PER_MIN
from platewright.geometry.loops import loop_area, outline_area, perimeter
from platewright.model.shop import HardwarePrice, PriceBreak, ShopFile
from platewright.study.cost_results import BatchCost, CostReport, CostRow, PartCost
from platewright.study.cutters import shop_bit
from platewright.study.nesting import bit_for

__all__ = ["cost_report"]

_YIELD_RULE, _SCRAP_RULE, _BRIDGE_RULE = "yield.nesting_yield_pct", "yield.scrap_rate_pct", "yield.tab_width_mm"
_IN_KIT = ("screw", "nut", "washer", "standoff", "spacer", "grommet")
_CENT = Decimal("0.01")
_SAME = 1e-6  # thicknesses [mm]


@dataclass(frozen=True)
class _Piece:
    """A part of the frame with what cutting one takes and what it takes of a sheet at full yield [mm^2]."""

    finished: FinishedPart
    time: CutTime
    grown: float
    sinks: int


@dataclass(frozen=True)
class _Settings:
    """What does not change with the batch."""

    shop: ShopFile
    pieces: tuple[_Piece, ...]
    bill: tuple[BillLine, ...]
    cutter_mm: float
    bit_price: Decimal
    scrap: float
    designs: int


@dataclass(frozen=True)
class _Sheets:
    """Whole sheets of a batch and changes of a tool on them, the money of the share that is used, and of all."""

    number: int
    changes: int
    share: Decimal
    cash: Decimal


def cost_report(
    assembly: Assembly, shop: ShopFile, batches: Sequence[int] | None = None, more_designs: int = 0
) -> CostReport:
    """Return what a kit of a frame costs.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    shop : ShopFile
        Machine, bench, sheets and prices.
    batches : sequence of int or None
        Kits made at once; those of the shop file when None.
    more_designs : int
        Kinds of part counted beyond those of the frame, for what one more would cost.

    Raises
    ------
    RequestError
        If the shop has no sheet of a material and thickness.
    """
    settings = _settings(assembly, shop, more_designs)
    rule = assembly.catalogue.rule(_YIELD_RULE)
    own = shop.yield_percent
    band = (own, own, own) if own is not None else (rule.value, rule.low or rule.value, rule.high or rule.value)
    frame = assembly.design.frame
    return CostReport(
        frame.name,
        frame.revision,
        shop.currency,
        *band,
        tuple(_part(p, settings.cutter_mm, band[0]) for p in settings.pieces),
        tuple(_batch(settings, frame.name, kits, band) for kits in batches or shop.batches),
        tuple(line.item for line in settings.bill if _price(shop, line.item) is None),
        (),
        0,
    )


def _settings(assembly: Assembly, shop: ShopFile, more_designs: int) -> _Settings:
    catalogue = assembly.catalogue
    chosen = bit_for(shop, catalogue, assembly.design.checks.cutter_mm)
    bit = shop_bit(catalogue, chosen)
    machine = shop.machine
    bridge = machine.tab_width_mm or catalogue.rule(_BRIDGE_RULE).value
    pace = Pace(machine.approach_s, machine.approach_s)
    spacing = bit.diameter + machine.web_mm
    pieces = []
    for finished in assembly.parts.values():
        plan = cut_plan(finished.outline, bit, machine.hole_compensation_mm, bridge if machine.hold == "tabs" else None)
        outer = finished.outline.outer
        grown = loop_area(outer) + perimeter(outer) * spacing / 2
        sinks = sum(len(hole.countersinks) for hole in finished.holes.holes)
        time = cut_time(plan, float(finished.part.thickness_mm), bit, pace)
        if finished.quantity:
            pieces.append(_Piece(finished, time, grown, sinks))
    scrap = shop.scrap_percent if shop.scrap_percent is not None else catalogue.rule(_SCRAP_RULE).value
    bill = tuple(line for line in bill_of_materials(assembly) if line.kind in _IN_KIT)
    designs = len(pieces) + more_designs
    return _Settings(shop, tuple(pieces), bill, bit.diameter, chosen.price, scrap / 100, designs)


def _part(piece: _Piece, cutter_mm: float, yield_percent: float) -> PartCost:
    part, time = piece.finished.part, piece.time
    return PartCost(
        part.id,
        piece.finished.quantity,
        part.material,
        float(part.thickness_mm),
        cutter_mm,
        outline_area(piece.finished.outline),
        100 * piece.grown / yield_percent,
        time.length,
        time.passes,
        time.seconds / S_PER_MIN,
        100 * time.wear,
        time.holes,
        time.drilled,
        time.openings,
        time.bridges,
    )


def _batch(settings: _Settings, frame: str, kits: int, band: tuple[float, float, float]) -> BatchCost:
    """Cost of one kit of a batch; every sum is over the batch, then shared."""
    shop, labour, machine = settings.shop, settings.shop.labour, settings.shop.machine
    counts = [started(kits * p.finished.quantity, settings.scrap) for p in settings.pieces]
    sheets = _sheets(settings, counts, band[0])
    extremes = [_sheets(settings, counts, percent).share for percent in (band[2], band[1])]
    cutting = sum(n * p.time.seconds for n, p in zip(counts, settings.pieces, strict=True))
    setup = (sheets.number * machine.setup_min_per_sheet + sheets.changes * machine.tool_change_min) * S_PER_MIN
    wear = sum(n * p.time.wear for n, p in zip(counts, settings.pieces, strict=True))
    edges = sum(n * p.time.length for n, p in zip(counts, settings.pieces, strict=True)) / MM_PER_M
    bench = edges * labour.edge_min_per_m * S_PER_MIN
    bench += sum(
        n * (p.time.bridges * labour.tab_s + p.sinks * labour.countersink_s)
        for n, p in zip(counts, settings.pieces, strict=True)
    )
    packing_time = kits * labour.pack_min_per_kit * S_PER_MIN
    once = (labour.batch_min + settings.designs * labour.design_min) * S_PER_MIN
    hardware, hardware_cash = _hardware(settings, kits)
    packing = sum((p.quantity * p.price for p in shop.packing), start=Decimal(0))
    bits = Decimal(repr(wear)) * settings.bit_price
    rows = (
        _row("sheets", f"{sheets.number} sheets by yield, the share that is used", sheets.share, kits),
        _row("cutting", f"{cutting / S_PER_MIN / kits:.1f} min", hours_cost(cutting, machine.rate_per_h), kits),
        _row("setting up", f"{setup / S_PER_MIN / kits:.1f} min", hours_cost(setup, machine.rate_per_h), kits),
        _row("bits", f"{wear / kits:.2f} bits", bits, kits),
        _row("edges, bridges, countersinks", _minutes(bench, kits), hours_cost(bench, labour.rate_per_h), kits),
        _row("hardware", f"{sum(b.quantity + b.spares for b in settings.bill)} pieces", hardware, kits),
        _row("packing", _minutes(packing_time, kits), hours_cost(packing_time, labour.rate_per_h), kits),
        _row("packing material", f"{sum(p.quantity for p in shop.packing)} pieces", packing * kits, kits),
        _row("once a batch", _minutes(once, kits), hours_cost(once, labour.rate_per_h), kits),
    )
    total = sum((r.money for r in rows), start=Decimal(0))
    low, high = (total + _cents((other - sheets.share) / kits) for other in extremes)
    cash = sheets.cash + hardware_cash + math.ceil(wear) * settings.bit_price + packing * kits
    sale = next((k for k in shop.kit if k.frame == frame), None)
    margin = None if sale is None else margin_at(sale.price, sale.fee_percent, total)
    return BatchCost(
        kits,
        rows,
        total,
        low,
        high,
        _cents(cash),
        (cutting + setup) / S_PER_MIN / kits,
        (bench + packing_time + once) / S_PER_MIN / kits,
        sheets.number,
        None if sale is None else sale.price,
        None if margin is None else _cents(margin.left),
        None if margin is None else margin.percent,
    )


def _sheets(settings: _Settings, counts: Sequence[float], yield_percent: float) -> _Sheets:
    """Return whole sheets of a batch, of each material and thickness those that are cheapest with their set-ups."""
    areas: dict[tuple[str, float], float] = {}
    drilled: set[tuple[str, float]] = set()
    for n, piece in zip(counts, settings.pieces, strict=True):
        key = piece.finished.part.material, float(piece.finished.part.thickness_mm)
        areas[key] = areas.get(key, 0.0) + n * piece.grown * 100 / yield_percent
        drilled |= {key} if piece.time.drilled else set()
    machine = settings.shop.machine
    number, changes, share, cash = 0, 0, Decimal(0), Decimal(0)
    for (material, thickness), area in areas.items():
        own = [s for s in settings.shop.sheet if s.material == material and abs(s.thickness_mm - thickness) < _SAME]
        if not own:
            msg = f"the shop file has no sheet of {thickness:g} mm {material}; add a [[sheet]] of it."
            raise RequestError(msg)
        change = tool_changes(1, (material, thickness) in drilled, 1)
        minutes = machine.setup_min_per_sheet + change * machine.tool_change_min
        offers = [SheetOffer(s.length_mm * s.width_mm, tuple(_breaks(s.prices))) for s in own]
        count, whole, used = sheets_cost(offers, area, hours_cost(minutes * S_PER_MIN, machine.rate_per_h))
        number, changes, share, cash = number + count, changes + count * change, share + used, cash + whole
    return _Sheets(number, changes, share, cash)


def _hardware(settings: _Settings, kits: int) -> tuple[Decimal, Decimal]:
    """Return the money of what is used, and of whole packs; items without a price count nothing and are named apart."""
    used, cash = Decimal(0), Decimal(0)
    for line in settings.bill:
        record = _price(settings.shop, line.item)
        if record is None:
            continue
        quantity = kits * (line.quantity + line.spares)
        packs, money = packs_cost(_breaks(record.prices), record.pack, quantity)
        used += min(money, quantity * price_of(_breaks(record.prices), packs) / record.pack)
        cash += money
    return used, cash


def _price(shop: ShopFile, item: str) -> HardwarePrice | None:
    return next((h for h in shop.hardware if fnmatch.fnmatchcase(item, h.item)), None)


def _breaks(prices: Sequence[PriceBreak]) -> list[Break]:
    return [Break(b.quantity, b.price) for b in prices]


def _row(what: str, basis: str, money: Decimal, kits: int) -> CostRow:
    return CostRow(what, basis, _cents(money / kits))


def _minutes(seconds: float, kits: int) -> str:
    return f"{seconds / S_PER_MIN / kits:.1f} min"


def _cents(money: Decimal) -> Decimal:
    return money.quantize(_CENT, ROUND_HALF_UP)
