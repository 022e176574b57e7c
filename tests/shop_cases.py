"""What the product gives for the published cases of counts, lives and stock."""

from __future__ import annotations

from collections.abc import Callable

from life_data import FANS, SHOCK_ABSORBERS
from platewright.shop.intervals import (
    median_rank,
    median_rank_benard,
    poisson_interval,
    poisson_upper,
    zero_failure_sample_size,
)
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


SHOP: dict[str, Callable[..., float]] = {
    "life": _life,
    "median_rank": _median_rank,
    "poisson_end": _poisson_end,
    "poisson_upper": _poisson_upper,
    "zero_failures": _zero_failures,
}
