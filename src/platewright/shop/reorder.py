"""When to order: demand until the goods are there, safety stock, and the reorder point for a service level.

With demand d +- s_d per day and lead time L +- s_L days, independent of each other, what is asked for until the goods
come has the mean d L and the variance L s_d^2 + d^2 s_L^2. The service level is the chance that one lead time ends
without a shortage. The normal reorder point is mean + z x spread; the Poisson one is the least whole number that the
demand does not pass with that chance, exact where demand comes in equal lots one by one, and scaled to the variance
otherwise.

Sources: Nahmias, Production and Operations Analysis; Silver, Pyke and Peterson, Inventory Management and Production
Planning and Scheduling (whose words cycle service level are the service level here); from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import ndtri, pdtr

__all__ = [
    "LeadDemand",
    "lead_demand",
    "reorder_point",
    "reorder_point_normal",
    "reorder_point_poisson",
    "safety_stock",
]

_NORMAL_FROM = 20.0  # lots asked for in a lead time from which the normal is near enough [-]


@dataclass(frozen=True)
class LeadDemand:
    """Pieces asked for until ordered goods are there: mean and variance [-]."""

    mean: float
    variance: float


def lead_demand(demand: float, spread: float, lead_time: float, lead_spread: float = 0.0) -> LeadDemand:
    """Return what is asked for in a lead time.

    Parameters
    ----------
    demand, spread : float
        Mean and standard deviation per day, 0 or more [1/day].
    lead_time, lead_spread : float
        Mean and standard deviation, 0 or more [day].

    Raises
    ------
    ValueError
        If a number is negative.

    Examples
    --------
    >>> lead_demand(10, 3, 9, 2)
    LeadDemand(mean=90, variance=481.0)
    """
    if min(demand, spread, lead_time, lead_spread) < 0:
        msg = (
            "demand, lead time and their spreads must be 0 or more "
            f"(got {demand}, {spread}, {lead_time} and {lead_spread})."
        )
        raise ValueError(msg)
    return LeadDemand(demand * lead_time, lead_time * spread**2 + float(demand * lead_spread) ** 2)


def safety_stock(demand: LeadDemand, service_level: float) -> float:
    """Return the normal safety stock, z times the spread; negative for a service level below a half [-].

    Examples
    --------
    >>> round(safety_stock(lead_demand(10, 3, 9, 2), 0.95), 2)
    36.07
    """
    return float(ndtri(_checked_level(service_level))) * math.sqrt(demand.variance)


def reorder_point_normal(demand: LeadDemand, service_level: float) -> int:
    """Return the stock, with what is on order, at which to order: normal demand, rounded up [-].

    Examples
    --------
    >>> reorder_point_normal(lead_demand(10, 3, 9, 2), 0.95)
    127
    """
    return max(0, math.ceil(demand.mean + safety_stock(demand, service_level) - 1e-9))


def reorder_point_poisson(demand: LeadDemand, service_level: float) -> int:
    """Return the stock at which to order: demand in lots of variance / mean pieces, their number Poisson [-].

    Parameters
    ----------
    demand : LeadDemand
        In a lead time; for a part that a kit takes four of, the variance is four times the mean.
    service_level : float
        Between 0 and 1 [-].

    Examples
    --------
    >>> reorder_point_poisson(LeadDemand(2.0, 2.0), 0.95)
    5
    >>> reorder_point_poisson(LeadDemand(8.0, 32.0), 0.95)
    20
    """
    level = _checked_level(service_level)
    if demand.mean == 0:
        return 0
    size = demand.variance / demand.mean
    if size == 0:
        return math.ceil(demand.mean)
    lots = demand.mean / size
    number = 0
    while pdtr(number, lots) < level:
        number += 1
    return math.ceil(number * size - 1e-9)


def reorder_point(demand: LeadDemand, service_level: float) -> int:
    """Return the Poisson reorder point where few lots are asked for in a lead time, else the normal one [-]."""
    few = demand.variance * _NORMAL_FROM > demand.mean**2
    return (reorder_point_poisson if few else reorder_point_normal)(demand, service_level)


def _checked_level(level: float) -> float:
    if not 0 < level < 1:
        msg = f"a service level must lie between 0 and 1 (got {level})."
        raise ValueError(msg)
    return level
