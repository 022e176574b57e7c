"""Robust regression of grouped rows."""

import numpy as np
import pytest

from platewright.rotor.regression import fit_kriging, fit_robust

RNG = np.random.default_rng(5)
GROUPS = np.repeat(np.arange(12), 5)
FEATURES = RNG.normal(size=(60, 2))
VALUES = 0.3 + FEATURES @ np.array([1.5, -0.7])


def test_an_exact_form_is_found():
    fit = fit_robust(FEATURES, VALUES, GROUPS, ridge=0.0, threshold=0.1)
    assert fit(FEATURES) == pytest.approx(VALUES, abs=1e-12)
    assert np.all(fit.group_weight == 1)


def test_one_wrong_group_hardly_moves_the_form():
    wrong = VALUES + np.where(GROUPS == 3, 4.0, 0.0)
    fit = fit_robust(FEATURES, wrong, GROUPS, ridge=0.0, threshold=0.05)
    least_squares = fit_robust(FEATURES, wrong, GROUPS, ridge=0.0, threshold=np.inf)
    right = GROUPS != 3
    assert np.abs(fit(FEATURES) - VALUES)[right].max() < 0.03
    assert np.abs(least_squares(FEATURES) - VALUES)[right].max() > 0.3
    assert fit.group_weight[3] < 0.02


def test_groups_weigh_alike_whatever_their_rows():
    groups = np.array([0] * 50 + [1])
    fit = fit_robust(np.zeros((51, 1)), np.array([0.0] * 50 + [1.0]), groups, ridge=1e-9, threshold=np.inf)
    assert fit.intercept == pytest.approx(0.5)


def test_kriging_returns_to_zero_far_away_and_to_the_bias_nearby():
    fit = fit_robust(np.zeros((60, 1)), np.where(GROUPS < 6, 0.2, -0.2), GROUPS, ridge=1e-9, threshold=1.0)
    places = np.where(np.arange(12) < 6, 0.0, 5.0)[:, None] + np.linspace(0, 0.1, 12)[:, None]
    near = fit_kriging(places, [1.0], 0.3, 0.01, fit)
    assert near(np.array([[0.05], [5.05], [50.0]])) == pytest.approx([0.2, -0.2, 0.0], abs=0.01)
