"""What planning asks a ledger: sales by week, stock, orders to come, prices, lead times; for all items at once."""

from __future__ import annotations

import datetime
import statistics
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from platewright.foundation.errors import LedgerError, nearest_names
from platewright.io.ledger.item_tables import item, kit, kit_line, ledger, offer, supplier
from platewright.io.ledger.items import settings
from platewright.io.ledger.queries import LotRow, deliveries, lots_of, moved_by_day, open_orders
from platewright.io.ledger.tables import lot
from platewright.shop.demand import WEEK
from platewright.shop.plan_records import FrameSales, Offer, StockedItem, Supplier

__all__ = ["PlanData", "plan_data"]

_WEEKS = 52
_ENOUGH = 3  # deliveries from which a lead time is measured
_ASSUMED_DAYS = 14  # lead time where nobody said one; ours
Weeks = tuple[float, ...]


@dataclass(frozen=True)
class PlanData:
    """What `shop.planning` starts from."""

    currency: str
    frames: tuple[FrameSales, ...]
    items: tuple[StockedItem, ...]
    suppliers: dict[str, Supplier]


def plan_data(connection: Connection, on: datetime.date, expected: Mapping[str, float] | None = None) -> PlanData:
    """Return all that planning needs, of the 52 weeks before a day.

    Parameters
    ----------
    connection : Connection
        To the ledger.
    on : date
        The day; movements of that day count as the last week's.
    expected : mapping of str to float or None
        Kits a month that a frame is expected to sell.

    Raises
    ------
    LedgerError
        If a frame that is expected to sell is not in the ledger.
    """
    currency = settings(connection).currency
    newest = _newest_kits(connection)
    _check_frames(expected or {}, newest)
    sold, loose, n_weeks = _sales(connection, on)
    found = lots_of(connection)
    frames = _frames(connection, newest, found, (sold, n_weeks, on), expected or {})
    states: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in found:
        states[row.item][row.state] += row.left
    coming: dict[str, int] = defaultdict(int)
    for order in open_orders(connection):
        coming[order.item] += order.to_come
    offers, last = _offers(connection, on, currency), _last_deliveries(connection, currency)
    rows = connection.execute(
        select(item.c.id, item.c.kind, item.c.name, item.c.discontinued_on)
        .where(item.c.kind != "kit")
        .order_by(item.c.kind, item.c.id)
    )
    items = [
        StockedItem(
            r.id, r.kind, r.name, states[r.id]["accepted"] + states[r.id]["free"], states[r.id]["unchecked"],
            states[r.id]["refused"], coming[r.id], _weeks(loose.get(r.id, {}), n_weeks), tuple(offers.get(r.id, ())),
            *last.get(r.id, ("", None)), r.discontinued_on is not None and r.discontinued_on <= on,
        )
        for r in rows
    ]  # fmt: skip
    return PlanData(currency, tuple(frames), tuple(items), _suppliers(connection))


def _newest_kits(connection: Connection) -> dict[str, tuple[str, datetime.date, list[str]]]:
    """Return each frame's newest kit, when its first one was frozen, and all its kits."""
    rows = connection.execute(
        select(kit.c.frame, kit.c.item_id, kit.c.frozen_on, item.c.discontinued_on)
        .join(item, item.c.id == kit.c.item_id)
        .order_by(kit.c.frame, kit.c.frozen_on, kit.c.item_id)
    )
    found: dict[str, tuple[str, datetime.date, list[str]]] = {}
    for r in rows:
        before = found.get(r.frame)
        found[r.frame] = (r.item_id, before[1] if before else r.frozen_on, [*(before[2] if before else []), r.item_id])
    return found


def _check_frames(expected: Mapping[str, float], newest: Mapping[str, object]) -> None:
    for frame in expected:
        if frame not in newest:
            known = nearest_names(frame, list(newest)) or list(newest)
            hint = f"the ledger has {', '.join(known)}" if known else "enter its design with `stock items` first"
            msg = f"there is no kit of a frame '{frame}'; {hint}."
            raise LedgerError("ledger.unknown_kit", msg)


