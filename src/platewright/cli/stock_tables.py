"""Tables and sentences about the stock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.io.ledger.checks import Checked, CheckSheet
from platewright.io.ledger.queries import LotRow, OpenOrder, StockRow
from platewright.io.ledger.traces import Loss, LotReturns, Trace

__all__ = [
    "checked_lines",
    "loss_lines",
    "lots_table",
    "orders_table",
    "sheet_lines",
    "stock_table",
    "trace_lines",
    "trace_table",
]


def stock_table(rows: Sequence[StockRow]) -> Table:
    """Return the stock as a table."""
    table = new_table("Stock", "item", "kind", "name", "in stock", "held", "on order", left=3)
    table.add_column("")
    for r in rows:
        ended = f"ended {r.discontinued_on}" if r.discontinued_on is not None else ""
        table.add_row(r.item, r.kind, r.name, str(r.on_hand), str(r.held or ""), str(r.on_order or ""), ended)
    return table


def lots_table(rows: Sequence[LotRow]) -> Table:
    """Return lots as a table."""
    table = new_table("Lots", "lot", "sheet", "supplier", "since", "state", "left", left=5)
    for r in rows:
        table.add_row(r.lot, r.sheet, r.supplier, str(r.received_on), r.state, str(r.left))
    return table


def orders_table(rows: Sequence[OpenOrder]) -> Table:
    """Return open orders as a table."""
    table = new_table(
        "To come", "order", "supplier", "ordered", "expected", "item", "ordered", "received", "to come", left=5
    )
    for r in rows:
        expected = str(r.expected_on or "")
        counts = (str(r.ordered), str(r.received), str(r.to_come))
        table.add_row(str(r.order), r.supplier, str(r.ordered_on), expected, r.item, *counts)
    return table


def trace_table(found: Trace) -> Table:
    """Return the kits that hold pieces of a lot as a table."""
    table = new_table("Kits that hold them", "kit", "item", "is", "buyer", "sale", "since", "pieces", left=6)
    for h in found.holders:
        table.add_row(h.number, h.item, h.state, h.buyer, h.reference, str(h.on or ""), str(h.pieces))
    return table


def trace_lines(code: str, found: Trace) -> Iterator[str]:
    """Yield sentences about a lot: what is left, and returns beside those of other lots of the same items."""
    yield f"{code}: {found.left} left, {found.rejected} rejected or scrapped, {found.spares_sold} sold loose."
    for row in found.lots:
        yield f"  lot {row.lot} of {row.item}: {_returned(row)}"
        others = [r for r in found.others if r.item == row.item and r.sold]
        if others:
            both = LotReturns(row.item, "", "", sum(r.sold for r in others), sum(r.returned for r in others))
            yield f"  its other {len(others)} lots: {_returned(both)}"


def sheet_lines(sheet: CheckSheet) -> Iterator[str]:
    """Yield what to draw and measure."""
    plan = sheet.plan
    if plan.whole_lot:
        yield f"Measure all {plan.sample_size} pieces of lot {sheet.lot} of {sheet.item};"
    else:
        yield f"Draw {plan.sample_size} of {sheet.pieces} pieces of lot {sheet.lot} of {sheet.item} at random;"
    yield f"accept with at most {plan.acceptance_number} faulty."
    if not plan.whole_lot:
        yield (
            f"A lot with {100 * plan.acceptable:g} % faulty is refused in {100 * plan.supplier_risk:.1f} % of cases, "
            f"one with {100 * plan.tolerated:g} % accepted in {100 * plan.buyer_risk:.1f} %."
        )
    for limit in sheet.limits:
        yield f"  {limit.feature}: {limit.nominal:g}, from {limit.low:g} to {limit.high:g}"
    if not sheet.limits:
        yield "  nothing is on a drawing: look at each piece, then run this with --book and, if need be, --by-eye."


def checked_lines(checked: Checked) -> Iterator[str]:
    """Yield what a check found."""
    for measure, limit in checked.outside:
        yield (f"piece {measure.piece}: {measure.feature} {measure.value:g} is outside {limit.low:g} to {limit.high:g}")
    plan, n_faulty = checked.sheet.plan, checked.n_faulty
    out = "; they went out of stock" if checked.accepted and n_faulty else ""
    yield f"{plan.sample_size} looked at, {n_faulty} faulty, {plan.acceptance_number} allowed{out}."
    verdict = "accepted" if checked.accepted else "refused: nothing is packed or sold from it"
    yield f"lot {checked.sheet.lot} of {checked.sheet.item} is {verdict} (booking {checked.document})."


def loss_lines(loss: Loss) -> Iterator[str]:
    """Yield what an ended item means."""
    yield f"{loss.item} ({loss.name}) is no longer to be had since {loss.since}; {loss.on_hand} left."
    for frame, _, pieces, included in loss.frames:
        kits = f", enough for {loss.on_hand // pieces} kits" if included else ", which the buyer brings"
        yield f"  {frame} takes {pieces}{kits}"
    if not loss.frames:
        yield "  no frame takes it"
    for stand in loss.substitutes:
        yield f"  {stand.item} may stand for it, {stand.on_hand} in stock"
    if loss.frames and not loss.substitutes:
        yield "  nothing may stand for it yet: name it with --substitute"


def _returned(row: LotReturns) -> str:
    share = f" ({100 * row.returned / row.sold:.1f} %)" if row.sold else ""
    return f"{row.returned} of {row.sold} sold came back{share}."
