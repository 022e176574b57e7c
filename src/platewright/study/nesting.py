"""From frames and a shop to the jobs of the nesting, one for each material and thickness, and from nests to rows."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

import shapely

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.fabrication.nest import Layout, Nest, NestPart, Piece, Stock
from platewright.foundation.errors import RequestError
from platewright.model.catalogue import Catalogue
from platewright.model.shop import Offcut, ShopCutter, ShopFile, ShopSheet, price_at
from platewright.study.fabric import allowed_turns
from platewright.study.nest_results import NestedPiece, NestedSheet, NestGroupRow, RestRow

__all__ = ["FrameOrder", "NestJob", "bit_for", "group_row", "nest_jobs", "start_of"]

_S = TypeVar("_S", ShopSheet, Offcut)
_MARGIN_RULE = "yield.sheet_margin_mm"
_SAME = 1e-6  # thicknesses [mm]
_WORTH = 40.0  # a rest shorter than this is swept up [mm]


@dataclass(frozen=True)
class FrameOrder:
    """A frame under the name of its file, and how many kits of it."""

    name: str
    assembly: Assembly
    kits: int


@dataclass(frozen=True)
class NestJob:
    """All pieces of one material and thickness, and what they may be cut from.

    `finished` gives the part of each key, `bits` the diameter of the bit that cuts it, `records` the shop's record of
    each stock.
    """

    material: str
    thickness_mm: float
    cutter_mm: float
    spacing_mm: float
    parts: tuple[NestPart, ...]
    stocks: tuple[Stock, ...]
    finished: dict[str, tuple[FrameOrder, FinishedPart]]
    bits: dict[str, float]
    records: dict[str, ShopSheet | Offcut]

    @property
    def pieces(self) -> int:
        """How many there are."""
        return sum(part.quantity for part in self.parts)

    @property
    def digest(self) -> str:
        """Changes with every part, quantity, sheet and spacing."""
        rows = [
            [p.key, p.quantity, p.turns, p.outline.outer.vertices, [i.vertices for i in p.outline.inner]]
            for p in self.parts
        ]
        stocks = [[s.key, s.length, s.width, s.margin, s.clamps, s.cost, s.available] for s in self.stocks]
        return hashlib.sha256(json.dumps([rows, stocks, self.spacing_mm]).encode()).hexdigest()[:16]


def nest_jobs(orders: Sequence[FrameOrder], shop: ShopFile, catalogue: Catalogue) -> tuple[NestJob, ...]:
    """Return the jobs, thin plates first.

    Parameters
    ----------
    orders : sequence of FrameOrder
        Frames, each under a name of its own.
    shop : ShopFile
        Sheets, offcuts and cutters.
    catalogue : Catalogue
        Materials and rules.

    Raises
    ------
    RequestError
        If the shop has no sheet of a material and thickness.
    """
    groups: dict[tuple[str, float], dict[str, tuple[FrameOrder, FinishedPart]]] = {}
    for order in orders:
        for finished in order.assembly.parts.values():
            if finished.quantity:
                key = finished.part.material, float(finished.part.thickness_mm)
                groups.setdefault(key, {})[f"{order.name}/{finished.part.id}"] = order, finished
    ordered = sorted(groups.items(), key=lambda item: (item[0][1], item[0][0]))
    missing = [key for key, _ in ordered if not _sheets(shop.sheet, *key) and not _sheets(shop.offcut, *key)]
    if missing:
        wanted = " and ".join(f"{thickness:g} mm {material}" for material, thickness in missing)
        msg = f"the shop file has no sheet of {wanted}; add a [[sheet]] of it."
        raise RequestError(msg)
    return tuple(_job(material, thickness, found, shop, catalogue) for (material, thickness), found in ordered)


def bit_for(shop: ShopFile, catalogue: Catalogue, cutter_mm: float) -> ShopCutter:
    """Return the thickest of the shop's bits that is no thicker than the one a design counts on, else its thinnest."""
    known = sorted(shop.cutter, key=lambda c: catalogue.cutter(c.id).diameter_mm)
    fit = [c for c in known if catalogue.cutter(c.id).diameter_mm <= cutter_mm + _SAME]
    return fit[-1] if fit else known[0]


def group_row(job: NestJob, nest: Nest) -> NestGroupRow:
    """Return a nest as rows, its sheets named by material, thickness and number."""
    counts: dict[str, int] = {}
    for layout in nest.layouts:
        counts[layout.stock.key] = counts.get(layout.stock.key, 0) + 1
    sheets = tuple(_sheet(job, nest, layout, n, counts) for n, layout in enumerate(nest.layouts, 1))
    area = sum(s.part_area_mm2 for s in sheets)
    whole = sum(s.length_mm * s.width_mm for s in sheets)
    return NestGroupRow(
        job.material,
        job.thickness_mm,
        job.cutter_mm,
        job.spacing_mm,
        job.pieces,
        area,
        100 * area / whole,
        job.digest,
        sheets,
    )


