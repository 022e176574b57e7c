"""ISO 2533:1975, Standard Atmosphere, by geopotential height (values recomputed, and remembered from its tables)."""

import pytest

from platewright.rotor.air import standard_air


@pytest.mark.parametrize(
    ("height", "density"),
    [(0, 1.2250), (500, 1.1673), (1000, 1.1116), (1500, 1.0581), (2000, 1.0065), (3000, 0.9091)],
)
def test_density(height, density):
    assert standard_air(height).density == pytest.approx(density, abs=0.00006)  # four decimals are printed


def test_sea_level():
    air = standard_air()
    assert (air.temperature, air.pressure) == (288.15, 101_325)
    assert air.sound_speed == pytest.approx(340.294, abs=0.001)
    assert air.viscosity == pytest.approx(1.7894e-5, abs=1e-9)
