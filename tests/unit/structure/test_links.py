"""Links: closed forms of a bar, and that links one after another add their flexibilities."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.structure.links import (
    Tube,
    beam_flexibility,
    clamped_flexibility,
    huth_flexibility,
    moved_flexibility,
    rigid_arm,
    series_stiffness,
    transfer,
)

BAR = Tube(3.0, 0.0, 200_000)


def test_a_bar_bends_and_stretches_as_in_the_book() -> None:
    length, ei = 60.0, 200_000 * math.pi / 64 * 3**4
    found = beam_flexibility(length, [BAR])
    bend = length**3 / (3 * ei)
    assert found[0, 0] == pytest.approx(bend, rel=2e-3)  # shear adds 0.1 % at twenty diameters
    assert found[0, 0] > bend
    assert found[2, 2] == pytest.approx(length / (200_000 * math.pi / 4 * 9), rel=1e-12)
    assert found[4, 4] == pytest.approx(length / ei, rel=1e-12)
    assert found[5, 5] == pytest.approx(length / (200_000 / 2.6 * math.pi / 32 * 81), rel=1e-12)


def test_shear_factor_of_a_bar_and_of_a_thin_tube() -> None:
    """Cowper 1966 (from memory): 6 (1 + nu) / (7 + 6 nu) for a bar, 2 (1 + nu) / (4 + 3 nu) for a thin tube."""
    for tube, factor in ((BAR, 7.8 / 8.8), (Tube(3.0, 2.9999, 200_000), 2.6 / 4.9)):
        shear = beam_flexibility(1e-6, [tube])[0, 0] / 1e-6
        assert 1 / shear == pytest.approx(factor * 200_000 / 2.6 * tube.area, rel=1e-4)


def test_two_halves_make_the_whole() -> None:
    whole = beam_flexibility(40.0, [BAR])
    half = beam_flexibility(20.0, [BAR])
    joined = half + moved_flexibility(half, np.array([0.0, 0.0, 20.0]))
    assert np.allclose(joined, whole, rtol=1e-12, atol=1e-15)
    assert np.allclose(series_stiffness([joined]) @ whole, np.eye(6), atol=1e-9)


def test_a_turn_about_y_moves_what_lies_above_along_x() -> None:
    assert transfer(np.array([0.0, 0.0, 10.0])) @ np.eye(6)[4] == pytest.approx([10, 0, 0, 0, 1, 0])


def test_flexibility_by_huth_worked_by_hand() -> None:
    """(7/6)^(2/3) * 4.2 / 2 * (4e-6 + 5e-6 + 4.878e-7 + 6.098e-7) = 1.1082 * 2.1 * 1.00976e-5."""
    assert huth_flexibility(5, 50_000, 2, 50_000, 3, 205_000, True) == pytest.approx(2.3500e-5, rel=1e-4)
    single = huth_flexibility(5, 50_000, 2, 50_000, 3, 205_000, False)
    assert single > 2 * huth_flexibility(5, 50_000, 2, 50_000, 3, 205_000, True)


def test_a_clamped_joint_is_stiffer_with_its_plates_than_its_screw_alone() -> None:
    ring = Tube(5.07, 3.2, 9_000)
    joint = clamped_flexibility(2e-5, 3.5, ring, Tube(2.39, 0.0, 205_000))
    alone = beam_flexibility(3.5, [Tube(2.39, 0.0, 205_000)])
    assert joint[0, 0] == 2e-5
    assert (np.diag(joint)[2:] < np.diag(alone)[2:]).all()


def test_turned_axes_keep_lengths() -> None:
    arm = rigid_arm(np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]))
    assert arm @ np.array([1.0, 0, 0, 0, 2, 0]) == pytest.approx([0, 1, 0, -2, 0, 0])


def test_impossible_links_are_refused() -> None:
    with pytest.raises(StructureError, match="bore smaller"):
        Tube(3.0, 3.0, 200_000)
    with pytest.raises(StructureError, match="at least one spring"):
        series_stiffness([])
