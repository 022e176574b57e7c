"""How many of a delivery to measure, and how many faulty ones to allow: single sampling with its two risks.

n pieces are drawn at random and the lot is accepted if at most c are faulty. With a share p of faulty pieces,
P(accept) = sum of C(n, k) p^k (1 - p)^(n - k) for k from 0 to c (binomial). The supplier's risk alpha is to refuse a
lot of the acceptable quality level, the buyer's risk beta to accept one of the share that must not pass (tolerated).

Sources: Montgomery, Introduction to Statistical Quality Control, chapter on lot-by-lot acceptance sampling; Dodge and
Romig, Sampling Inspection Tables, for the names of the risks (both from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import bdtr

__all__ = ["SamplingPlan", "acceptance_probability", "sampling_plan", "sampling_plan_of_lot"]

_MOST = 100_000  # pieces; a plan that needs more is refused [-]


@dataclass(frozen=True)
class SamplingPlan:
    """Draw `sample_size`, accept with at most `acceptance_number` faulty.

    Parameters
    ----------
    sample_size, acceptance_number : int
        n and c [-].
    acceptable, tolerated : float
        Shares of faulty pieces at which the two risks are stated [-].
    supplier_risk, buyer_risk : float
        What the plan really gives: P(refuse) at `acceptable`, P(accept) at `tolerated` [-].
    whole_lot : bool
        The lot is not larger than the sample: every piece is measured, and no risk is left.
    """

    sample_size: int
    acceptance_number: int
    acceptable: float
    tolerated: float
    supplier_risk: float
    buyer_risk: float
    whole_lot: bool = False


def acceptance_probability(sample_size: int, acceptance_number: int, faulty_share: float) -> float:
    """Return the chance that a lot is accepted.

    Parameters
    ----------
    sample_size, acceptance_number : int
        n and c [-].
    faulty_share : float
        Share of faulty pieces in the lot, 0 to 1 [-].

    Raises
    ------
    ValueError
        If the numbers are no plan, or the share is no share.

    Examples
    --------
    >>> round(acceptance_probability(89, 2, 0.01), 4)
    0.9397
    """
    if not 0 <= acceptance_number < sample_size:
        msg = f"a plan needs 0 <= acceptance number < sample size (got {acceptance_number} and {sample_size})."
        raise ValueError(msg)
    if not 0 <= faulty_share <= 1:
        msg = f"a share of faulty pieces must be from 0 to 1 (got {faulty_share})."
        raise ValueError(msg)
    return float(bdtr(acceptance_number, sample_size, faulty_share))


def sampling_plan(acceptable: float, supplier_risk: float, tolerated: float, buyer_risk: float) -> SamplingPlan:
    """Return the plan with the smallest sample that keeps both risks, for a lot much larger than the sample.

    Parameters
    ----------
    acceptable, tolerated : float
        Shares of faulty pieces, 0 <= acceptable < tolerated < 1 [-].
    supplier_risk, buyer_risk : float
        Most that may be refused at `acceptable` and accepted at `tolerated`, each between 0 and 1 [-].

    Raises
    ------
    ValueError
        If the shares or risks are out of range, or so near that more than 100 000 pieces would be needed.

    Examples
    --------
    >>> plan = sampling_plan(0.01, 0.05, 0.10, 0.10)
    >>> plan.sample_size, plan.acceptance_number
    (52, 2)
    >>> sampling_plan(0.0, 0.05, 0.05, 0.05).sample_size
    59
    """
    if not 0 <= acceptable < tolerated < 1:
        msg = f"shares must keep 0 <= acceptable < tolerated < 1 (got {acceptable} and {tolerated})."
        raise ValueError(msg)
    if not (0 < supplier_risk < 1 and 0 < buyer_risk < 1):
        msg = f"risks must lie between 0 and 1 (got {supplier_risk} and {buyer_risk})."
        raise ValueError(msg)
    number = 0
    size = 1
    while True:
        size = _least_sample(number, tolerated, buyer_risk, max(size, number + 1))
        refused = 1 - float(bdtr(number, size, acceptable))
        if refused <= supplier_risk:
            accepted = float(bdtr(number, size, tolerated))
            return SamplingPlan(size, number, acceptable, tolerated, refused, accepted)
        number += 1


def sampling_plan_of_lot(plan: SamplingPlan, lot_size: int) -> SamplingPlan:
    """Return the plan for a lot: itself, or every piece where the lot is not larger than the sample.

    Parameters
    ----------
    plan : SamplingPlan
        For a large lot.
    lot_size : int
        Pieces in the lot, 1 or more [-].

    Notes
    -----
    For a lot only a few times the sample the binomial overstates both risks: drawing without replacement tells more.

    Examples
    --------
    >>> sampling_plan_of_lot(sampling_plan(0.01, 0.05, 0.10, 0.10), 20).sample_size
    20
    """
    if lot_size < 1:
        msg = f"a lot must hold 1 piece or more (got {lot_size})."
        raise ValueError(msg)
    if lot_size > plan.sample_size:
        return plan
    number = min(int(np.floor(plan.acceptable * lot_size)), lot_size - 1)
    return SamplingPlan(lot_size, number, plan.acceptable, plan.tolerated, 0.0, 0.0, whole_lot=True)


def _least_sample(number: int, tolerated: float, buyer_risk: float, start: int) -> int:
    """Return the smallest sample that keeps the buyer's risk with an acceptance number; it falls with the sample."""
    low, high = start - 1, max(start, 2)
    while bdtr(number, high, tolerated) > buyer_risk:
        low, high = high, 2 * high
        if low > _MOST:
            msg = f"more than {_MOST} pieces would have to be measured; set the two shares further apart."
            raise ValueError(msg)
    while high - low > 1:
        middle = (low + high) // 2
        if middle <= number or bdtr(number, middle, tolerated) > buyer_risk:
            low = middle
        else:
            high = middle
    return high
