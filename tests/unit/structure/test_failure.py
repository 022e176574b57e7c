import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.structure.failure import PlyStrength, max_strain_ratio, points_off_boundary, tsai_wu_ratio
from platewright.structure.holes import hole_stresses, pull_through_stress
from platewright.structure.ply import PlyMaterial

PLY = PlyMaterial(60_000, 50_000, 4_000, 0.05, 3_000, 3_000)
LIMIT = PlyStrength(600, 500, 580, 480, 75)


@pytest.mark.parametrize(
    ("stress", "limit"),
    [((1, 0, 0), 600), ((-1, 0, 0), 500), ((0, 1, 0), 580), ((0, -1, 0), 480), ((0, 0, 1), 75), ((0, 0, -1), 75)],
)
def test_simple_states_fail_at_their_strength(stress, limit):
    at_limit = limit * np.array(stress, dtype=float)
    assert tsai_wu_ratio(at_limit, LIMIT) == pytest.approx(1.0, rel=1e-12)
    assert tsai_wu_ratio(at_limit / 3, LIMIT) == pytest.approx(3.0, rel=1e-12)
    modulus = {0: 60_000, 1: 50_000, 2: 4_000}[int(np.argmax(np.abs(stress)))]
    assert max_strain_ratio(at_limit / modulus, PLY, LIMIT) == pytest.approx(1.0, rel=1e-12)


def test_the_ratio_scales_any_state_to_the_surface():
    rng = np.random.default_rng(3)
    stresses = rng.normal(size=(50, 3)) * [300, 300, 40]
    ratios = tsai_wu_ratio(stresses, LIMIT)
    assert tsai_wu_ratio(stresses * ratios[:, None], LIMIT) == pytest.approx(np.ones(50), rel=1e-9)


def test_no_stress_has_no_end():
    for nothing in (np.zeros(3), -np.zeros(3)):
        assert tsai_wu_ratio(nothing, LIMIT) == math.inf
        assert max_strain_ratio(nothing, PLY, LIMIT) == math.inf


def test_strengths_must_be_positive():
    with pytest.raises(StructureError, match="y_c"):
        PlyStrength(1, 1, 1, 0, 1)


def test_points_near_the_boundary_are_not_judged():
    nodes = np.array([[0.0, 0.0], [0.5, 0.0], [1.016, 0.0], [3.0, 0.0]])
    assert points_off_boundary(nodes, nodes[:1]).tolist() == [2, 3]
    assert points_off_boundary(nodes, nodes[:0]).tolist() == [0, 1, 2, 3]


def test_hole_stresses_and_their_refusals():
    got = hole_stresses(100.0, 3.2, 4.0, 12.8, 6.4)
    assert got.bearing == pytest.approx(100 / 12.8)
    assert got.net_tension == pytest.approx(100 / 38.4)
    assert got.shear_out == pytest.approx(100 / (2 * 5.6 * 4))
    assert pull_through_stress(100.0, 5.5, 2.0) == pytest.approx(100 / (math.pi * 11))
    for bad in ((100, 3.2, 4, 3.2, 6), (100, 3.2, 4, 12, 1.6), (100, 0, 4, 12, 6), (-1, 3.2, 4, 12, 6)):
        with pytest.raises(StructureError):
            hole_stresses(*bad)
