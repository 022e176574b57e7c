"""The skewed vortex cylinder: Coleman, R. P., Feingold, A. M. and Stempin, C. W. (1945), Evaluation of the
induced-velocity field of an idealized helicopter rotor, NACA ARR L5E10 (slope and lateral axis, from memory); and the
straight cylinder, whose axis is a closed form of Biot and Savart's law.
"""

import math

import numpy as np
import pytest

from platewright.rotor.wake import wake_inflow

SKEWS = [15, 30, 45, 60, 75, 85]


@pytest.mark.parametrize("depth", [0.0, 0.25, 0.5, 1.0, 2.0, 5.0])
def test_axis_in_hover(depth):
    """1 + h / sqrt(h^2 + R^2); rounding only, as the integrand does not change round the rim."""
    found = wake_inflow(np.array([[0.0, 0.0, -depth]]), 0.0, core=0.0)
    assert float(found[0]) == pytest.approx(1 + depth / math.hypot(depth, 1.0), abs=1e-12)


@pytest.mark.parametrize("skew_deg", [0, *SKEWS])
def test_far_wake_is_twice_the_disc(skew_deg):
    """40 radii down the wake; what is still missing there goes with 1 / (2 s^2), 3e-4."""
    skew = math.radians(skew_deg)
    found = wake_inflow(40 * np.array([[math.sin(skew), 0.0, -math.cos(skew)]]), skew, core=0.0, rim=2048)
    assert float(found[0]) == pytest.approx(2, abs=4e-4)


@pytest.mark.parametrize("skew_deg", SKEWS)
def test_slope_at_the_centre(skew_deg):
    """tan(chi / 2) per radius; central difference over 2e-4 radii."""
    skew, step = math.radians(skew_deg), 1e-4
    after, before = wake_inflow(np.array([[step, 0, 0], [-step, 0, 0]]), skew, core=0.0, rim=512)
    assert float((after - before) / (2 * step)) == pytest.approx(math.tan(skew / 2), rel=1e-6)


@pytest.mark.parametrize("skew_deg", SKEWS)
def test_lateral_axis(skew_deg):
    """1 on the whole axis across, at any skew; 512 points on the rim are enough up to 0.95 of the radius."""
    points = np.array([[0.0, y, 0.0] for y in (0.3, -0.6, 0.9, 0.95)])
    assert wake_inflow(points, math.radians(skew_deg), core=0.0, rim=512) == pytest.approx(1, abs=1e-6)
