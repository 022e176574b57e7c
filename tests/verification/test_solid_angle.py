"""Shares of hidden directions against closed forms of the solid angle.

A half space hides half of the sphere; a disc of radius r at distance h on its axis hides (1 - h / sqrt(h^2 + r^2)) / 2
of it: the area of a spherical cap over that of the sphere (elementary geometry).
"""

import math

import numpy as np
import pytest

from platewright.assembly.bodies import Box, Cylinder, Frame3
from platewright.fit.antennas import shadow
from platewright.fit.solids import prism_of


def test_a_plane_without_end_hides_half() -> None:
    wall = prism_of(Box(1e7, 1e7, 1), Frame3((0, 0, -6)))
    found = shadow("a", np.zeros(3), [wall], ["wall"])
    assert found.all_round == 0.5
    assert found.below == 1.0


@pytest.mark.parametrize(("radius", "distance"), [(10, 30), (10, 10), (40, 10), (200, 10)])
def test_a_disc_hides_its_cap(radius: float, distance: float) -> None:
    # drawn so thin that its rim adds nothing; 600 directions in equal steps of height: one step either way
    disc = prism_of(Cylinder(radius, 1e-3), Frame3((0, 0, -distance - 1e-3)))
    found = shadow("a", np.zeros(3), [disc], ["disc"])
    assert found.all_round == pytest.approx((1 - distance / math.hypot(distance, radius)) / 2, abs=1 / 600)


@pytest.mark.parametrize(("radius", "distance"), [(20, 20), (60, 20)])
def test_a_disc_behind_hides_its_cap_of_the_rear(radius: float, distance: float) -> None:
    # across the spiral's axis the rim is met unevenly: 1 in 100
    disc = prism_of(Cylinder(radius, 1e-3), Frame3((-distance, 0, 0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    found = shadow("a", np.zeros(3), [disc], ["disc"])
    assert found.behind == pytest.approx(1 - distance / math.hypot(distance, radius), abs=0.01)
