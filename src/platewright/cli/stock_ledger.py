"""`platewright stock`: the ledger itself, its items, suppliers and prices, and files for a spreadsheet."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from platewright.app.stock import (
    DEFAULT_LEDGER,
    add_stock_item,
    discontinue_item,
    enter_frames,
    enter_supplier,
    import_stock,
    init_ledger,
    note_price,
    rebuild_ledger,
    require_check,
)
from platewright.app.stock_reports import export_stock, list_losses, stock_json
from platewright.app.stock_words import read_amount
from platewright.cli.stock_options import AsJson, ItemName, LedgerAddress, OnDay
from platewright.cli.stock_tables import loss_lines
from platewright.io.ledger.frames import EnteredFrame

__all__ = ["add", "discontinue", "export", "import_rows", "init", "items", "price", "rebuild", "supplier", "want_check"]


def init(*, ledger: LedgerAddress = DEFAULT_LEDGER, currency: str = "EUR", allow_negative: bool = False) -> int:
    """Make a ledger, or raise an older one to the newest tables, a copy kept.

    Parameters
    ----------
    currency
        Of prices without one, such as EUR.
    allow_negative
        More may be taken than the books hold, and is shown as negative stock.
    """
    print(init_ledger(ledger, currency, datetime.date.today(), allow_negative))
    return 0


def items(
    *frames: Path,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    also: Annotated[list[str] | None, Parameter(consume_multiple=False)] = None,
    on: OnDay = None,
    catalogue: Path | None = None,
    json: AsJson = False,
) -> int:
    """Enter the parts and hardware of frames, and freeze the bill of each kit.

    Parameters
    ----------
    frames
        Design files.
    also
        A further item of each kit, as in --also box=1; may be given several times.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    if not frames:
        print("name one design file or more, as in 'platewright stock items examples/heddle.toml'.", file=sys.stderr)
        return 2
    entered = enter_frames(ledger, frames, on or datetime.date.today(), also or (), catalogue)
    if json:
        print(stock_json(entered))
    else:
        for frame in entered:
            _print_frame(frame)
    return 0


def add(
    code: str,
    kind: Literal["part", "hardware", "equipment", "packing"],
    name: str,
    /,
    *,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    check: bool = False,
) -> int:
    """Add an item that no design names, such as a box.

    Parameters
    ----------
    code
        What it is called in the ledger.
    kind
        What it is.
    name
        Its name in lists.
    check
        Lots must pass a goods-inward check before pieces are used.
    """
    add_stock_item(ledger, code, kind, name, datetime.date.today(), check)
    print(f"added {code}.")
    return 0


def want_check(item: ItemName, check: Literal["yes", "no"], /, *, ledger: LedgerAddress = DEFAULT_LEDGER) -> int:
    """Say whether lots of an item must pass a goods-inward check before pieces are used.

    Parameters
    ----------
    check
        Whether they must.
    """
    code = require_check(ledger, item, check == "yes")
    print(f"lots of {code} {'must pass a check' if check == 'yes' else 'are used without a check'}.")
    return 0


def supplier(
    code: str,
    name: str = "",
    /,
    *,
    lead_time_days: int | None = None,
    spread_days: float | None = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
) -> int:
    """Add a supplier, or change what is known of one.

    Parameters
    ----------
    code
        What it is called in the ledger.
    name
        Its name in lists.
    lead_time_days
        From order to delivery.
    spread_days
        Standard deviation of that.
    """
    enter_supplier(ledger, code, name, lead_time_days, spread_days)
    print(f"noted supplier {code}.")
    return 0


def price(
    supplier_code: str,
    item: str,
    amount: str,
    /,
    *,
    from_pieces: int = 1,
    currency: str = "",
    on: datetime.date | None = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
) -> int:
    """Note a supplier's price for one piece.

    Parameters
    ----------
    supplier_code
        Whose price.
    item
        Of what.
    amount
        For one piece, as in 0.06.
    from_pieces
        From how many pieces on; give one price for each price break.
    currency
        That of the ledger if none is given.
    on
        From which day on; today if none is given.
    """
    day = on or datetime.date.today()
    note_price(ledger, supplier_code, item, read_amount(amount), from_pieces, currency, day)
    print(f"noted the price of {item} from {from_pieces} on.")
    return 0


def discontinue(
    item: str = "",
    /,
    *,
    substitute: Annotated[list[str] | None, Parameter(consume_multiple=False)] = None,
    again: bool = False,
    on: datetime.date | None = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Note that an item is no longer to be had, and say which frames lose what; alone, list all such items.

    Parameters
    ----------
    item
        Which.
    substitute
        An item that may stand for it; may be given several times.
    again
        It is to be had again.
    on
        Since which day; today if none is given.
    """
    if item:
        loss = discontinue_item(ledger, item, on or datetime.date.today(), substitute or (), again)
        found = [loss] if loss is not None else []
    else:
        found = list_losses(ledger)
    if json:
        print(stock_json(found))
    elif item and again:
        print(f"{item} is to be had again.")
    else:
        print("\n".join(line for loss in found for line in loss_lines(loss)) or "nothing is discontinued.")
    return 0


def import_rows(
    what: Literal["items", "suppliers", "prices", "receipts", "sales", "counts"],
    file: Path,
    /,
    *,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    encoding: str = "",
    decimal_comma: bool = False,
    on: datetime.date | None = None,
) -> int:
    """Book all rows of a CSV file, or none.

    Parameters
    ----------
    what
        What its rows are.
    file
        With headings in its first line.
    encoding
        If it is not UTF-8, as in cp1252.
    decimal_comma
        It writes 12,50 for twelve and a half.
    on
        Date of rows without one; today if none is given.
    """
    n = import_stock(ledger, file, what, on or datetime.date.today(), encoding, decimal_comma)
    print(f"booked {n} {what} from {file.name}.")
    return 0


def export(
    what: Literal["stock", "lots", "movements", "items", "suppliers", "prices", "kits", "measurements"],
    file: Path,
    /,
    *,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    decimal_comma: bool = False,
    mark: bool = True,
) -> int:
    """Write a table as CSV that a spreadsheet opens.

    Parameters
    ----------
    what
        Which table.
    file
        Where to.
    decimal_comma
        Write 12,50, cells parted by ';'.
    mark
        Begin with the mark by which spreadsheets tell UTF-8.
    """
    n = export_stock(ledger, what, file, decimal_comma, mark)
    print(f"wrote {n} rows to {file.name}.")
    return 0


def rebuild(*, ledger: LedgerAddress = DEFAULT_LEDGER) -> int:
    """Look at every row of the ledger and add up all movements anew."""
    found = rebuild_ledger(ledger)
    for breach in found:
        print(breach)
    print(
        f"{len(found)} things were not as they must be; the sums are built anew." if found else "all is as it must be."
    )
    return 1 if found else 0


def _print_frame(frame: EnteredFrame) -> None:
    state = "is new" if frame.kit_is_new else "was known"
    print(f"{frame.frame}: kit {frame.kit} {state}; {len(frame.new_bought)} new bought items.")
    for part in frame.parts:
        new = "new" if part.is_new else "known"
        also = f", the same as {', '.join(part.also)}" if part.also else ""
        print(f"  {part.part}: {part.item} ({new}, revision {part.revision}{also})")
