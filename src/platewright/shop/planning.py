"""What to order today: demand of parts from sales of kits, reorder points and order sizes, what sharing saves.

An item's demand is what the frames' kits take plus what is sold loose. Its position counts what is usable, unchecked,
on order, and inside unsold kits (the echelon stock of a part: an unsold kit of a frame, of whatever revision, stands
for one that need not be packed). An order is due when the position is not above the reorder point over the lead time
and one review. Formulas: `reorder`, `lot_size`, `demand`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.shop.demand import demands_of, pooling
from platewright.shop.lot_size import OrderSize, order_size
from platewright.shop.plan_records import (
    FrameSales,
    PlannedItem,
    PlanOptions,
    PlanReport,
    Sharing,
    StockedItem,
    Supplier,
)
from platewright.shop.reorder import LeadDemand, lead_demand, reorder_point

__all__ = ["plan_orders"]

_YEAR = 365.0
_MONTH = 30.0
_COVER_DAYS = 60.0  # of demand that an order without a price is for
Vector = NDArray[np.float64]


def plan_orders(
    on: str,
    currency: str,
    frames: Sequence[FrameSales],
    items: Sequence[StockedItem],
    suppliers: Mapping[str, Supplier],
    options: PlanOptions,
) -> PlanReport:
    """Return what to order, what is tied up, and what sharing saves.

    Parameters
    ----------
    on, currency : str
        Day and currency, as they are to be shown.
    frames : sequence of FrameSales
        Every frame with its kit.
    items : sequence of StockedItem
        Everything but kits.
    suppliers : mapping of str to Supplier
        By code; that of the empty code stands for unknown ones.
    options : PlanOptions
        What the maker decides.

    Raises
    ------
    ValueError
        If an option is out of range.
    """
    if not (options.order_cost >= 0 and options.holding_percent > 0 and options.most_days > 0):
        msg = "the cost of an order must be 0 or more, holding above 0 % and the longest cover above 0 days."
        raise ValueError(msg)
    means, covariance, measured = _kit_demands(frames)
    planned, sharing = [], []
    for item in items:
        pieces = np.array([frame.pieces.get(item.item, 0) for frame in frames], dtype=float)
        loose = demands_of(np.array([item.loose_weeks or (0.0,)]))
        apart = [
            (float(p * m), float(p * p * v))
            for p, m, v in zip(pieces, means, np.diag(covariance), strict=True)
            if p and m
        ]
        own = (float(loose.means[0]), float(loose.covariance[0, 0]))
        demand = float(pieces @ means) + own[0]
        variance = float(pieces @ covariance @ pieces) + own[1]
        in_kits = int(sum(frame.kits_in_stock * p for frame, p in zip(frames, pieces, strict=True)))
        if demand == 0 and not (item.usable or item.unchecked or item.on_order or in_kits):
            continue
        row = _planned(item, demand, variance, in_kits, suppliers, options)
        planned.append(row)
        if len(apart) > 1:
            users = tuple(frame.frame for frame, p, m in zip(frames, pieces, means, strict=True) if p and m)
            correlation = pooling(pieces.tolist(), covariance).correlation if measured else math.nan
            sharing.append(_sharing(item, row, users, correlation, (apart, own, demand, variance), options))
    return _report(on, currency, frames, planned, sharing, options)


def _kit_demands(frames: Sequence[FrameSales]) -> tuple[Vector, Vector, bool]:
    """Return means and covariance of the frames' kits per day, and whether all of it was measured.

    Frames with fewer weeks than others, or with an expected demand, are taken as independent.
    """
    n = len(frames)
    means, covariance = np.zeros(n), np.zeros((n, n))
    longest = max((len(frame.weeks) for frame in frames), default=0)
    measured = False
    whole = [k for k, f in enumerate(frames) if f.expected_per_month is None and len(f.weeks) == longest]
    if whole and longest:
        found = demands_of(np.array([frames[k].weeks for k in whole], dtype=float))
        means[whole] = found.means
        measured = found.measured and len(whole) == n
        covariance[np.ix_(whole, whole)] = found.covariance
    for k, frame in enumerate(frames):
        if frame.expected_per_month is not None:
            means[k] = covariance[k, k] = frame.expected_per_month / _MONTH
        elif k not in whole and frame.weeks:
            own = demands_of(np.array([frame.weeks], dtype=float))
            means[k], covariance[k, k] = own.means[0], own.covariance[0, 0]
    return means, covariance, measured


def _planned(
    item: StockedItem,
    demand: float,
    variance: float,
    in_kits: int,
    suppliers: Mapping[str, Supplier],
    options: PlanOptions,
) -> PlannedItem:
    position = item.usable + item.unchecked + item.on_order + in_kits
    code, size = _best_offer(item, demand, 1, options)
    supplier = suppliers.get(code, suppliers[""])
    lead = _lead(demand, variance, supplier, options)
    point = reorder_point(lead, options.service_level)
    quantity, price = 0, size.unit_price if size else item.last_price
    due = demand > 0 and position <= point
    note = "" if item.offers else "no price noted" if item.last_price is None else "price of the last delivery"
    if due and item.ended:
        note = "no longer to be had: see its substitutes"
    elif due:
        code, size = _best_offer(item, demand, point + 1 - position, options)
        quantity = size.quantity if size else max(point + 1 - position, math.ceil(demand * _COVER_DAYS))
        price = size.unit_price if size else price
    usual = size.quantity if size else math.ceil(demand * _COVER_DAYS)
    return PlannedItem(
        item.item, item.kind, item.name, code, quantity, price,
        round(quantity * price, 2) if price is not None else None,
        usual if demand > 0 else 0, point, round(point - lead.mean, 2), position, item.usable, item.unchecked,
        item.refused, item.on_order, in_kits, round(demand, 4), round(math.sqrt(variance), 4),
        round(supplier.lead_time_days, 2), round(supplier.lead_time_spread_days, 2), supplier.source,
        round(position / demand, 1) if demand > 0 else None, note,
    )  # fmt: skip


def _lead(demand: float, variance: float, supplier: Supplier, options: PlanOptions) -> LeadDemand:
    days = supplier.lead_time_days + options.review_days
    return lead_demand(demand, math.sqrt(variance), days, supplier.lead_time_spread_days)


def _best_offer(item: StockedItem, demand: float, at_least: int, options: PlanOptions) -> tuple[str, OrderSize | None]:
    """Return the supplier whose year costs least, and how many pieces to order there at once."""
    breaks: dict[str, list[tuple[int, float]]] = {}
    for offer in sorted(item.offers, key=lambda o: (o.supplier, o.minimum_quantity)):
        breaks.setdefault(offer.supplier, []).append((offer.minimum_quantity, offer.unit_price))
    if not breaks and item.last_price:
        breaks[item.last_supplier] = [(1, item.last_price)]
    most = max(1, math.ceil(demand * options.most_days))
    sizes = {
        supplier: order_size(demand * _YEAR, options.order_cost, options.holding_percent / 100, prices, at_least, most)
        for supplier, prices in breaks.items()
    }
    if not sizes:
        return item.last_supplier, None
    best = min(sizes, key=lambda supplier: (sizes[supplier].cost_per_year, supplier))
    return best, sizes[best]


def _sharing(
    item: StockedItem,
    row: PlannedItem,
    users: tuple[str, ...],
    correlation: float,
    demands: tuple[list[tuple[float, float]], tuple[float, float], float, float],
    options: PlanOptions,
) -> Sharing:
    """Compare the shared stock with one for each frame, all bought from the same supplier; loose sales are apart."""
    apart, own, demand, variance = demands
    shared = (demand - own[0], variance - own[1])
    supplier = Supplier(row.supplier, row.lead_time_days, row.lead_time_spread_days, row.lead_time_source)

    def stocks(mean: float, var: float) -> tuple[float, float, float]:
        lead = _lead(mean, max(var, 0.0), supplier, options)
        _, size = _best_offer(item, mean, 1, options)
        quantity = size.quantity if size else math.ceil(mean * _COVER_DAYS)
        return reorder_point(lead, options.service_level) - lead.mean, quantity / 2, mean * _YEAR / quantity

    each = [stocks(mean, var) for mean, var in apart]
    safety, cycle, orders = (sum(values) for values in zip(*each, strict=True))
    together = stocks(*shared)
    saved = safety + cycle - together[0] - together[1]
    return Sharing(
        item.item, item.name, users, None if math.isnan(correlation) else round(correlation, 3), round(safety, 2),
        round(together[0], 2), round(cycle, 1), round(together[1], 1), round(saved, 2),
        round(saved * row.unit_price, 2) if row.unit_price is not None else None, round(orders - together[2], 2),
    )  # fmt: skip


def _report(
    on: str,
    currency: str,
    frames: Sequence[FrameSales],
    planned: list[PlannedItem],
    sharing: list[Sharing],
    options: PlanOptions,
) -> PlanReport:
    def worth(pieces: int, row: PlannedItem) -> float:
        return pieces * (row.unit_price or 0.0)

    planned.sort(key=lambda r: (r.order_today == 0, r.supplier, math.inf if r.lasts_days is None else r.lasts_days))
    sharing.sort(key=lambda s: (-(s.saved_money or 0.0), s.item))
    mean_stock = sum(max(r.safety_stock, 0.0) * (r.unit_price or 0.0) + worth(r.order_size, r) / 2 for r in planned)
    return PlanReport(
        on, currency, options, max((len(frame.weeks) for frame in frames), default=0), tuple(planned), tuple(sharing),
        round(sum(r.cost or 0.0 for r in planned), 2),
        round(sum(worth(r.usable + r.unchecked, r) for r in planned), 2),
        round(sum(worth(r.in_kits, r) for r in planned), 2),
        round(sum(worth(r.on_order, r) for r in planned), 2),
        round(mean_stock, 2),
        round(sum(s.saved_money or 0.0 for s in sharing), 2),
        tuple(r.item for r in planned if r.unit_price is None),
    )  # fmt: skip
