"""What the product gives for the published cases of counts, lives and stock."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from life_data import FANS, SHOCK_ABSORBERS
from platewright.shop.demand import pooling
from platewright.shop.intervals import (
    median_rank,
    median_rank_benard,
    poisson_interval,
    poisson_upper,
    zero_failure_sample_size,
)
from platewright.shop.lot_size import economic_order_quantity, yearly_cost
from platewright.shop.newsvendor import buy_once, critical_ratio, one_buy
from platewright.shop.reorder import lead_demand, safety_stock
from platewright.shop.weibull import WeibullFit, fit_weibull

__all__ = ["SHOP"]

_LIVES = {"fans": FANS, "shock absorbers": SHOCK_ABSORBERS}
_READ: dict[str, Callable[[WeibullFit], float]] = {
    "shape": lambda fit: fit.shape,
    "1/shape": lambda fit: 1 / fit.shape,
    "shape_error": lambda fit: fit.shape_error,
    "scale": lambda fit: fit.scale,
    "log_scale_error": lambda fit: fit.log_scale_error,
    "log_likelihood": lambda fit: fit.log_likelihood,
    "r8000": lambda fit: fit.reliability(8000),
    "b10": lambda fit: fit.life(0.1),
}


def _poisson_end(events: int, end: str) -> float:
    return getattr(poisson_interval(events), end)


def _poisson_upper(events: int) -> float:
    return poisson_upper(events)


def _zero_failures(reliability: float, confidence: float) -> float:
    return zero_failure_sample_size(reliability, confidence)


def _median_rank(order: int, n: int, how: str) -> float:
    return median_rank(order, n) if how == "exact" else median_rank_benard(order, n)


def _life(lives: str, read: str) -> float:
    return _READ[read](fit_weibull(*_LIVES[lives]))


def _order_quantity(demand: float, order_cost: float, holding: float) -> float:
    return economic_order_quantity(demand, order_cost, holding)


def _order_year(demand: float, order_cost: float, holding: float, read: str) -> float:
    best = economic_order_quantity(demand, order_cost, holding)
    year = {"orders": demand / best, "cycle": best / demand, "cost": yearly_cost(best, demand, order_cost, holding)}
    return year[read]


def _order_flatness(ratio: float) -> float:
    best = economic_order_quantity(1000, 10, 0.5)
    return yearly_cost(ratio * best, 1000, 10, 0.5) / yearly_cost(best, 1000, 10, 0.5)


def _critical_ratio(too_few: float, too_many: float) -> float:
    return critical_ratio(too_few, too_many)


def _buy_once(mean: float, spread: float, too_few: float, too_many: float) -> float:
    return buy_once(mean, spread, too_few, too_many)


def _one_buy(quantity: float | str, read: str) -> float:
    bought = buy_once(350, 100, 150, 20) if quantity == "best" else float(quantity)
    return getattr(one_buy(bought, 350, 100, 250, 100, 80), read)


def _shared_ratio(n: int, r: float) -> float:
    return pooling([1] * n, np.full((n, n), r) + (1 - r) * np.eye(n)).ratio


def _safety_stock(demand: float, spread: float, lead_time: float, lead_spread: float, level: float) -> float:
    return safety_stock(lead_demand(demand, spread, lead_time, lead_spread), level)


SHOP: dict[str, Callable[..., float]] = {
    "buy_once": _buy_once,
    "critical_ratio": _critical_ratio,
    "life": _life,
    "median_rank": _median_rank,
    "one_buy": _one_buy,
    "order_flatness": _order_flatness,
    "order_quantity": _order_quantity,
    "order_year": _order_year,
    "poisson_end": _poisson_end,
    "poisson_upper": _poisson_upper,
    "safety_stock": _safety_stock,
    "shared_ratio": _shared_ratio,
    "zero_failures": _zero_failures,
}
