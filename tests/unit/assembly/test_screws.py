"""How long a screw must be, and what thread it finds.

Least engagements and the trade's facts below are common practice, no source.
"""

import pytest

from frames import assembled, catalogue, column, equipment, findings, part, place, plate, screw, two_plates
from platewright.assembly.screws import End, length_tolerance, standoff_meetings

BUTTON = "screw M3 button 10.9"
ARMS = part("arm", 5, (260, 20)) + place("arm", "arm", to="rotors", root_mm=[10, 10])


def motor(word, record="motor_2207"):
    return equipment("motor", {"m": record}, at="rotors", stack=[word, "arm", "motor.m"])


def one_plate(*stack, thickness=2.0):
    return plate("base", thickness), column("post", *stack)


def test_a_screw_in_a_nut_is_the_shortest_that_stands_out_one_pitch():
    # 2 mm of plate and a nut of 2.15 to 2.4 mm: 4.275; one pitch of 0.5 more is 4.775; M3x5 leaves 0.725
    fit = screw(assembled(*one_plate("screw M3 socket 12.9", "base", "nut M3 hex")), "post.1")
    assert (fit.end, fit.length) == (End.NUT, 6)  # M3x5 would be 0.24 + 0.1 + 0.125 short of it in the worst case
    assert fit.reach.nominal == pytest.approx(4.275)
    assert fit.engagement.nominal == pytest.approx(1.725)
    assert fit.grip.nominal == pytest.approx(2)


