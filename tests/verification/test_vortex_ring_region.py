"""Johnson, W. (2005), Model for Vortex Ring State Influence on Rotorcraft Flight Dynamics, NASA/TP-2005-213477.

Numbers from memory; the shape of the edge between them is our own and has no outside check.
"""

import pytest

from platewright.rotor.descent import descent_range


def test_rates_of_descent_at_no_forward_speed():
    """0.45 to 1.5 of the induced speed in hover."""
    assert descent_range(0.0, 1.0) == pytest.approx((0.45, 1.5))


@pytest.mark.parametrize(("forward", "there"), [(0.94, True), (0.95, False), (2.0, False)])
def test_forward_speed_that_ends_it(forward, there):
    assert (descent_range(forward, 1.0) is not None) is there
