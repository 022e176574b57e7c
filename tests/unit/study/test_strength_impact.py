"""Blows in time: energy is kept, rotors that are images agree, slow and fast lie near; the index ranks frames."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from frames import PARTS
from platewright.study.strength import frame_strength
from platewright.study.strength_impact import index_of
from platewright.study.strength_results import FrameStrength
from strength_frames import quad

# blows of one kind on two rotors of which one is the other's image
BOTH = "".join(
    f'[[load_case]]\nid = "push_{n}"\nanswer = "energy"\nloads = [{{ rotor = {n}, force_n = 1, direction = "up" }}]\n'
    for n in (1, 4)
)


@cache
def struck() -> FrameStrength:
    return frame_strength(quad(battery=(0, 0), extra=BOTH), 8.0, PARTS, in_time=True).strength


def test_every_hit_is_stepped_with_its_energy_kept() -> None:
    hits = [row.case for row in struck().cases if row.energy_j is not None]
    assert [row.case for row in struck().strikes] == hits
    for row in struck().strikes:
        assert row.drift_percent < 1.0
        assert row.energy_band_j[0] <= row.energy_j <= row.energy_band_j[1]


def test_rotors_that_are_images_take_up_the_same() -> None:
    """Meshes of mirrored plates differ, so 6 %."""
    rows = {row.case: row for row in struck().strikes}
    assert rows["push 1"].energy_j == pytest.approx(rows["push 4"].energy_j, rel=0.06)
    slow = {row.case: row.energy_j for row in struck().cases}
    assert slow["push 1"] == pytest.approx(slow["push 4"], rel=0.06)


def test_slow_and_stepped_energies_lie_near_one_another() -> None:
    """Stepped by slow, 0.8 to 2.1 measured here with soft to hard contact, and more modes or smaller steps change none.

    They differ by shape: in a blow along an arm or oblique to it the frame swings in shapes that do not strain what
    fails first, up to 2.1; in an edgewise one motors that stop late strain it more, down to 0.8. A tenth is left for
    the instants that are judged (400 instead of 64 move one by 9 %). A motor struck from above bounces off within a
    millisecond, and its arm bends most afterwards: judged only until the last touch, these would be 10 to 30.
    """
    slow = {row.case: row.energy_j for row in struck().cases}
    for row in struck().strikes:
        for energy in (row.energy_j, *row.energy_band_j):
            assert 0.72 < energy / (slow[row.case] or 0.0) < 2.35


def test_hits_are_stepped_only_when_asked() -> None:
    assert frame_strength(quad(), 8.0, PARTS).strength.strikes == ()


def test_the_index_counts_each_kind_of_hit_once_and_no_case_of_the_designs_own() -> None:
    index = struck().crash_index
    assert index is not None
    kinds = {"tip from above", "tip from below", "tip edgewise", "tip along", "tip oblique"}
    assert index.kinds_of_hits == len({*kinds, "propeller strike", "belly landing", "battery landing"})
    assert index.band[0] < index.value < index.band[1]


def test_the_index_takes_the_weakest_rotor() -> None:
    rows = [row for row in struck().cases if row.case == "tip edgewise 1"]
    assert rows[0].energy_j is not None
    weaker = replace(rows[0], case="tip edgewise 2", energy_j=rows[0].energy_j / 2)
    both, strong = (index_of(r, frozenset(), 0.5) for r in ([rows[0], weaker], rows))
    assert both is not None
    assert strong is not None
    assert both.value == pytest.approx(strong.value / 2)
    assert index_of([], frozenset(), 0.5) is None
