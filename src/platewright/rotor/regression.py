"""Robust linear regression of grouped rows, and interpolation of what it leaves between the groups.

Rows of one group (one propeller) share a bias, so groups weigh the same whatever their number of rows, and a group
that lies far off is weighed down as a whole (Huber's weights on its bias).

Sources: Huber, Robust Statistics (1981), ch. 7, iterated weights; Rasmussen & Williams, Gaussian Processes for Machine
Learning (2006), eq. 2.25; both from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Kriging", "RobustFit", "fit_kriging", "fit_robust"]

Array = NDArray[np.float64]
_ROUNDS = 20


@dataclass(frozen=True)
class RobustFit:
    """A fitted linear form; features are centred and scaled as when it was fitted.

    Parameters
    ----------
    centre, scale, slopes : (n_features,) array
        The form is intercept + slopes * (features - centre) / scale.
    intercept : float
        Value at the centre; 0 for a form through the origin.
    group_bias : (n_groups,) array
        What each group differs by.
    group_weight : (n_groups,) array
        Huber's weight of each group, 1 for those that fit [-].
    """

    centre: Array
    scale: Array
    slopes: Array
    intercept: float
    group_bias: Array
    group_weight: Array

    def __call__(self, features: Array) -> Array:
        """Evaluate the form for rows of features."""
        value = self.intercept + (features - self.centre) / self.scale @ self.slopes
        return np.asarray(value, dtype=np.float64)


@dataclass(frozen=True)
class Kriging:
    """Interpolates the biases of groups between their places; falls to zero far from all of them.

    Parameters
    ----------
    places : (n_groups, n_axes) array
        In lengths of correlation [-].
    lengths : (n_axes,) array
        Length of correlation along each axis.
    factors : (n_groups,) array
        Weights of the groups' correlations.
    """

    places: Array
    lengths: Array
    factors: Array

    def __call__(self, places: Array) -> Array:
        """Evaluate at rows of places."""
        return np.asarray(_correlation(places / self.lengths, self.places) @ self.factors, dtype=np.float64)


def fit_robust(
    features: Array,
    values: Array,
    groups: NDArray[np.int64],
    *,
    ridge: float,
    threshold: float,
    weights: Array | None = None,
    through_origin: bool = False,
) -> RobustFit:
    """Fit a linear form so that groups count alike and far ones count little.

    Parameters
    ----------
    features : (n_rows, n_features) array
        One row per measurement.
    values : (n_rows,) array
        What is fitted.
    groups : (n_rows,) int array
        Group of each row, 0 to n_groups - 1.
    ridge : float
        Share of the unit variance added to each scaled slope's own [-].
    threshold : float
        Bias of a group beyond which it is weighed down, in units of the values.
    weights : (n_rows,) array or None
        Weights of rows inside their group.
    through_origin : bool
        Fit no intercept and do not centre; a group's misfit is then its root mean square.

    Returns
    -------
    RobustFit
        The form, with bias and weight of each group.
    """
    counts = np.bincount(groups)
    share = 1 / counts[groups] * (1 if weights is None else weights)
    centre = np.zeros(features.shape[1]) if through_origin else np.average(features, axis=0, weights=share)
    scale = np.sqrt(np.average((features - centre) ** 2, axis=0, weights=share)) + 1e-9
    design = (features - centre) / scale
    if not through_origin:
        design = np.column_stack([np.ones(len(design)), design])
    penalty = ridge * share.sum() * np.eye(design.shape[1])
    if not through_origin:
        penalty[0, 0] = 0.0
    in_group = np.bincount(groups, weights=share)
    group_weight = np.ones(counts.size)
    solution, misfit = np.zeros(design.shape[1]), np.zeros(counts.size)
    for _ in range(_ROUNDS):
        weighted = design * (share * group_weight[groups])[:, None]
        solution = np.linalg.solve(weighted.T @ design + penalty, weighted.T @ values)
        rest = values - design @ solution
        if through_origin:
            misfit = np.sqrt(np.bincount(groups, weights=share * rest**2) / in_group)
        else:
            misfit = np.bincount(groups, weights=share * rest) / in_group
        group_weight = np.minimum(1.0, threshold / np.maximum(np.abs(misfit), 1e-9))
    slopes, intercept = (solution, 0.0) if through_origin else (solution[1:], float(solution[0]))
    return RobustFit(centre, scale, slopes, intercept, misfit, group_weight)


def fit_kriging(places: Array, lengths: Sequence[float], spread: float, own: float, fit: RobustFit) -> Kriging:
    """Interpolate the biases that a fit leaves.

    Parameters
    ----------
    places : (n_groups, n_axes) array
        Place of each group.
    lengths : sequence of float
        Length of correlation along each axis.
    spread : float
        Standard deviation that neighbours share, in units of the values.
    own : float
        Standard deviation that a group has for itself; larger for groups the fit weighs down.
    fit : RobustFit
        The fit.

    Returns
    -------
    Kriging
        Adds to the fit's value.
    """
    scaled = places / np.asarray(lengths)
    shared = spread**2 * _correlation(scaled, scaled)
    factors = spread**2 * np.linalg.solve(shared + np.diag(own**2 / fit.group_weight), fit.group_bias)
    return Kriging(scaled, np.asarray(lengths, dtype=np.float64), np.asarray(factors, dtype=np.float64))


def _correlation(one: Array, other: Array) -> Array:
    distance = ((one[:, None] - other[None]) ** 2).sum(axis=-1)
    return np.asarray(np.exp(-distance / 2), dtype=np.float64)
