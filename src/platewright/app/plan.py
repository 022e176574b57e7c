"""What to order today, from the ledger: the plan as a record, as JSON, and as CSV for a spreadsheet."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from pathlib import Path

from pydantic import TypeAdapter

from platewright.app.stock import opened
from platewright.foundation.errors import RequestError
from platewright.io.ledger.csv_export import write_csv
from platewright.io.ledger.planning import plan_data
from platewright.shop.plan_records import PlannedItem, PlanOptions, PlanReport
from platewright.shop.planning import plan_orders

__all__ = ["plan", "plan_json", "read_expected", "write_plan"]

_ADAPTER = TypeAdapter(PlanReport)


def plan(
    address: str, on: datetime.date, options: PlanOptions | None = None, expected: Mapping[str, float] | None = None
) -> PlanReport:
    """Plan one day.

    Parameters
    ----------
    address : str
        Of the ledger.
    on : date
        The day.
    options : PlanOptions or None
        What the maker decides; the usual when None.
    expected : mapping of str to float or None
        Kits a month that a frame is expected to sell, instead of what it sold.

    Raises
    ------
    RequestError
        If an option is out of range.
    LedgerError
        If the ledger cannot be read, or a frame is unknown.
    """
    chosen = options or PlanOptions()
    _check(chosen)
    with opened(address) as ledger, ledger.read() as connection:
        data = plan_data(connection, on, expected)
    return plan_orders(on.isoformat(), data.currency, data.frames, data.items, data.suppliers, chosen)


def plan_json(report: PlanReport) -> str:
    """Return a plan as JSON."""
    return json.dumps(_ADAPTER.dump_python(report, mode="json"), indent=2, ensure_ascii=False, allow_nan=False)


def write_plan(report: PlanReport, path: Path, decimal_comma: bool = False, mark: bool = True) -> int:
    """Write the planned items as CSV; return how many."""
    return write_csv(path, _rows(report.items), decimal_comma, mark)


def read_expected(words: Sequence[str]) -> dict[str, float]:
    """Return the kits a month of `FRAME=KITS` words.

    Raises
    ------
    RequestError
        If a word is not of that form.

    Examples
    --------
    >>> read_expected(["Heddle=12", "Bobbin=4.5"])
    {'Heddle': 12.0, 'Bobbin': 4.5}
    """
    found = {}
    for word in words:
        frame, sign, kits = word.rpartition("=")
        try:
            number = float(kits)
        except ValueError:
            number = -1.0
        if not (sign and frame.strip() and 0 <= number < 1e6):
            msg = f"--expect must be FRAME=KITS, kits a month from 0 on (got '{word}')."
            raise RequestError(msg)
        found[frame.strip()] = number
    return found


def _check(options: PlanOptions) -> None:
    service = 100 * options.service_level
    problems = (
        ("--service-percent must be from 50 to below 100", service, 50 <= service < 100),
        ("--order-cost must be 0 or more", options.order_cost, 0 <= options.order_cost < 1e9),
        ("--holding-percent must be above 0", options.holding_percent, 0 < options.holding_percent < 1e6),
        ("--review-days must be 0 to 366", options.review_days, 0 <= options.review_days <= 366),
        ("--most-days must be 1 to 3660", options.most_days, 1 <= options.most_days <= 3660),
    )
    for sentence, given, holds in problems:
        if not holds:
            msg = f"{sentence} (got {given:g})."
            raise RequestError(msg)


def _rows(items: Sequence[PlannedItem]) -> Iterator[Sequence[object]]:
    names = [field.name for field in fields(PlannedItem)]
    yield names
    for item in items:
        yield [getattr(item, name) for name in names]
