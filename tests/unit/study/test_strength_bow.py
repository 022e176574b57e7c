"""A deck bowed over posts of two heights: forces balance, images agree, no bow without a difference, linear in it."""

from __future__ import annotations

from functools import cache

import pytest

from frames import PARTS, assembled, column, plate
from platewright.study.strength import frame_strength
from platewright.study.strength_bow import bow_rows
from platewright.study.strength_cases import built_in_cases
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import frame_model
from platewright.study.strength_results import BowRow
from platewright.study.strength_runs import solve_run

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


@cache
def bowed(outer: int = 25, inner: int = 20) -> tuple[BowRow, ...]:
    """Return the bows of a long deck on posts; one joint model stands for all."""
    assembly = assembled(
        plate("base", 4, (140, 60)),
        plate("deck", 2, (140, 60)),
        column("outer", SCREW, "base", f"standoff M3x{outer}", "deck", BUTTON, at=[60, 20], sets_level=["deck"]),
        column("inner", SCREW, "base", f"standoff M3x{inner}", "deck", BUTTON, at=[20, 20]),
    )
    model = frame_model(assembly, TYPICAL, PARTS)
    run = solve_run(assembly, model, [case_of(assembly, model, case) for case in built_in_cases(assembly, model)])
    return bow_rows(assembly, {"typical": run, "soft": run, "stiff": run})


def test_outer_screws_are_pressed_and_inner_ones_pulled_by_as_much() -> None:
    (bow,) = bowed()
    by_line = {row.line: row.bow_n for row in bow.screws}
    outer = [by_line[f"outer.{n}"] for n in range(1, 5)]
    inner = [by_line[f"inner.{n}"] for n in range(1, 5)]
    assert max(outer) < 0 < min(inner)
    assert sum(outer) + sum(inner) == pytest.approx(0, abs=1e-3 * sum(inner))
    assert outer == pytest.approx([outer[0]] * 4, rel=0.03)  # the mesh is not symmetric


def test_what_is_left_is_the_torques_clamping_less_what_pulls() -> None:
    for row in bowed()[0].screws:
        assert row.left_n == pytest.approx(row.clamp_n - row.bow_n)
        assert abs(row.gap_mm) == pytest.approx(5.0 if row.line.startswith("inner") else 0.0, abs=1e-9)


def test_forces_and_stress_are_in_proportion_to_the_difference() -> None:
    (large,), (small,) = bowed(), bowed(22, 20)
    one = {row.line: row.bow_n for row in small.screws}
    ratio = [row.bow_n / one[row.line] for row in large.screws]
    assert ratio == pytest.approx([2.5] * 8, rel=0.04)  # posts of 25 and 22 mm bend unlike
    assert large.used_percent > 1.5 * small.used_percent


def test_posts_of_one_height_bow_nothing() -> None:
    assert bowed(20, 20) == ()


def test_the_limits_say_what_time_does() -> None:
    strength = frame_strength(assembled(plate("base", 4), plate("deck", 2), post()), 8.0, PARTS).strength
    assert strength.bows == ()
    assert any("loses 5 to 20 %" in limit for limit in strength.limits)


def post() -> str:
    return column("post", SCREW, "base", "standoff M3x20", "deck", BUTTON)
