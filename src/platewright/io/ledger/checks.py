"""Goods-inward checks: what to measure on a lot, and the booking of what was measured.

A piece is faulty if one of its measures is outside the limits of the drawing, or if it was put aside by eye. A lot with
more faulty pieces than the plan allows is refused: it stays in stock, but nothing is packed from it.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, insert, select

from platewright.foundation.errors import LedgerError, nearest_names
from platewright.io.ledger.booking import Move, add_moves, find_lot, open_document
from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.item_tables import item_feature
from platewright.io.ledger.items import find_item
from platewright.io.ledger.tables import inspection, measurement
from platewright.shop.acceptance import SamplingPlan, sampling_plan_of_lot

__all__ = ["CheckSheet", "Checked", "Limits", "Measure", "book_check", "check_sheet"]


@dataclass(frozen=True)
class Limits:
    """What the drawing says of one feature; the unit is in its name."""

    feature: str
    nominal: float
    low: float
    high: float


@dataclass(frozen=True)
class Measure:
    """One measured value of one piece, pieces counted from 1."""

    piece: int
    feature: str
    value: float


@dataclass(frozen=True)
class CheckSheet:
    """What to draw from a lot and measure."""

    item: str
    lot: str
    pieces: int
    plan: SamplingPlan
    limits: tuple[Limits, ...]


@dataclass(frozen=True)
class Checked:
    """What a check found.

    Parameters
    ----------
    document : int
        Number of the booking.
    sheet : CheckSheet
        What was asked.
    faulty : tuple of int
        Faulty pieces of the sample.
    accepted : bool
        Whether pieces of the lot may be packed.
    outside : tuple of (Measure, Limits)
        Measures outside their limits.
    by_eye : int
        Faulty pieces that were put aside by eye.
    """

    document: int
    sheet: CheckSheet
    faulty: tuple[int, ...]
    accepted: bool
    outside: tuple[tuple[Measure, Limits], ...]
    by_eye: int = 0

    @property
    def n_faulty(self) -> int:
        """Faulty pieces, measured and seen."""
        return len(self.faulty) + self.by_eye


def check_sheet(connection: Connection, item: str, lot_code: str, plan: SamplingPlan) -> CheckSheet:
    """Return what to draw from a lot and measure.

    Raises
    ------
    LedgerError
        If the lot is unknown or used up.
    """
    code = find_item(connection, item).id
    lot_id = find_lot(connection, code, lot_code)
    left = {b.lot_id: b.quantity for b in balances(connection, [code])}.get(lot_id, 0)
    if left < 1:
        msg = f"lot '{lot_code}' of '{code}' is used up, there is nothing to check."
        raise LedgerError("ledger.negative", msg)
    rows = connection.execute(
        select(item_feature.c.name, item_feature.c.nominal, item_feature.c.low, item_feature.c.high)
        .where(item_feature.c.item_id == code)
        .order_by(item_feature.c.name)
    )
    limits = tuple(Limits(*row) for row in rows)
    return CheckSheet(code, lot_code, left, sampling_plan_of_lot(plan, left), limits)


def book_check(
    connection: Connection,
    sheet: CheckSheet,
    measures: Sequence[Measure],
    on: datetime.date,
    by_eye: int = 0,
    note: str = "",
) -> Checked:
    """Book a check: its measures, its verdict, and, if the lot is accepted, its faulty pieces as rejects.

    Parameters
    ----------
    connection : Connection
        That writes.
    sheet : CheckSheet
        From `check_sheet` in the same booking.
    measures : sequence of Measure
        Of as many pieces as the plan asks for; none if the item has nothing to measure.
    on : date
        When.
    by_eye : int
        Pieces put aside as faulty without a measure outside its limits.
    note : str
        Anything else.

    Raises
    ------
    LedgerError
        If too few pieces were measured, or a measure is of no feature of the drawing.
    """
    limits = {limit.feature: limit for limit in sheet.limits}
    _check_measures(sheet, measures, limits)
    outside = [(m, limits[m.feature]) for m in measures if not _fits(m.value, limits[m.feature])]
    faulty = sorted({m.piece for m, _ in outside})
    n_faulty = len(faulty) + by_eye
    if not 0 <= by_eye <= sheet.plan.sample_size - len(faulty):
        msg = f"at most {sheet.plan.sample_size - len(faulty)} more pieces can be faulty by eye (got {by_eye})."
        raise LedgerError("ledger.value", msg)
    accepted = n_faulty <= sheet.plan.acceptance_number
    lot_id = find_lot(connection, sheet.item, sheet.lot)
    number = open_document(connection, "inspection", on, note=note)
    _write(connection, number, lot_id, sheet, n_faulty, accepted)
    rows = [
        {
            "document_id": number,
            "piece": m.piece,
            "feature": m.feature,
            "value": m.value,
            "low": limits[m.feature].low,
            "high": limits[m.feature].high,
        }
        for m in measures
    ]
    if rows:
        connection.execute(insert(measurement), rows)
    if accepted and n_faulty:
        move = Move("reject", sheet.item, lot_id, -n_faulty, reason="faulty in the goods-inward check")
        add_moves(connection, number, on, [move])
    return Checked(number, sheet, tuple(faulty), accepted, tuple(outside), by_eye)


def _fits(value: float, limits: Limits) -> bool:
    slack = 1e-9 * max(abs(limits.high), 1.0)  # 2.1 and 2 + 0.1 are one number on a drawing
    return limits.low - slack <= value <= limits.high + slack


def _check_measures(sheet: CheckSheet, measures: Sequence[Measure], limits: dict[str, Limits]) -> None:
    seen: set[tuple[int, str]] = set()
    for m in measures:
        if m.feature not in limits:
            near = nearest_names(m.feature, limits) or sorted(limits)
            msg = f"'{m.feature}' is not on the drawing of '{sheet.item}'; it has {', '.join(near) or 'nothing'}."
            raise LedgerError("ledger.value", msg)
        if not math.isfinite(m.value) or not 1 <= m.piece <= sheet.plan.sample_size or (m.piece, m.feature) in seen:
            msg = (
                f"measure {m.feature} of piece {m.piece} must be a number, once, of a piece from 1 to "
                f"{sheet.plan.sample_size} (got {m.value})."
            )
            raise LedgerError("ledger.value", msg)
        seen.add((m.piece, m.feature))
    missing = [
        f"{name} of piece {piece}"
        for piece in range(1, sheet.plan.sample_size + 1)
        for name in limits
        if (piece, name) not in seen
    ]
    if missing:
        more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
        msg = f"the check of lot '{sheet.lot}' lacks {', '.join(missing[:3])}{more}; nothing was booked."
        raise LedgerError("ledger.value", msg)


def _write(connection: Connection, number: int, lot_id: int, sheet: CheckSheet, n_faulty: int, accepted: bool) -> None:
    plan = sheet.plan
    connection.execute(
        insert(inspection).values(
            document_id=number,
            lot_id=lot_id,
            lot_size=sheet.pieces,
            sample_size=plan.sample_size,
            acceptance_number=plan.acceptance_number,
            acceptable=plan.acceptable,
            tolerated=plan.tolerated,
            supplier_risk=plan.supplier_risk,
            buyer_risk=plan.buyer_risk,
            faulty=n_faulty,
            accepted=accepted,
        )
    )
