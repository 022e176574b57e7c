"""What a check says of a frame beside its findings."""

import json
import math

import pytest

from frames import assembled, checked, column, equipment, plate, two_plates
from platewright.assembly.affine import Draws
from platewright.study.check import check_assembly
from platewright.study.stack_ups import stack_ups

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
POST = (SCREW, "base", "standoff M3x20", "deck", BUTTON)


def test_findings_come_gravest_first():
    found = checked(plate("base", 2.2), column("p", SCREW, "base"), frame='frame_class = "5in"').findings
    ranks = [f.severity.rank for f in found]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) == 3


def test_status_is_that_of_the_gravest_finding():
    assert checked(*two_plates(*POST)).status == "ok"
    assert checked(plate("base"), column("p", SCREW, "base")).status == "fails"
    assert checked(plate("base", 2.2)).status == "ok"  # a warning


def test_masses_of_the_three_states():
    fc = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "fc.fc in grommet", "nut M3 insert"])
    pack = equipment("pack", {"b": "lipo_4s_850"}, on="deck", mass_g=100)
    mass = checked(*two_plates(*POST, at=[[25, 25]]), fc, pack).mass
    assert mass.bare.mass_g < mass.without_battery.mass_g
    assert mass.with_battery.mass_g == pytest.approx(mass.without_battery.mass_g + 100)
    for state in (mass.bare, mass.without_battery, mass.with_battery):
        assert state.low_g < state.mass_g < state.high_g
        assert [state.inertia_g_mm2[i][i] > 0 for i in range(3)] == [True] * 3


def test_shares_of_the_heaviest_add_up_to_all():
    heaviest = checked(*two_plates(*POST)).mass.heaviest
    assert sum(c.share_percent for c in heaviest) == pytest.approx(100)
    masses = [c.mass_g for c in heaviest]
    assert masses == sorted(masses, reverse=True)


def test_a_stack_up_lists_what_touches_with_its_screws():
    (up,) = checked(*two_plates(*POST)).stack_ups
    assert (up.owner, up.count, up.axis, up.fitted) == ("post", 4, "z", True)
    assert [(r.item, r.start_mm, r.end_mm) for r in up.rows] == [
        ("base", 0, 4),
        ("standoff M3x20", 4, 24),
        ("deck", 24, 26),
    ]
    assert [(s.item, s.ends_in) for s in up.screws] == [
        ("M3x8 socket 12.9", "standoff M3x20"),
        ("M3x5 button 10.9", "standoff M3x20"),
    ]


def test_a_stud_is_listed_beside_the_screws():
    (up,) = checked(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin")).stack_ups
    (stud,) = up.studs
    assert (stud.item, stud.length_mm, stud.ends_in) == ("standoff M3x20 studded", 6, "nut M3 thin")


def test_steps_say_keys_spanners_and_torque():
    steps = checked(*two_plates(SCREW, "base", "spacer M3x10", "deck", "nut M3 hex")).steps
    assert steps[0].tools == ("hex key 2.5", "spanner 5.5")
    assert steps[0].screws == ("4 x M3x20 socket 12.9",)  # 4 + 10 + 2 mm, a nut of 2.4 and a pitch
    assert 0 < steps[0].torque_nm < 3
    by_hand = checked(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin")).steps[1]
    assert by_hand.screws == ("4 x standoff M3x20 studded",)
    assert by_hand.tools == ("spanner 5.5",)
    assert by_hand.torque_nm is None


def test_levels_name_what_sets_them():
    levels = {v.place: v for v in checked(*two_plates(*POST)).levels}
    assert levels["base"].set_by == ()
    assert levels["deck"].set_by == ("post",)
    assert levels["deck"].rss_mm < levels["deck"].worst_mm


def test_the_chance_of_too_little_thread_is_that_of_the_normal_law():
    """A thread of 3 mm nominal against 3 mm, and against one standard deviation less."""
    made = assembled(
        plate("base"),
        column("p", "screw M3x5 socket 12.9", "base", "standoff M3x20"),
        checks="standoff_engagement_diameters = 1.0",
    )
    (up,) = stack_ups(made, Draws(seed=1))
    (row,) = up.screws
    # 3.0 mm nominal against 3.0: half of all kits fall short; 4000 draws scatter by 0.8 %
    assert row.chance_below_percent == pytest.approx(50, abs=3)
    sigma = math.hypot(0.24, 0.1) / 3
    looser = assembled(
        plate("base"),
        column("p", "screw M3x5 socket 12.9", "base", "standoff M3x20"),
        checks=f"standoff_engagement_diameters = {(3 - sigma) / 3}",
    )
    # one sigma: 15.9 % of a normal law (table)
    assert stack_ups(looser, Draws(seed=1))[0].screws[0].chance_below_percent == pytest.approx(15.9, abs=2)


def test_the_same_frame_gives_the_same_check():
    first, second = (checked(*two_plates(*POST)) for _ in range(2))
    assert first == second
    assert json.dumps([f.message for f in first.findings]) == json.dumps([f.message for f in second.findings])
    assert check_assembly(assembled(*two_plates(*POST))) == first


def test_lines_of_one_column_that_differ_have_stack_ups_of_their_own():
    plates = (plate("base", 4, (140, 60)), plate("deck", 2, (140, 60)))
    low = column("low", *POST, at=[-60, 20], mirror="y")
    high = column("high", SCREW, "base", "standoff M3x25", "deck", BUTTON, at=[60, 20], mirror="y")
    lid = column("lid", "screw M3x6 button 10.9", "deck", "nut M3 hex", at=[40, 0], mirror="x")
    found = [s for s in checked(*plates, low, high, lid).stack_ups if s.owner == "lid"]
    # the deck rises 5 mm in 120 mm: 26.5 + 5 / 6 mm in front, 5 / 1.5 less behind
    assert [s.count for s in found] == [1, 1]
    assert found[0].rows[0].start_mm - found[1].rows[0].start_mm == pytest.approx(5 * 80 / 120)
