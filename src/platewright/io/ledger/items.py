"""Items, suppliers and prices of a ledger: added, found by code or name, substituted, discontinued."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Connection, delete, func, insert, select, update

from platewright.foundation.errors import LedgerError, nearest_names
from platewright.io.ledger.item_tables import ITEM_KINDS, item, item_use, kit, ledger, offer, substitute, supplier

__all__ = [
    "FoundItem",
    "Settings",
    "add_item",
    "add_offer",
    "add_substitute",
    "add_supplier",
    "check_amount",
    "check_currency",
    "discontinue",
    "find_item",
    "find_kit",
    "find_supplier",
    "settings",
    "want_check",
]

_CODE = re.compile(r"[a-z0-9][a-z0-9._-]{0,78}")


@dataclass(frozen=True)
class FoundItem:
    """An item as bookings need it."""

    id: str
    kind: str
    name: str
    checked: bool


@dataclass(frozen=True)
class Settings:
    """What holds for the whole ledger: currency of prices without one, and whether stock may be negative."""

    currency: str
    allow_negative: bool


def settings(connection: Connection) -> Settings:
    """Return the settings of a ledger."""
    row = connection.execute(select(ledger.c.currency, ledger.c.allow_negative)).one()
    return Settings(row.currency, row.allow_negative)


def add_item(
    connection: Connection,
    code: str,
    kind: str,
    name: str,
    on: datetime.date,
    checked: bool = False,
    **more: object,
) -> None:
    """Add an item.

    Parameters
    ----------
    connection : Connection
        That writes.
    code, name : str
        What it is called; the code is made of small letters, digits, point, hyphen and `_`.
    kind : str
        part, hardware, equipment, packing or kit.
    on : date
        When it entered.
    checked : bool
        Lots must pass their goods-inward check before pieces are packed.
    **more
        Further columns of the table `item`.

    Raises
    ------
    LedgerError
        If the code is taken or not a code, or the kind is none.
    """
    if kind not in ITEM_KINDS:
        msg = f"'{kind}' is no kind of item; choose {', '.join(ITEM_KINDS)}."
        raise LedgerError("ledger.value", msg)
    _check_code(code)
    if connection.execute(select(item.c.id).where(item.c.id == code)).first() is not None:
        msg = f"there already is an item '{code}'; choose another code."
        raise LedgerError("ledger.exists", msg)
    row = {"id": code, "kind": kind, "name": name.strip()[:200] or code, "checked": checked, "added_on": on, **more}
    connection.execute(insert(item).values(**row))


def find_item(connection: Connection, name: str) -> FoundItem:
    """Return an item, asked for by its code, by a name that only one item has, or as FRAME:PART in its last revision.

    Raises
    ------
    LedgerError
        If none or several answer to it.
    """
    columns = (item.c.id, item.c.kind, item.c.name, item.c.checked)
    found = connection.execute(select(*columns).where(item.c.id == name)).first()
    if found is not None:
        return FoundItem(*found)
    frame, _, part = name.partition(":")
    if part:
        return FoundItem(*_part_of_frame(connection, frame, part, columns))
    rows = connection.execute(select(*columns).where(func.lower(item.c.name) == name.lower())).all()
    if len(rows) == 1:
        return FoundItem(*rows[0])
    if rows:
        msg = f"'{name}' may be {' or '.join(sorted(r.id for r in rows))}; give the code, or FRAME:PART for a part."
        raise LedgerError("ledger.ambiguous", msg)
    known = connection.execute(select(item.c.id)).scalars().all()
    raise _unknown("item", name, known, "add it with 'stock items'")


def find_kit(connection: Connection, name: str) -> str:
    """Return the code of a kit, asked for by its code or by its frame's name, which means the one frozen last.

    Raises
    ------
    LedgerError
        If there is none.
    """
    rows = connection.execute(
        select(kit.c.item_id, kit.c.frame, item.c.added_on)
        .join(item, item.c.id == kit.c.item_id)
        .order_by(kit.c.frozen_on, kit.c.item_id)
    ).all()
    if any(r.item_id == name for r in rows):
        return name
    of_frame = [r.item_id for r in rows if r.frame.lower() == name.lower()]
    if of_frame:
        return str(of_frame[-1])
    known = [*(r.item_id for r in rows), *(r.frame for r in rows)]
    raise _unknown("kit", name, known, "enter its frame with 'stock items FRAME.toml'")


def add_supplier(
    connection: Connection, code: str, name: str, lead_time_days: int | None, spread_days: float | None = None
) -> None:
    """Add a supplier, or change what is known of one.

    Parameters
    ----------
    connection : Connection
        That writes.
    code, name : str
        What it is called.
    lead_time_days : int or None
        From order to delivery, in days.
    spread_days : float or None
        Standard deviation of that, in days.
    """
    _check_code(code)
    if lead_time_days is not None and lead_time_days < 0:
        msg = f"the lead time of supplier '{code}' must be 0 days or more (got {lead_time_days})."
        raise LedgerError("ledger.value", msg)
    values = {
        "name": name.strip()[:200] or code,
        "lead_time_days": lead_time_days,
        "lead_time_spread_days": spread_days,
    }
    changed = connection.execute(update(supplier).where(supplier.c.id == code).values(**values)).rowcount
    if not changed:
        connection.execute(insert(supplier).values(id=code, **values))


def find_supplier(connection: Connection, code: str) -> str:
    """Return a supplier's code.

    Raises
    ------
    LedgerError
        If there is none.
    """
    known = connection.execute(select(supplier.c.id)).scalars().all()
    if code not in known:
        raise _unknown("supplier", code, known, "add it with 'stock supplier'")
    return code


def add_offer(
    connection: Connection,
    supplier_code: str,
    item_code: str,
    minimum_quantity: int,
    unit_price: Decimal,
    currency: str,
    valid_from: datetime.date,
) -> None:
    """Note a price from a quantity on; a later date is a newer price, the same date corrects it."""
    if minimum_quantity < 1:
        msg = f"a price holds from 1 piece or more on (got {minimum_quantity})."
        raise LedgerError("ledger.value", msg)
    key = {"supplier_id": supplier_code, "item_id": item_code, "minimum_quantity": minimum_quantity}
    values = {"unit_price": check_amount(unit_price), "currency": check_currency(currency)}
    wanted = [offer.c[name] == value for name, value in {**key, "valid_from": valid_from}.items()]
    if not connection.execute(update(offer).where(*wanted).values(**values)).rowcount:
        connection.execute(insert(offer).values(**key, valid_from=valid_from, **values))


def add_substitute(connection: Connection, code: str, other: str, note: str = "") -> None:
    """Note that an item may stand for another."""
    if code == other:
        msg = f"'{code}' cannot stand for itself; name another item."
        raise LedgerError("ledger.value", msg)
    values: Mapping[str, str] = {"item_id": code, "substitute_id": other}
    connection.execute(delete(substitute).where(*(substitute.c[n] == v for n, v in values.items())))
    connection.execute(insert(substitute).values(**values, note=note))


def discontinue(connection: Connection, code: str, on: datetime.date | None) -> None:
    """Note since when an item is no longer to be had; None takes that back."""
    connection.execute(update(item).where(item.c.id == code).values(discontinued_on=on))


def want_check(connection: Connection, code: str, checked: bool) -> None:
    """Say whether lots of an item must pass their goods-inward check before pieces are packed or sold."""
    connection.execute(update(item).where(item.c.id == code).values(checked=checked))


def check_amount(amount: Decimal) -> Decimal:
    """Return an amount of money that can be kept.

    Raises
    ------
    LedgerError
        If it is negative, no number, or has more than six decimals.
    """
    exponent = amount.as_tuple().exponent
    if not amount.is_finite() or amount < 0 or amount >= 10**12 or not isinstance(exponent, int) or exponent < -6:
        msg = f"a price must be from 0 to below 1e12 with at most six decimals (got {amount})."
        raise LedgerError("ledger.value", msg)
    return amount


def check_currency(currency: str) -> str:
    """Return a currency.

    Raises
    ------
    LedgerError
        If it is not three capitals.
    """
    if not (len(currency) == 3 and currency.isascii() and currency.isalpha() and currency.isupper()):
        msg = f"a currency is three capitals such as EUR (got '{currency}')."
        raise LedgerError("ledger.value", msg)
    return currency


def _part_of_frame(
    connection: Connection, frame: str, part: str, columns: Sequence[ColumnElement[Any]]
) -> Sequence[Any]:
    found = connection.execute(
        select(*columns)
        .join(item_use, item_use.c.item_id == item.c.id)
        .where(func.lower(item_use.c.frame) == frame.lower(), func.lower(item_use.c.part) == part.lower())
        .order_by(item_use.c.revision.desc())
        .limit(1)
    ).first()
    if found is not None:
        return found
    known = [f"{r.frame}:{r.part}" for r in connection.execute(select(item_use.c.frame, item_use.c.part).distinct())]
    raise _unknown("item", f"{frame}:{part}", known, "enter its frame with 'stock items FRAME.toml'")


def _check_code(code: str) -> None:
    if not _CODE.fullmatch(code):
        msg = f"a code is made of small letters, digits, '.', '-' and '_', at most 79 (got '{code}')."
        raise LedgerError("ledger.value", msg)


def _unknown(what: str, name: str, known: object, do: str) -> LedgerError:
    near = nearest_names(name, list(known))  # type: ignore[call-overload]
    hint = f"did you mean {' or '.join(repr(n) for n in near)}?" if near else f"{do}."
    return LedgerError(f"ledger.unknown_{what}", f"there is no {what} '{name}'; {hint}")
