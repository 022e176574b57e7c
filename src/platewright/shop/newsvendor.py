"""How much to buy once, before demand is known: too few costs a margin each, too many a loss each (newsvendor).

The best quantity is the one that demand stays below with the chance cu / (cu + co), cu the cost of one too few, co of
one too many. A run of kits with an engraved plate, or a last buy of a discontinued board, is such a purchase.

Sources: Nahmias, Production and Operations Analysis; Chopra and Meindl, Supply Chain Management; both from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import ndtr, ndtri, pdtr

__all__ = ["OneBuy", "buy_once", "buy_once_poisson", "critical_ratio", "one_buy"]


@dataclass(frozen=True)
class OneBuy:
    """What a quantity bought once leads to, with normal demand: means [-] and profit [money]."""

    quantity: float
    lost_sales: float
    left_over: float
    profit: float


def critical_ratio(too_few: float, too_many: float) -> float:
    """Return the chance with which demand should be met.

    Parameters
    ----------
    too_few, too_many : float
        Cost of each piece that is missing, and of each that is left, both above 0 [money].

    Raises
    ------
    ValueError
        If a cost is not above 0.

    Examples
    --------
    >>> round(critical_ratio(0.50, 0.15), 3)
    0.769
    """
    if not (too_few > 0 and too_many > 0):
        msg = f"what one too few and one too many cost must be above 0 (got {too_few} and {too_many})."
        raise ValueError(msg)
    return too_few / (too_few + too_many)


def buy_once(mean: float, spread: float, too_few: float, too_many: float) -> float:
    """Return the best quantity for normal demand [-].

    Examples
    --------
    >>> round(buy_once(11.73, 4.74, 0.50, 0.15), 2)
    15.22
    """
    return mean + spread * float(ndtri(critical_ratio(too_few, too_many)))


def buy_once_poisson(mean: float, too_few: float, too_many: float) -> int:
    """Return the best whole quantity for Poisson demand: the least that demand stays within often enough [-].

    Examples
    --------
    >>> buy_once_poisson(50, 0.70, 0.18)
    56
    """
    if mean < 0:
        msg = f"a mean demand must be 0 or more (got {mean})."
        raise ValueError(msg)
    ratio = critical_ratio(too_few, too_many)
    quantity = max(0, math.floor(mean - 8 * math.sqrt(mean)))
    while pdtr(quantity, mean) < ratio:
        quantity += 1
    return quantity


def one_buy(quantity: float, mean: float, spread: float, price: float, cost: float, salvage: float) -> OneBuy:
    """Return lost sales, left-overs and profit of a quantity, with normal demand.

    Parameters
    ----------
    quantity : float
        Pieces bought [-].
    mean, spread : float
        Of demand, the standard deviation above 0 [-].
    price, cost, salvage : float
        What a piece sells for, costs, and fetches when it is left [money].

    Raises
    ------
    ValueError
        If the spread is not above 0.

    Examples
    --------
    >>> round(one_buy(450, 350, 100, 250, 100, 80).lost_sales, 2)
    8.33
    """
    if not spread > 0:
        msg = f"the spread of demand must be above 0 (got {spread})."
        raise ValueError(msg)
    z = (quantity - mean) / spread
    density = math.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    lost = spread * (density - z * float(ndtr(-z)))
    left = quantity - mean + lost
    sold = mean - lost
    return OneBuy(quantity, lost, left, price * sold + salvage * left - cost * quantity)