def test_a_typed_length_is_kept_and_checked():
    stack = ("screw M3x5 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    fit = screw(assembled(*two_plates(*stack)), "post.1")
    assert (fit.typed, fit.length) == (True, 5)
    assert fit.engagement.nominal == pytest.approx(1)  # 5 less 4 mm of base
    (found,) = (f for f in findings("screw.engagement", *two_plates(*stack)) if f.severity == "fail")
    assert (found.value, found.limit, found.margin) == pytest.approx((1, 3, -2))


def test_less_than_the_least_thread_fails_at_nominal_and_warns_in_the_worst_case():
    enough = one_plate("screw M3x5 socket 12.9", "base", "standoff M3x20")
    assert findings("screw.engagement", *enough) == []  # 3 mm; 0.24 of the screw and 0.1 of the plate leave 2.66
    (found,) = findings("screw.engagement", *enough, checks="standoff_engagement_diameters = 1.01")
    assert (found.severity, found.value, found.limit) == ("fail", pytest.approx(3), pytest.approx(3.03))
    # 8 mm +-0.4 and 1 mm +-0.1 of plate under 12 mm +-0.35: 3 mm, but 2.15 in the worst case, less than 0.8 x 3
    thick = (
        plate("base", 8),
        plate("pad", 1),
        column("post", "screw M3x12 socket 12.9", "base", "pad", "standoff M3x20"),
    )
    (found,) = findings("screw.engagement", *thick)
    assert (found.severity, found.value, found.limit) == ("warn", pytest.approx(2.15), pytest.approx(2.4))


def test_a_screw_that_clamps_with_a_nut_goes_on_into_the_standoff():
    stack = (
        "screw M3 socket 12.9", "base", "nut M3 flanged-insert sold-as-5", "standoff M3x20",
        "deck", "screw M3 button 10.9",
    )  # fmt: skip
    fit = screw(assembled(*two_plates(*stack)), "post.1")
    assert (fit.end, fit.end_index) == (End.STANDOFF, 3)
    assert fit.path == (1, 2)
    assert fit.grip.nominal == pytest.approx(4)  # it clamps the base with the nut
    assert fit.reach.nominal == pytest.approx(4 + 4.45)
    assert fit.length == 12


def test_a_spacer_is_clear_and_a_passed_standoff_is_tapped():
    clear = screw(assembled(*one_plate("screw M3 socket 12.9", "base", "spacer M3x5", "nut M3 hex")), "post.1")
    assert clear.grip.nominal == pytest.approx(7)
    tapped = screw(
        assembled(*one_plate("screw M3 socket 12.9", "base", "standoff M3x15 passed", "nut M3 hex")), "post.1"
    )
    assert (tapped.end, tapped.end_index) == (End.NUT, 3)
    assert tapped.grip.nominal == pytest.approx(2)  # the first thread that pulls is the standoff's


def test_a_thread_under_a_plain_shank_asks_for_a_full_thread():
    # ISO 4762: thread 2 d + 12 = 18 mm (from memory); M3x20 past 17.3 mm has 2 mm of plain shank, M3x18 has none
    long = one_plate("screw M3x25 socket 12.9", "base", "standoff M3x15 passed", "nut M3 hex")
    assert screw(assembled(*long), "post.1").full_thread  # 7 mm of shank reach into the standoff
    assert len(findings("screw.full_thread", *long)) == 1
    clear = one_plate("screw M3x25 socket 12.9", "base", "spacer M3x10", "spacer M3x6", "nut M3 hex")
    assert not screw(assembled(*clear), "post.1").full_thread


def test_a_standoff_takes_a_screw_from_each_end_with_air_between_the_tips():
    stack = ("screw M3 socket 12.9", "base", "standoff M3x15", "deck", "screw M3 button 10.9")
    (meeting, *_) = standoff_meetings(assembled(*two_plates(*stack)).screws)
    assert meeting.apart.nominal == pytest.approx(15 - 4 - 3)  # M3x8 past 4 mm, M3x5 past 2 mm
    assert findings("screw.tips", *two_plates(*stack)) == []
    close = ("screw M3x12 socket 12.9", "base", "standoff M3x15", "deck", "screw M3x8 button 10.9")
    (found,) = findings("screw.tips", *two_plates(*close))
    assert (found.severity, found.value, found.limit) == ("warn", pytest.approx(-0.04), 1)  # 1.0 nominal
    (found,) = findings("screw.tips", *two_plates(*close), checks="tips_apart_mm = 1.5")
    assert (found.severity, found.value) == ("fail", pytest.approx(1))


def test_a_screw_bottoms_at_the_thread_depth_of_its_standoff():
    stack = ("screw M3x12 socket 12.9", "base", "standoff M3x25", "deck", "screw M3 button 10.9")
    (found,) = findings("screw.too_long", *two_plates(*stack))  # 8 mm in a thread 6 mm deep
    assert (found.severity, found.value, found.limit, found.margin) == ("fail", 8, 6, -2)


def test_a_press_nut_is_pressed_into_its_hole_and_screwed_to_its_far_side():
    made = assembled(*one_plate("screw M3 socket 12.9", "base", "nut M3 press in base"))
    fit = screw(made, "post.1")
    assert (fit.end, fit.length) == (End.PRESS_NUT, 5)  # 2 mm of plate and a flange of 1.5
    assert {h.diameter for h in made.parts["base"].holes.holes} == {catalogue().nut("M3", "press").plate_hole_d_mm}


def test_a_screw_that_only_leans_on_air_clamps_across_it():
    pieces = (
        plate("base"), plate("deck"),
        column("post", "screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9"),
        column("bad", "screw M3x30 socket 12.9", "base", "gap", "deck", "nut M3 hex", at=[0, 0], mirror=""),
    )  # fmt: skip
    fit = screw(assembled(*pieces), "bad")
    assert fit.crosses_gap
    assert fit.reach.nominal == pytest.approx(24 + 2.275)  # head under the base, nut on the deck
    assert [f.where for f in findings("screw.gap", *pieces)] == ["bad: M3x30 socket"]


def test_a_stud_is_a_screw_whose_head_is_the_body_of_its_standoff():
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20 studded", "deck", "nut M3 thin")
    made = assembled(*two_plates(*stack))
    assert [s.line.name for s in made.studs] == ["post.1", "post.2", "post.3", "post.4"]
    stud = made.studs[0]
    assert (stud.end, stud.direction) == (End.NUT, 1)
    assert stud.grip.nominal == pytest.approx(2)
    assert stud.engagement.nominal == pytest.approx(6 - 2 - 1.675)  # a stud of 6 mm, the deck, ISO 4035: 1.55 to 1.8
    assert screw(made, "post.1").limit == 6  # the tapped end is blind
    assert findings("screw.engagement", *two_plates(*stack)) == []


def test_a_stud_too_short_for_its_nut_fails():
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20 studded", "deck", "washer M3 large", "nut M3 insert")
    (found,) = findings("screw.engagement", *two_plates(*stack))
    assert (found.severity, found.where) == ("fail", "post: standoff M3x20 studded")


def test_a_stud_turned_down_reaches_into_what_lies_below():
    stack = ("nut M3 thin", "base", "standoff M3x20 studded", "deck", "screw M3 button 10.9")
    (stud, *_) = assembled(plate("base", 2), plate("deck"), column("post", *stack)).studs
    assert (stud.direction, stud.path, stud.end_index) == (-1, (1,), 0)
    assert stud.engagement.nominal == pytest.approx(6 - 2 - 1.675)


def test_a_stud_and_a_screw_meet_in_the_next_standoff():
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20 studded", "deck", "standoff M3x15", "top", BUTTON)
    made = assembled(plate("base", 4), plate("deck"), plate("top"), column("post", *stack))
    meetings = [m for m in standoff_meetings((*made.screws, *made.studs)) if m.line == "post.1"]
    assert [len(m.engagements) for m in meetings] == [2]
    assert meetings[0].apart.nominal == pytest.approx(15 - (6 - 2) - 3)


def test_length_tolerance_is_half_of_it15():
    """ISO 4759-1 product grade A, js15: half of IT15 of ISO 286-1 (from memory): 480, 580 and 700 um halved."""
    assert [length_tolerance(v) for v in (5, 8, 16)] == [0.24, 0.29, 0.35]
    assert length_tolerance(80) == length_tolerance(50)


# Facts of the trade: common practice, no source.


def test_a_five_mm_arm_takes_eight_mm_motor_screws_and_seven_leave_too_little_thread():
    fit = screw(assembled(ARMS, motor("screw M3 socket 12.9")), "motor.1.1")
    assert (fit.end, fit.length) == (End.BODY, 8)
    assert fit.engagement.nominal == pytest.approx(3)
    assert fit.required == pytest.approx(0.8 * 3)
    found = findings("screw.engagement", ARMS, motor("screw M3x7 socket 12.9"))
    assert [(f.severity, f.value, f.limit) for f in found] == [("fail", pytest.approx(2), pytest.approx(2.4))]


def test_seven_mm_is_a_length_of_the_trade_in_no_series():
    (found,) = findings("screw.length", ARMS, motor("screw M3x7 socket 12.9"))
    assert found.severity == "note"


def test_nine_mm_motor_screws_may_touch_the_windings_in_the_worst_case():
    (found,) = findings("screw.too_long", ARMS, motor("screw M3x9 socket 12.9"))
    assert (found.severity, found.limit) == ("warn", 4.5)  # 4 mm nominal, 4.54 with the worst arm and screw
    (found,) = findings("screw.too_long", ARMS, motor("screw M3x10 socket 12.9"))
    assert (found.severity, found.value) == ("fail", 5)


def test_a_nylon_insert_nut_by_iso_7040_asks_for_a_longer_screw_than_one_by_din_985():
    # DIN 985: 3.7 to 4.0 mm high; ISO 7040: 4.02 to 4.5 mm (both in the catalogue with their sources)
    low = screw(assembled(*one_plate("screw M3 socket 12.9", "base", "nut M3 insert", thickness=3)), "post.1")
    high = screw(assembled(*one_plate("screw M3 socket 12.9", "base", "nut M3 insert-high", thickness=3)), "post.1")
    assert low.reach.nominal == pytest.approx(3 + 3.85)
    assert high.reach.nominal == pytest.approx(3 + 4.26)
    assert (low.length, high.length) == (8, 10)