def start_of(job: NestJob, row: NestGroupRow) -> Nest | None:
    """Return an earlier nest to go on from; None if it is of other pieces or sheets."""
    if row.job != job.digest:
        return None
    stocks = {s.key: s for s in job.stocks}
    layouts = tuple(
        Layout(
            stocks[sheet.stock],
            tuple(Piece(f"{p.frame}/{p.part}", p.x_mm, p.y_mm, math.radians(p.turn_deg)) for p in sheet.pieces),
        )
        for sheet in row.sheets
    )
    return Nest(job.parts, layouts, job.spacing_mm)


def _job(
    material: str,
    thickness: float,
    found: dict[str, tuple[FrameOrder, FinishedPart]],
    shop: ShopFile,
    catalogue: Catalogue,
) -> NestJob:
    bits = {
        key: catalogue.cutter(bit_for(shop, catalogue, order.assembly.design.checks.cutter_mm).id).diameter_mm
        for key, (order, _) in found.items()
    }
    cutter = max(bits.values())
    margin = catalogue.rule(_MARGIN_RULE).value
    sheets, offcuts = _sheets(shop.sheet, material, thickness), _sheets(shop.offcut, material, thickness)
    records: dict[str, ShopSheet | Offcut] = {}
    stocks = []
    both: list[ShopSheet | Offcut] = [*offcuts, *sheets]
    for record in both:
        is_offcut = isinstance(record, Offcut)
        key = record.id if isinstance(record, Offcut) else f"{record.length_mm:g}x{record.width_mm:g}"
        key = key if key not in records else f"{key}_{len(records)}"
        records[key] = record
        cost = 0.0 if isinstance(record, Offcut) else float(price_at(record.prices, 1))
        stocks.append(
            Stock(
                key,
                record.length_mm,
                record.width_mm,
                margin if record.margin_mm is None else record.margin_mm,
                tuple((*c.at_mm, *c.size_mm) for c in record.clamps),
                cost,
                record.quantity if isinstance(record, Offcut) else None,
                is_offcut,
            )
        )
    any_turn = all(record.any_turn for record in records.values())
    laminate = catalogue.laminate(material)
    parts = []
    for key, (order, finished) in found.items():
        turns = allowed_turns(laminate, float(finished.part.grain_deg), any_turn)
        radians = None if turns is None else tuple(math.radians(t) for t in turns)
        parts.append(NestPart(key, finished.outline, finished.quantity * order.kits, radians))
    spacing = cutter + shop.machine.web_mm
    return NestJob(material, thickness, cutter, spacing, tuple(parts), tuple(stocks), found, bits, records)


def _sheets(records: Sequence[_S], material: str, thickness: float) -> list[_S]:
    return [r for r in records if r.material == material and abs(r.thickness_mm - thickness) < _SAME]


def _sheet(job: NestJob, nest: Nest, layout: Layout, number: int, counts: dict[str, int]) -> NestedSheet:
    stock, record = layout.stock, job.records[layout.stock.key]
    used, area = layout.used_length(nest.by_key), layout.part_area(nest.by_key)
    left = stock.length - used - job.spacing_mm
    price = price_at(record.prices, counts[stock.key]) if isinstance(record, ShopSheet) else Decimal(0)
    return NestedSheet(
        f"{job.material}_{job.thickness_mm:g}mm_{number}",
        stock.key,
        stock.offcut,
        stock.length,
        stock.width,
        stock.margin,
        price,
        used,
        area,
        100 * area / stock.area,
        100 * area / (used * stock.width),
        RestRow(left, stock.width) if left >= _WORTH else None,
        _pieces(job, nest, layout),
    )


def _pieces(job: NestJob, nest: Nest, layout: Layout) -> tuple[NestedPiece, ...]:
    """Pieces in the order of cutting: what lies in openings first, then from the left."""
    polygons = [p.polygon(nest.by_key[p.part]) for p in layout.pieces]
    filled = [shapely.Polygon(polygon.exterior) for polygon in polygons]
    tree = shapely.STRtree(filled)
    within = {int(a) for a, b in tree.query(filled, predicate="within").T if a != b}
    order = sorted(range(len(polygons)), key=lambda k: (k not in within, *polygons[k].bounds[:2]))
    made = []
    for number, k in enumerate(order, 1):
        piece = layout.pieces[k]
        frame, _, part = piece.part.rpartition("/")
        turn = math.degrees(piece.turn) % 360
        at = round(piece.x, 6), round(piece.y, 6), round(turn, 9)
        made.append(NestedPiece(number, frame, part, *at, k in within, job.bits[piece.part]))
    return tuple(made)
