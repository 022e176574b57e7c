"""Strength ratios from freedoms agree with those from displacements, ply by ply."""

from __future__ import annotations

import numpy as np
import pytest

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop, rounded_polygon
from platewright.structure.failure import PlyStrength, max_strain_ratio, tsai_wu_ratio
from platewright.structure.notches import notches_of
from platewright.structure.ply import PlyMaterial
from platewright.structure.ply_states import ply_states
from platewright.structure.recover import strain_recovery
from platewright.structure.reduce import Reductions
from platewright.structure.stacks import fabric_stack
from platewright.structure.strains import strains_at_nodes

PLY = PlyMaterial(60_000, 58_000, 4_000, 0.05, 3_000, 3_000)
STRENGTH = PlyStrength(600, 500, 590, 480, 75)


def test_the_least_ratio_over_all_plies_and_faces_is_found_from_few_faces() -> None:
    outline = Outline(rectangle_loop(0, 0, 60, 14), (), (Circle(-24, 0, 1.6), Circle(24, 1, 1.6)))
    laminate = fabric_stack(PLY, 2.0, 0.225, 1.55e-9, True)
    reduced = Reductions().get(outline, laminate, 0.3, ((0,), (1,)), 4.0)
    stiff = np.concatenate(reduced.mesh.rims)
    recovery = strain_recovery(reduced, laminate, 0.3, stiff, notches_of(outline))
    freedoms = np.random.default_rng(5).normal(size=(3, len(reduced.stiffness))) * 0.1
    freedoms[:, 12:] *= 1e-6
    strengths = (STRENGTH,) * len(laminate.plies)
    ratios = 1 / recovery.uses(freedoms, [strengths])[0]
    strains = strains_at_nodes(reduced.mesh, reduced.section, reduced.displacements(freedoms))
    nodes = {tuple(p): n for n, p in enumerate(reduced.mesh.nodes.tolist())}
    compared = 0
    for k, point in enumerate(recovery.points.tolist()):
        node = nodes.get(tuple(point))
        if node is None:
            continue  # a point on a ring
        compared += 1
        for case in range(3):
            states = ply_states(laminate, strains.membrane[case, [node]], strains.curvature[case, [node]], 0.3)
            assert ratios[case, 0, k] == pytest.approx(max_strain_ratio(states.strains, PLY, STRENGTH).min(), rel=1e-8)
            assert ratios[case, 1, k] == pytest.approx(tsai_wu_ratio(states.stresses, STRENGTH).min(), rel=1e-8)
    assert compared > 50
    assert len(recovery.points) == compared + 96  # both rings lie on the plate
    assert recovery.worst(freedoms, [strengths])[0][0].ratio == pytest.approx(ratios[0].min())


def test_judged_points_keep_off_stiff_rims() -> None:
    outline = Outline(rectangle_loop(0, 0, 60, 14), (), (Circle(0, 0, 1.6),))
    laminate = fabric_stack(PLY, 2.0, 0.225, 1.55e-9, True)
    reduced = Reductions().get(outline, laminate, 0.0, ((0,),), 4.0)
    found = strain_recovery(reduced, laminate, 0.0, reduced.mesh.rims[0], notches_of(outline)).points
    assert np.hypot(*found.T).min() == pytest.approx(1.6 + 1.016)


def test_judged_points_keep_off_sharp_inside_corners() -> None:
    """A corner at the origin: judged on a ring round it, on the plate's side only, and nowhere nearer."""
    corner = rounded_polygon([(0, 0), (0, 20), (-20, 20), (-20, -20), (20, -20), (20, 0)], [0.0] * 6)
    outline = Outline(corner, (), (Circle(-10, -10, 1.6),))
    laminate = fabric_stack(PLY, 2.0, 0.225, 1.55e-9, True)
    reduced = Reductions().get(outline, laminate, 0.0, ((0,),), 4.0)
    found = strain_recovery(reduced, laminate, 0.0, reduced.mesh.rims[0], notches_of(outline, [(0.0, 0.0)])).points
    away = np.hypot(*found.T)
    assert away.min() == pytest.approx(1.016)
    assert 30 <= (away < 1.016 * (1 + 1e-9)).sum() <= 37  # three quarters of 48, less what lies on the edges
