"""How much to order at once: the economic order quantity, its yearly cost, and whole pieces with price breaks.

Demand per year D, cost of placing an order S, cost of holding a piece for a year H. Ordering Q each time costs
D S / Q + H Q / 2 a year, least at Q = sqrt(2 D S / H). With a price that falls from a number of pieces on for the whole
order, H = rate x price, and the price of what is bought counts too: the best is an economic quantity that its own
price applies to, or the first quantity of a lower price.

Sources: Harris, Factory, The Magazine of Management 10, 1913; Nahmias, Production and Operations Analysis; Chopra and
Meindl, Supply Chain Management; all from memory. Money in any one currency.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["OrderSize", "economic_order_quantity", "order_size", "yearly_cost"]


@dataclass(frozen=True)
class OrderSize:
    """Pieces to order at once [-], price of each [money], what a year costs with it, purchase included [money]."""

    quantity: int
    unit_price: float
    cost_per_year: float


def economic_order_quantity(demand: float, order_cost: float, holding_cost: float) -> float:
    """Return the order quantity of least cost.

    Parameters
    ----------
    demand : float
        Pieces per year, 0 or more [-].
    order_cost : float
        Of placing one order, 0 or more [money].
    holding_cost : float
        Of one piece for a year, above 0 [money].

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> economic_order_quantity(1000, 10, 0.5)
    200.0
    """
    _check(demand, order_cost, holding_cost)
    return math.sqrt(2 * demand * order_cost / holding_cost)


def yearly_cost(quantity: float, demand: float, order_cost: float, holding_cost: float) -> float:
    """Return what ordering and holding cost in a year with an order quantity above 0 [money].

    Examples
    --------
    >>> yearly_cost(200, 1000, 10, 0.5)
    100.0
    """
    _check(demand, order_cost, holding_cost)
    if quantity <= 0:
        msg = f"an order quantity must be above 0 (got {quantity})."
        raise ValueError(msg)
    return demand * order_cost / quantity + holding_cost * quantity / 2


def order_size(
    demand: float,
    order_cost: float,
    holding_rate: float,
    breaks: Sequence[tuple[int, float]],
    at_least: int = 1,
    at_most: int | None = None,
) -> OrderSize:
    """Return the whole number of pieces whose year costs least, with a price that depends on the order.

    Parameters
    ----------
    demand : float
        Pieces per year, 0 or more [-].
    order_cost : float
        Of placing one order, 0 or more [money].
    holding_rate : float
        Cost of holding, as a share of the price per year, above 0 [1/year].
    breaks : sequence of (int, float)
        From how many pieces on, and price of each piece above 0; rising. Fewer than the first cannot be ordered.
    at_least : int
        Pieces that are needed in any case [-].
    at_most : int or None
        Pieces that are not to be passed; the two lower bounds win over it [-].

    Raises
    ------
    ValueError
        If there is no price, or a number is out of range.

    Examples
    --------
    >>> order_size(12_000, 100, 0.2, [(1, 5.0), (2000, 4.9)]).quantity
    2000
    """
    _check_breaks(breaks)
    first = max(at_least, breaks[0][0], 1)
    last = math.inf if at_most is None else max(at_most, first)
    found: list[OrderSize] = []
    for index, (start, price) in enumerate(breaks):
        end = breaks[index + 1][0] - 1 if index + 1 < len(breaks) else math.inf
        low, high = max(start, first), min(end, last)
        if low > high:
            continue
        best = economic_order_quantity(demand, order_cost, holding_rate * price)
        for quantity in {int(min(max(n, low), high)) for n in (math.floor(best), math.ceil(best))}:
            cost = demand * price + yearly_cost(quantity, demand, order_cost, holding_rate * price)
            found.append(OrderSize(quantity, price, cost))
    return min(found, key=lambda size: (size.cost_per_year, size.quantity))


def _check(demand: float, order_cost: float, holding_cost: float) -> None:
    if demand < 0 or order_cost < 0 or not holding_cost > 0:
        msg = (
            "demand and cost of an order must be 0 or more and the cost of holding above 0 "
            f"(got {demand}, {order_cost} and {holding_cost})."
        )
        raise ValueError(msg)


def _check_breaks(breaks: Sequence[tuple[int, float]]) -> None:
    if not breaks:
        msg = "an order size needs a price."
        raise ValueError(msg)
    starts = [start for start, _ in breaks]
    if starts != sorted(set(starts)) or any(price <= 0 for _, price in breaks):
        msg = f"prices must be above 0 and their quantities rise (got {list(breaks)})."
        raise ValueError(msg)
