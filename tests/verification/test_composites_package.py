"""Laminates against an independent implementation.

Reference: the Python package `composites` 0.10, classical laminate theory, an extra of the tests only.

Both sum the same closed forms, so they agree to rounding of 32 products (1e-9 of the largest term).
"""

import math

import numpy as np
import pytest
from composites import laminated_plate

from platewright.structure.laminate import Laminate, Ply, section_of
from platewright.structure.ply import PlyMaterial

MATERIALS = ((181_000, 10_300, 0.28, 7_170, 7_170, 3_000), (60_000, 60_000, 0.05, 4_000, 3_000, 2_500))


@pytest.mark.parametrize("seed", range(6))
def test_stiffness_of_arbitrary_stacks(seed):
    """A, B and D of uneven stacks with plies of two materials."""
    rng = np.random.default_rng(seed)
    angles = rng.uniform(-90, 90, 7)
    thicknesses = rng.uniform(0.1, 0.4, 7)
    chosen = [MATERIALS[k] for k in rng.integers(0, 2, 7)]
    theirs = laminated_plate(
        stack=list(angles), plyts=list(thicknesses), laminaprops=[tuple(map(float, m)) for m in chosen], rho=1.6e-9
    )
    plies = tuple(
        Ply(PlyMaterial(e1, e2, g12, nu12, g13, g23), t, math.radians(a))
        for (e1, e2, nu12, g12, g13, g23), t, a in zip(chosen, thicknesses, angles, strict=True)
    )
    ours = section_of(Laminate(plies, 1.6e-9))
    abd = np.array(theirs.ABD)
    for name, block in (("a", abd[:3, :3]), ("b", abd[:3, 3:]), ("d", abd[3:, 3:])):
        assert getattr(ours, name) == pytest.approx(block, rel=1e-9, abs=1e-9 * np.abs(block).max()), name
