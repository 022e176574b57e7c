"""The standard atmosphere."""

import pytest

from platewright.rotor.air import standard_air


def test_warm_air_is_thinner_at_the_same_pressure():
    warm, standard = standard_air(500, 20), standard_air(500)
    assert warm.pressure == standard.pressure
    assert warm.density / standard.density == pytest.approx(standard.temperature / warm.temperature)


@pytest.mark.parametrize("height", [-1001, 11_001])
def test_heights_outside_are_refused(height):
    with pytest.raises(ValueError, match="between -1000 and 11000 m"):
        standard_air(height)
