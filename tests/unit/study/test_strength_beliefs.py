"""Makers' beliefs about screws and braces: the same words come out otherwise where the numbers do."""

from __future__ import annotations

from functools import cache

import pytest

from frames import arms_on_a_base, assembled, equipment, part, place
from platewright.study.belief_results import Belief, ScrewChoice, verdict
from platewright.study.strength_beliefs import MATERIALS, belief_rows


@cache
def tried(
    size: str, nut: str, thickness: float, brace: float = 0.0
) -> tuple[tuple[ScrewChoice, ...], tuple[Belief, ...]]:
    """A quad whose arms are clamped by two screws of a size; with a plate under them that counts as a brace."""
    bolt = (f"screw {size} socket 12.9", *(["brace"] if brace else []), "base", "arm", f"nut {size} {nut}")
    pieces = [
        *arms_on_a_base(thickness, bolt=bolt, kind="arm"),
        equipment("propeller", {"propeller": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor"),
    ]
    if brace:
        pieces += [part("brace", brace, (80, 80), kind="brace"), place("brace", "brace")]
    return belief_rows(assembled(*pieces, rotors='follow = "arm"'), {})


def belief(found: tuple[Belief, ...], word: str) -> Belief:
    return next(b for b in found if word in b.belief)


def test_light_screws_that_outlast_a_thin_arm_refute_that_steel_is_needed() -> None:
    choices, beliefs = tried("M3", "hex", 3.0)
    assert [c.material for c in choices] == list(MATERIALS)
    titanium = next(c for c in choices if c.material == "titanium-5")
    assert titanium.band[0] > 1
    assert titanium.breaks_first == "no"
    assert belief(beliefs, "12.9").verdict == "does not hold"


def test_thin_screws_in_a_thick_arm_bear_it_out() -> None:
    """The same frame with M2 screws and arms of 10 mm: light screws break before anything else does."""
    choices, beliefs = tried("M2", "hex", 10.0)
    light = [c for c in choices if c.material in ("titanium-5", "aluminium-7075")]
    assert all(c.band[1] < 1 and c.breaks_first == "yes" for c in light)
    found = belief(beliefs, "12.9")
    assert found.verdict.startswith("holds")
    assert found.band[0] > found.limit


def test_stronger_screws_break_later_in_proportion_to_strength_where_they_are_alike() -> None:
    """12.9 against 10.9: 1220 and 1040 MPa, shear by the same share: the same loads break them so much later."""
    choices, _ = tried("M3", "hex", 3.0)
    rows = {c.material: c for c in choices}
    assert rows["12.9"].times_later / rows["10.9"].times_later == pytest.approx(1220 / 1040, rel=0.01)


def test_bending_and_shear_add_to_all_of_a_screws_use() -> None:
    for size, thickness in (("M3", 3.0), ("M2", 10.0)):
        found = belief(tried(size, "hex", thickness)[1], "shear hurts")
        assert found.verdict == verdict(found.band, found.limit)
        assert f"{100 * found.value / (1 + found.value):.0f} % of its use is bending" in found.words


def test_a_brace_is_judged_with_and_without_it() -> None:
    assert not any("brace" in b.belief for b in tried("M3", "hex", 3.0)[1])
    found = belief(tried("M3", "hex", 3.0, 2.0)[1], "brace")
    assert found.band[0] <= found.value <= found.band[1]
    assert found.verdict in ("holds", "does not hold", "open")
    assert "without braces arm screws carry" in found.words


def test_the_word_follows_the_band() -> None:
    assert verdict((1.01, 2.0)) == "holds"
    assert verdict((0.5, 0.99)) == "does not hold"
    assert verdict((0.99, 1.01)) == "open"
