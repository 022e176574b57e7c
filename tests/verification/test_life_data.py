"""Lives with pieces that had not failed, against published fits and a general library of survival analysis.

W. Nelson, Applied Life Data Analysis, Wiley 1982: diesel generator fans (data read in a public copy, estimates from
memory). W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data, Wiley 1998, tables C.2 and 8.1:
shock absorbers (from memory; the remembered data reproduce both remembered estimates to four figures).
The printed estimates are rows of `cases/counts.toml`. Reference program: lifelines (MIT licence).
"""

from __future__ import annotations

import numpy as np
import pytest
from lifelines import WeibullFitter

from life_data import FANS, SHOCK_ABSORBERS, Lives
from platewright.shop.weibull import fit_weibull


@pytest.mark.parametrize(
    ("lives", "pieces", "failures", "total"), [(FANS, 70, 12, 344_440), (SHOCK_ABSORBERS, 38, 11, 0)]
)
def test_data_are_whole(lives: Lives, pieces: int, failures: int, total: float):
    """Counts as printed, and the fans' 344 440 h; exponential life 28 703.3 h."""
    times, failed = lives
    assert (len(times), sum(failed)) == (pieces, failures)
    if total:
        assert sum(times) == total
        assert sum(times) / sum(failed) == pytest.approx(28_703.3, abs=0.05)


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::FutureWarning")
@pytest.mark.parametrize("lives", [FANS, SHOCK_ABSORBERS], ids=["fans", "shock absorbers"])
def test_fit_is_that_of_lifelines(lives: Lives):
    """Estimates, log-likelihood and standard errors; the library's optimizer stops near 1e-5."""
    times, failed = lives
    ours = fit_weibull(times, failed)
    theirs = WeibullFitter().fit(np.array(times), np.array(failed))
    errors = theirs.summary["se(coef)"]
    assert ours.shape == pytest.approx(theirs.rho_, rel=1e-4)
    assert ours.scale == pytest.approx(theirs.lambda_, rel=1e-4)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-5)
    assert ours.log_likelihood >= theirs.log_likelihood_ - 1e-9
    assert ours.shape_error == pytest.approx(errors["rho_"], rel=1e-3)
    assert ours.scale * ours.log_scale_error == pytest.approx(errors["lambda_"], rel=1e-3)
    assert ours.reliability(8000) == pytest.approx(theirs.survival_function_at_times(8000).iloc[0], rel=1e-4)
