"""`platewright plan`: what to order today, what is tied up, and what sharing parts saves."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.table import Table

from platewright.app.plan import plan as run_plan
from platewright.app.plan import plan_json, read_expected, write_plan
from platewright.app.stock import DEFAULT_LEDGER
from platewright.cli.tables import new_table, screen
from platewright.shop.plan_records import PlannedItem, PlanOptions, PlanReport

__all__ = ["plan"]

_MOST_SHARED = 12  # rows; all are in the JSON


def plan(
    *,
    ledger: str = DEFAULT_LEDGER,
    service_percent: float = 95.0,
    order_cost: float = 20.0,
    holding_percent: float = 25.0,
    review_days: int = 7,
    most_days: int = 365,
    expect: Annotated[list[str] | None, Parameter(consume_multiple=False)] = None,
    on: datetime.date | None = None,
    all: bool = False,
    csv: Path | None = None,
    decimal_comma: bool = False,
    json: bool = False,
) -> int:
    """Say what to order today: from sales, lead times, price breaks and the service level you want.

    Parameters
    ----------
    ledger
        A file, or postgresql://user@host/database.
    service_percent
        Chance that one lead time ends without a shortage.
    order_cost
        What placing one order costs, its shipping and the work, in the ledger's currency.
    holding_percent
        What holding stock costs a year, of its price.
    review_days
        Days until you look again.
    most_days
        No order for more days than these, unless a supplier's least quantity is more.
    expect
        FRAME=KITS, kits a month that a frame will sell, instead of what it sold; may be given several times.
    on
        The day; today if none is given.
    all
        Items that need no order too.
    csv
        Write all items into this file.
    decimal_comma
        Write 12,50 in the file, and part cells by semicolons.
    json
        Print JSON instead of tables; its form is docs/reference/plan.schema.json.
    """
    options = PlanOptions(service_percent / 100, order_cost, holding_percent, review_days, most_days)
    report = run_plan(ledger, on or datetime.date.today(), options, read_expected(expect or []))
    if csv is not None:
        write_plan(report, csv, decimal_comma)
    if json:
        print(plan_json(report))
        return 0
    console = screen()
    shown = [r for r in report.items if all or r.order_today or (r.note.startswith("no longer") and r.demand_per_day)]
    if shown:
        console.print(_items(report, shown))
    else:
        console.print("Nothing to order today.")
    if report.sharing:
        console.print(_sharing(report))
    for line in _sums(report):
        console.print(line, markup=False, soft_wrap=True)
    return 0


def _items(report: PlanReport, rows: list[PlannedItem]) -> Table:
    right = ("order", "cost", "there", "at", "a week", "lead", "lasts")
    table = new_table(f"To order on {report.on}", "supplier", "item", *right, left=2)
    for r in rows:
        spread = f"±{r.lead_time_spread_days:.2g}" if r.lead_time_spread_days else ""
        table.add_row(
            r.supplier or "?",
            r.item,
            str(r.order_today or ""),
            f"{r.cost:.2f}" if r.cost else "?" if r.unit_price is None else "",
            str(r.position),
            str(r.reorder_point),
            f"{7 * r.demand_per_day:.1f}±{7**0.5 * r.spread_per_day:.1f}",
            f"{r.lead_time_days:.3g}{spread}" + ("?" if r.lead_time_source == "assumed" else ""),
            "" if r.lasts_days is None else f"{r.lasts_days:.0f}",
        )
    return table


def _sharing(report: PlanReport) -> Table:
    right = ("correlation", "safety", "half orders", "saved", "orders/year")
    table = new_table("What it saves that frames share an item", "item", "frames", *right, left=2)
    for s in report.sharing[:_MOST_SHARED]:
        table.add_row(
            s.item,
            ", ".join(s.frames),
            "" if s.correlation is None else f"{s.correlation:.2f}",
            f"{s.safety_apart:.0f} → {s.safety_together:.0f}",
            f"{s.cycle_apart:.0f} → {s.cycle_together:.0f}",
            f"{s.saved_pieces:.0f} pcs" if s.saved_money is None else f"{s.saved_money:.2f}",
            f"{-s.orders_saved_per_year:+.1f}",
        )
    return table


def _sums(report: PlanReport) -> list[str]:
    money = report.currency
    tied = report.cash_loose + report.cash_in_kits + report.cash_on_order
    lines = [
        f"Today's orders: {report.to_pay:.2f} {money}.",
        f"Tied up: {report.cash_loose:.2f} loose, {report.cash_in_kits:.2f} in unsold kits, "
        f"{report.cash_on_order:.2f} on order, {tied:.2f} {money} in all; "
        f"by this plan {report.cash_planned:.2f} on the mean.",
    ]
    if report.sharing:
        lines.append(
            f"Shared items tie up {report.saved_by_sharing:.2f} {money} less than a stock for each frame would."
        )
    lines.append(
        "There: usable, unchecked, to come, and in unsold kits. Lead and lasts are days; at: order from there on."
    )
    if report.weeks_of_sales < 8:
        lines.append(
            f"Weeks of sales: {report.weeks_of_sales}; spreads are taken as chance (Poisson) until there are 8."
        )
    if any(r.lead_time_source == "assumed" and r.demand_per_day for r in report.items):
        lines.append("A lead time with ? is assumed: say it with `platewright stock supplier`.")
    if report.unpriced:
        lines.append(f"No price in the ledger, counted as nothing: {', '.join(report.unpriced)}.")
    ended = [r.item for r in report.items if r.note.startswith("no longer")]
    if ended:
        lines.append(f"Due, but no longer to be had: {', '.join(ended)}; see `platewright stock discontinue`.")
    return lines
