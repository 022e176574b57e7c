"""Words of the command line about stock: amounts of money, and items with pieces and price."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from platewright.foundation.errors import LedgerError

__all__ = ["read_amount", "read_line"]


def read_amount(text: str) -> Decimal:
    """Return an amount of money from a word of the command line.

    Raises
    ------
    LedgerError
        If it is none.
    """
    try:
        return Decimal(text)
    except InvalidOperation:
        msg = f"a price is written as 12.50 (got '{text}')."
        raise LedgerError("ledger.value", msg) from None


def read_line(word: str) -> tuple[str, int, Decimal | None]:
    """Return item, pieces and price of `ITEM=PIECES@PRICE`; one piece without a number."""
    name, _, rest = word.partition("=")
    pieces, _, price = rest.partition("@")
    if not name or (rest and not pieces.isdecimal()) or word.endswith(("=", "@")):
        msg = f"write ITEM=PIECES or ITEM=PIECES@PRICE, as in 'screw_m3x8=100@0.06' (got '{word}')."
        raise LedgerError("ledger.value", msg)
    return name, int(pieces or 1), read_amount(price) if price else None
