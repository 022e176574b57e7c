"""Bookings of what goes out: kits packed from parts, kits and spares sold, and what comes back."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, select

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.booking import Move, add_lot, add_moves, check_quantity, open_document, price_of, usable
from platewright.io.ledger.item_tables import item, kit_line, substitute
from platewright.io.ledger.items import find_item, find_kit, settings
from platewright.io.ledger.tables import lot
from platewright.shop.lots import take_oldest_first

__all__ = ["Packed", "SaleLine", "Sold", "pack", "sell"]


@dataclass(frozen=True)
class Packed:
    """Kits that were packed: each with its own number."""

    document: int
    kit: str
    numbers: tuple[str, ...]


@dataclass(frozen=True)
class SaleLine:
    """Pieces of one item sold; of kits or loose parts, of one lot or the oldest."""

    item: str
    quantity: int = 1
    lot: str = ""
    unit_price: Decimal | None = None
    currency: str | None = None


@dataclass(frozen=True)
class Sold:
    """What was sold: for each line the item and the lots, for kits their numbers, with pieces."""

    document: int
    lines: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]


@dataclass(frozen=True)
class _Need:
    """Pieces of an item for one kit; taken from `item`, which may stand for the one in the bill."""

    billed: str
    pieces: int


def pack(
    connection: Connection, kit: str, quantity: int, on: datetime.date, substitutes: bool = False, note: str = ""
) -> Packed:
    """Pack kits: their parts and hardware, spares included, leave the stock, and the kits enter it.

    Parameters
    ----------
    connection : Connection
        That writes.
    kit : str
        Code of the kit, or its frame's name.
    quantity : int
        How many kits.
    on : date
        When.
    substitutes : bool
        Where an item runs out, what stands for it may be taken.
    note : str
        Anything else.

    Raises
    ------
    LedgerError
        If the kit is unknown or something is missing; every missing item is named.
    """
    code = find_kit(connection, kit)
    check_quantity(quantity, f"kits '{code}'")
    lines = connection.execute(
        select(kit_line.c.item_id, kit_line.c.quantity, kit_line.c.spares).where(
            kit_line.c.kit_id == code, kit_line.c.included
        )
    )
    needs = [_Need(r.item_id, r.quantity + r.spares) for r in lines]
    stands = _substitutes(connection, [n.billed for n in needs]) if substitutes else {}
    free, held = usable(connection, [*(n.billed for n in needs), *(o for others in stands.values() for o in others)])
    stock = {name: [(b.lot_id, b.quantity) for b in lots] for name, lots in free.items()}
    if not settings(connection).allow_negative:
        _check_enough(needs, quantity, stock, stands, held)
    number = open_document(connection, "pack", on, note=note)
    start = connection.execute(select(func.count()).select_from(lot).where(lot.c.item_id == code)).scalar_one()
    moves, numbers = [], []
    for n in range(start + 1, start + quantity + 1):
        serial = f"{code}-{n:05d}"
        kit_lot = add_lot(connection, number, code, serial)
        numbers.append(serial)
        moves.append(Move("kit", code, kit_lot, 1, kit_lot=kit_lot))
        for need in needs:
            for name, lot_id, pieces in _take(connection, need, stock, stands, number):
                other = None if name == need.billed else need.billed
                moves.append(Move("pack", name, lot_id, -pieces, kit_lot=kit_lot, stands_for=other))
    add_moves(connection, number, on, moves)
    return Packed(number, code, tuple(numbers))


def sell(
    connection: Connection,
    lines: Sequence[SaleLine],
    on: datetime.date,
    buyer: str = "",
    reference: str = "",
    note: str = "",
) -> Sold:
    """Sell packed kits, or loose pieces as spares.

    Parameters
    ----------
    connection : Connection
        That writes.
    lines : sequence of SaleLine
        What; a kit by its own number, its code or its frame's name.
    on : date
        When.
    buyer, reference : str
        To whom, and the number of the sale; the same number to the same buyer is booked once.
    note : str
        Anything else.

    Raises
    ------
    LedgerError
        If something is unknown or not in stock.
    """
    if not lines:
        msg = "a sale needs one line or more; give a kit or an item."
        raise LedgerError("ledger.value", msg)
    number = open_document(connection, "sale", on, buyer.strip(), reference, note=note)
    allow_negative = settings(connection).allow_negative
    taken_before: Counter[int] = Counter()
    said, moves = [], []
    for line in lines:
        code, kind, lot_code = _sellable(connection, line)
        check_quantity(line.quantity, f"'{code}'")
        free, held = usable(connection, [code])
        stock = [(b.lot_id, b.quantity - taken_before[b.lot_id]) for b in free[code]]
        names = _codes(connection, code, [lot_id for lot_id, _ in stock])
        if lot_code:
            stock = [(lot_id, pieces) for lot_id, pieces in stock if names[lot_id] == lot_code]
        taken, missing = take_oldest_first(stock, line.quantity)
        if missing and (not allow_negative or lot_code or kind == "sale"):
            raise _short_of(code, line.quantity, lot_code, line.quantity - missing, held.get(code, 0))
        if missing:
            taken.append((unbooked_lot(connection, number, code), missing))
            names.update(_codes(connection, code, [taken[-1][0]]))
        taken_before.update(dict(taken))
        price = price_of(connection, line.unit_price, line.currency)
        moves += [Move(kind, code, lot_id, -pieces, **price) for lot_id, pieces in taken]  # type: ignore[arg-type]
        said.append((code, tuple((names[lot_id], pieces) for lot_id, pieces in taken)))
    add_moves(connection, number, on, moves)
    return Sold(number, tuple(said))


def unbooked_lot(connection: Connection, number: int, code: str) -> int:
    """Return the lot of pieces that were taken before their receipt was booked."""
    found = connection.execute(select(lot.c.id).where(lot.c.item_id == code, lot.c.code == "unbooked")).scalar()
    return int(found) if found is not None else add_lot(connection, number, code, "unbooked")


def _sellable(connection: Connection, line: SaleLine) -> tuple[str, str, str]:
    """Return item, whether it is sold as a kit or as a spare, and its lot, if one is named.

    A kit is named by its own number, its code or its frame's name.
    """
    own = connection.execute(
        select(lot.c.item_id)
        .join(item, item.c.id == lot.c.item_id)
        .where(lot.c.code == line.item, item.c.kind == "kit")
    ).scalar()
    if own is not None:
        return str(own), "sale", line.item
    try:
        found = find_item(connection, line.item)
    except LedgerError as error:
        if error.code != "ledger.unknown_item":
            raise
        return find_kit(connection, line.item), "sale", line.lot
    return found.id, "sale" if found.kind == "kit" else "spare", line.lot


def _codes(connection: Connection, code: str, lots: Sequence[int]) -> dict[int, str]:
    rows = connection.execute(select(lot.c.id, lot.c.code).where(lot.c.item_id == code, lot.c.id.in_(lots)))
    return {int(r.id): r.code for r in rows}


def _substitutes(connection: Connection, items: Sequence[str]) -> dict[str, list[str]]:
    rows = connection.execute(
        select(substitute.c.item_id, substitute.c.substitute_id)
        .where(substitute.c.item_id.in_(items))
        .order_by(substitute.c.substitute_id)
    )
    found: dict[str, list[str]] = {}
    for row in rows:
        found.setdefault(row.item_id, []).append(row.substitute_id)
    return found


def _check_enough(
    needs: Sequence[_Need],
    kits: int,
    stock: Mapping[str, Sequence[tuple[int, int]]],
    stands: Mapping[str, Sequence[str]],
    held: Mapping[str, int],
) -> None:
    left = {name: sum(max(pieces, 0) for _, pieces in lots) for name, lots in stock.items()}
    short = []
    for need in needs:
        wanted = need.pieces * kits
        for name in (need.billed, *stands.get(need.billed, ())):
            share = min(left[name], wanted)
            left[name] -= share
            wanted -= share
        if wanted:
            waiting = held.get(need.billed, 0)
            more = f", {waiting} not accepted by a check" if waiting else ""
            short.append(f"{need.billed} ({wanted} of {need.pieces * kits} missing{more})")
    if short:
        msg = f"the stock is short of {', '.join(short)}; nothing was packed: receive, inspect or count them first."
        raise LedgerError("ledger.negative", msg)


def _take(
    connection: Connection,
    need: _Need,
    stock: dict[str, list[tuple[int, int]]],
    stands: Mapping[str, Sequence[str]],
    number: int,
) -> list[tuple[str, int, int]]:
    """Take one kit's pieces out of `stock`, which is changed; what no lot has comes from the unbooked lot."""
    rows = []
    wanted = need.pieces
    for name in (need.billed, *stands.get(need.billed, ())):
        taken, wanted = take_oldest_first(stock[name], wanted)
        gone = dict(taken)
        stock[name] = [(lot_id, pieces - gone.get(lot_id, 0)) for lot_id, pieces in stock[name]]
        rows += [(name, lot_id, pieces) for lot_id, pieces in taken]
        if not wanted:
            return rows
    return [*rows, (need.billed, unbooked_lot(connection, number, need.billed), wanted)]


def _short_of(code: str, wanted: int, lot_code: str, there: int, held: int) -> LedgerError:
    of_lot = f" of lot '{lot_code}'" if lot_code else ""
    more = f", and {held} not accepted by a check" if held else ""
    msg = f"{wanted} of '{code}'{of_lot} cannot be sold: {there} in stock{more}; nothing was booked."
    return LedgerError("ledger.negative", msg)
