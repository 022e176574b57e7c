"""Arithmetic of costs: pieces started for pieces that are good, whole packs, hours, margins. Money is Decimal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Break", "Margin", "hours_cost", "margin_at", "packs_cost", "price_of", "started", "tool_changes"]

_S_PER_H = Decimal(3600)


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
