"""Arithmetic of costs: pieces started for pieces that are good, whole packs, hours, margins. Money is Decimal."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

__all__ = [
    "Break",
    "Margin",
    "SheetOffer",
    "hours_cost",
    "margin_at",
    "packs_cost",
    "price_of",
    "sheets_cost",
    "started",
    "tool_changes",
]

_S_PER_H = Decimal(3600)
_NEAR_ALL = 12  # whole sheets fewer than all that are tried, the rest of another size
_ROUNDING = 1e-9  # sheets


@dataclass(frozen=True)
class Break:
    """Price of one piece, or of one pack, from a quantity upwards."""

    quantity: int
    price: Decimal


@dataclass(frozen=True)
class Margin:
    """What is left of a price: money a kit, and the share of the price in per cent."""

    price: Decimal
    fee: Decimal
    left: Decimal
    percent: float


@dataclass(frozen=True)
class SheetOffer:
    """A size of sheet: its area [mm^2], and prices by sheets bought at once."""

    area: float
    breaks: tuple[Break, ...]


def price_of(breaks: Sequence[Break], quantity: int) -> Decimal:
    """Return the price of one piece when so many are bought; below the first break it is that of the first.

    Examples
    --------
    >>> price_of([Break(1, Decimal("5")), Break(10, Decimal("4"))], 12)
    Decimal('4')
    """
    reached = [b for b in breaks if b.quantity <= quantity]
    return (reached or breaks[:1])[-1].price


def packs_cost(breaks: Sequence[Break], pack: int, quantity: int) -> tuple[int, Decimal]:
    """Return how many whole packs hold a quantity, and what they cost; where more are cheaper, more are bought.

    Parameters
    ----------
    breaks : sequence of Break
        Prices of one pack, by packs bought at once.
    pack : int
        Pieces in one.
    quantity : int
        Pieces needed.

    Examples
    --------
    >>> packs_cost([Break(1, Decimal("2")), Break(10, Decimal("1"))], 1, 8)
    (10, Decimal('10'))
    """
    if quantity <= 0:
        return 0, Decimal(0)
    need = -(-quantity // pack)
    counts = [need, *(b.quantity for b in breaks if b.quantity > need)]
    best = min(counts, key=lambda n: (n * price_of(breaks, n), n))
    return best, best * price_of(breaks, best)


def sheets_cost(offers: Sequence[SheetOffer], area: float, setup: Decimal) -> tuple[int, Decimal, Decimal]:
    """Return how many sheets hold an area, what they cost, and what the share costs that is used.

    Of one size, or some of one and the rest of another, those are taken that cost least with their set-ups.

    Parameters
    ----------
    offers : sequence of SheetOffer
        Sizes that may be bought.
    area : float
        Needed [mm^2].
    setup : Decimal
        Work at the machine for each sheet, in money.

    Examples
    --------
    >>> large, small = SheetOffer(20.0, (Break(1, Decimal(71)),)), SheetOffer(6.0, (Break(1, Decimal(24)),))
    >>> sheets_cost([large, small], 13.0, Decimal(9))
    (1, Decimal('71'), Decimal('46.15'))
    """
    best = min(_mixes(offers, area), key=lambda mix: (mix[1] + mix[0] * setup, mix[0]))
    number, cash, bought = best
    return number, cash, cash * Decimal(f"{min(area / bought, 1.0):.12g}") if bought else Decimal(0)


def _mixes(offers: Sequence[SheetOffer], area: float) -> Iterator[tuple[int, Decimal, float]]:
    """Yield sheets, money and area of each mix that is tried: of every size nearly all, the rest of any."""
    for first in offers:
        full = math.ceil(area / first.area - _ROUNDING)
        counts = {*range(max(0, full - _NEAR_ALL), full + 1), *(b.quantity for b in first.breaks if b.quantity > full)}
        for many in sorted(counts):
            for second in offers:
                rest = max(0, math.ceil((area - many * first.area) / second.area - _ROUNDING))
                if rest and second is first:
                    continue
                cash = many * price_of(first.breaks, many) + rest * price_of(second.breaks, rest)
                yield many + rest, cash, many * first.area + rest * second.area


def started(quantity: int, scrap: float) -> float:
    """Return how many pieces are started for some good ones, on the mean.

    Parameters
    ----------
    quantity : int
        Good ones.
    scrap : float
        Share that is lost [-].

    Examples
    --------
    >>> round(started(97, 0.03), 9), started(4, 0.0)
    (100.0, 4.0)
    """
    return quantity / (1 - scrap)


def tool_changes(bits: int, drilled: bool, sheets: int) -> int:
    """Return changes of a tool: on each sheet once for each bit or drill beyond the first.

    Examples
    --------
    >>> tool_changes(1, True, 3)
    3
    """
    return sheets * (bits - 1 + int(drilled))


def hours_cost(seconds: float, rate_per_h: Decimal) -> Decimal:
    """Return what a time costs, not rounded."""
    return Decimal(repr(seconds)) / _S_PER_H * rate_per_h


def margin_at(price: Decimal, fee_percent: float, cost: Decimal) -> Margin:
    """Return the margin of a price.

    Examples
    --------
    >>> margin_at(Decimal("100"), 5.0, Decimal("60")).percent
    35.0
    """
    fee = price * Decimal(repr(fee_percent)) / 100
    left = price - fee - cost
    return Margin(price, fee, left, float(100 * left / price) if price else 0.0)
