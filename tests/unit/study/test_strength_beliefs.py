"""Makers' beliefs about screws and braces: the same words come out otherwise where the numbers do."""

from __future__ import annotations

from functools import cache

import pytest

from frames import PARTS, arms_on_a_base, assembled, equipment, part, place
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


def made_up(thickness: float, width: float, bolts: str, base: float, brace: float = 0.0) -> tuple[Belief, ...]:
    """Arms of some thickness and width on a base of some thickness, by one or two screws, under a brace or none."""
    bolt = ("screw M3 socket 12.9", "base", "arm", *(["brace"] if brace else []), "nut M3 hex")
    pieces = [
        piece.replace("[[5, 0], [17, 0]]", bolts).replace(
            'id = "base"\nthickness_mm = 2', f'id = "base"\nthickness_mm = {base}'
        )
        for piece in arms_on_a_base(thickness, width, bolt=bolt, kind="arm")
    ]
    pieces.append(
        equipment("propeller", {"propeller": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor")
    )
    if brace:
        pieces += [part("brace", brace, (80, 80), kind="brace"), place("brace", "brace")]
    return belief_rows(assembled(*pieces, rotors='follow = "arm"'), PARTS)[1]


def test_one_screw_to_an_arm_is_bent_and_two_are_sheared() -> None:
    """One screw takes the whole moment of a tip by opening its joint; two take it as a couple of forces."""
    one, two = (belief(made_up(5.0, 12.0, bolts, 2.0), "shear hurts") for bolts in ("[[5, 0]]", "[[5, 0], [17, 0]]"))
    assert (one.verdict, two.verdict) == ("holds", "does not hold")
    assert one.band[0] > 1 > two.band[1]


def test_a_brace_protects_where_arms_give_way_and_stiffens_where_the_base_does() -> None:
    """Over slender arms on a stiff base a brace halves what screws carry and hardly moves the tips; over a thin base it
    does what the base cannot."""
    protects = belief(made_up(3.0, 6.0, "[[5, 0], [17, 0]]", 8.0, 2.0), "brace")
    stiffens = belief(made_up(5.0, 12.0, "[[5, 0], [17, 0]]", 1.0, 2.0), "brace")
    assert (protects.verdict, stiffens.verdict) == ("holds", "does not hold")
    assert protects.band[0] > 1 > stiffens.band[1]


def test_the_word_follows_the_band() -> None:
    assert verdict((1.01, 2.0)) == "holds"
    assert verdict((0.5, 0.99)) == "does not hold"
    assert verdict((0.99, 1.01)) == "open"