def _sales(
    connection: Connection, on: datetime.date
) -> tuple[dict[str, dict[int, float]], dict[str, dict[int, float]], int]:
    """Return kits and loose pieces sold by weeks before the day, 0 the last, and how many weeks the shop is open."""
    since = on - datetime.timedelta(days=_WEEKS * WEEK - 1)
    sold: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    loose: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    first = connection.execute(select(ledger.c.created_on)).scalar_one()
    for row in moved_by_day(connection, ("sale", "spare"), since):
        if row.on <= on:
            (sold if row.kind == "sale" else loose)[row.item][(on - row.on).days // WEEK] += row.pieces
            first = min(first, row.on)
    return sold, loose, min(_WEEKS, max(1, ((on - first).days + 1) // WEEK))


def _frames(
    connection: Connection,
    newest: Mapping[str, tuple[str, datetime.date, list[str]]],
    lots: list[LotRow],
    sales: tuple[Mapping[str, Mapping[int, float]], int, datetime.date],
    expected: Mapping[str, float],
) -> list[FrameSales]:
    sold, n_weeks, on = sales
    packed: dict[str, int] = defaultdict(int)
    for row in lots:
        packed[row.item] += row.left
    bills: dict[str, dict[str, int]] = defaultdict(dict)
    for r in connection.execute(select(kit_line).where(kit_line.c.included)):
        bills[r.kit_id][r.item_id] = r.quantity + r.spares
    frames = []
    for frame, (code, first, kits) in newest.items():
        by_week: dict[int, float] = defaultdict(float)
        for name in kits:
            for week, pieces in sold.get(name, {}).items():
                by_week[week] += pieces
        open_weeks = max(((on - first).days + 1) // WEEK, max(by_week, default=0) + 1, 1)
        weeks = _weeks(by_week, min(n_weeks, open_weeks))
        in_stock = sum(max(packed[name], 0) for name in kits)
        frames.append(FrameSales(frame, weeks, in_stock, bills[code], expected.get(frame)))
    return frames


def _weeks(by_week: Mapping[int, float], n: int) -> Weeks:
    """Return n weeks, oldest first; what lies just before them counts with the oldest."""
    weeks = [0.0] * n
    for week, pieces in by_week.items():
        weeks[n - 1 - min(week, n - 1)] += pieces
    return tuple(weeks)


def _offers(connection: Connection, on: datetime.date, currency: str) -> dict[str, list[Offer]]:
    """Return the newest price of each supplier and quantity that is valid on a day."""
    rows = connection.execute(
        select(offer).where(offer.c.valid_from <= on, offer.c.currency == currency).order_by(offer.c.valid_from)
    )
    newest = {(r.item_id, r.supplier_id, r.minimum_quantity): float(r.unit_price) for r in rows}
    found: dict[str, list[Offer]] = defaultdict(list)
    for (code, name, quantity), price in newest.items():
        if price > 0:
            found[code].append(Offer(name, quantity, price))
    return found


def _last_deliveries(connection: Connection, currency: str) -> dict[str, tuple[str, float | None]]:
    """Return supplier and price of each item's last delivery."""
    last = select(func.max(lot.c.id)).where(lot.c.supplier_id.is_not(None)).group_by(lot.c.item_id)
    rows = connection.execute(
        select(lot.c.item_id, lot.c.supplier_id, lot.c.unit_price, lot.c.currency).where(lot.c.id.in_(last))
    )
    return {
        r.item_id: (r.supplier_id, float(r.unit_price) if r.unit_price and r.currency == currency else None)
        for r in rows
    }


def _suppliers(connection: Connection) -> dict[str, Supplier]:
    """Return lead times: measured from three deliveries on, else stated, else assumed."""
    days: dict[str, list[int]] = defaultdict(list)
    for row in deliveries(connection):
        days[row.supplier].append(row.days)
    found = {"": Supplier("", _ASSUMED_DAYS, 0.0, "assumed")}
    for r in connection.execute(select(supplier)):
        took = days[r.id]
        if len(took) >= _ENOUGH:
            found[r.id] = Supplier(r.id, statistics.fmean(took), statistics.stdev(took), "measured")
        elif r.lead_time_days is not None:
            found[r.id] = Supplier(r.id, r.lead_time_days, r.lead_time_spread_days or 0.0, "stated")
        else:
            found[r.id] = Supplier(r.id, _ASSUMED_DAYS, 0.0, "assumed")
    return found
