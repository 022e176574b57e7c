"""Strength of two frames side by side: the same numbers as each frame's own, none where a frame has none."""

from __future__ import annotations

from dataclasses import replace

from platewright.study.compare_strength import strength_changes, strength_words
from strength_frames import solved


def test_rows_hold_the_frames_own_numbers() -> None:
    one = solved().strength
    assert one.crash_index is not None
    other = replace(one, crash_index=replace(one.crash_index, value=2 * one.crash_index.value))
    rows = {row.what: row for row in strength_changes(one, other)}
    assert rows["crash index"].difference == one.crash_index.value
    assert rows["first frequency"].first == one.modes[0].frequency_hz
    assert rows["first frequency"].difference == 0
    energies = [case.energy_j for case in one.cases if case.energy_j is not None]
    assert rows["energy until something fails, weakest hit"].first == min(energies)


def test_the_weakest_hit_is_named_with_what_fails_first() -> None:
    one = solved().strength
    weak = replace(one.cases[-1], case="tip of glass 9", energy_j=1e-6, first_failure="plate glass")
    words = {row.what: row for row in strength_words(one, replace(one, cases=(*one.cases, weak)))}
    assert words["weakest hit"].second == "tip of glass 9: plate glass"
    assert words["weakest hit"].first != words["weakest hit"].second


def test_a_frame_that_cannot_be_solved_has_no_numbers() -> None:
    one = solved().strength
    assert all(row.second is None and row.first is not None for row in strength_changes(one, None))
    assert all(row.second == "" for row in strength_words(one, None))
    assert list(strength_changes(None, None)) == []
