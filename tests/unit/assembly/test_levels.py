"""Heights follow from what the columns stack up."""

from itertools import pairwise
from pathlib import Path

import pytest

from frames import assembled, column, equipment, part, place, plate, two_plates
from platewright.app.load import load
from platewright.assembly.heights import LevelError

ROOT = Path(__file__).resolve().parents[3]

ARMS = part("arm", 5, (260, 20)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"])
SHORT = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
LONG = ("screw M3 socket 12.9", "base", "standoff M3x25", "deck", "screw M3 button 10.9")


def height(assembly, name, x=0.0, y=0.0):
    return assembly.levels.level[name].at(x, y).nominal


def test_neighbours_touch():
    made = assembled(*two_plates("screw M3 socket 12.9", "base", "standoff M3x20", "washer M3", "deck", "nut M3 hex"))
    assert height(made, "base") == 0  # nothing carries rotors: the first plate is the datum
    assert height(made, "deck") == pytest.approx(4 + 20 + 0.5)  # ISO 7089: an M3 washer is 0.5 mm
    spans = made.levels.spans["post.1"]
    for lower, upper in pairwise(spans):
        assert lower.end.nominal == pytest.approx(upper.start.nominal)


def test_a_screw_bears_on_the_face_it_points_into():
    spans = assembled(*two_plates(*SHORT)).levels.spans["post.1"]
    assert spans[0].start.nominal == 0  # under the base
    assert spans[4].start.nominal == pytest.approx(26)  # on the deck


def test_air_sets_no_height():
    made = assembled(
        plate("base", 4), plate("deck"),
        column("post", *SHORT),
        column("loose", "screw M3 socket 12.9", "base", "gap", "deck", "nut M3 hex", at=[0, 25], mirror=""),
    )  # fmt: skip
    assert made.levels.level["deck"].lines == ("post.1", "post.2", "post.3", "post.4")
    assert [g for g in made.levels.gaps if g.line == "loose"] == []
    assert made.levels.spans["loose"][2] is None


def test_an_access_place_touches_nothing():
    base, cover = plate("base", 4), plate("cover")
    post = column("post", "screw M3 socket 12.9", "cover", "standoff M3x20", "base", "screw M3 button 10.9")
    made = assembled(
        base, cover, post, column("a", "cover access 7", "screw M3 socket 12.9", "base", "nut M3 hex", at=[0, 0])
    )
    assert "a" not in made.levels.level["cover"].lines
    assert made.levels.spans["a"][0] is None
    assert made.levels.spans["a"][2].start.nominal == pytest.approx(0)  # on the base, not on the cover


def test_a_provision_holds_nothing():
    base, deck = plate("base", 4), plate("deck")
    idle = column("idle", "base", "standoff M3x30", "deck", "screw M3 button 10.9", at=[0, 25], mirror="", fitted=False)
    made = assembled(base, deck, column("post", *SHORT), idle)
    assert height(made, "deck") == pytest.approx(24)
    assert set(made.levels.spans["idle"]) == {None}


def test_zero_is_the_underside_of_the_lowest_plate_that_carries_rotors():
    base = plate("base", 3)
    clamp = column("clamp", "screw M3 socket 12.9", "base", "arm", "nut M3 hex", at=[20, 0], mirror="", of="arm")
    made = assembled(base, ARMS, clamp, MOTOR)
    assert height(made, "arm.1") == 0
    assert height(made, "base") == pytest.approx(-3)


def test_without_motors_the_arms_are_the_datum():
    base = plate("base", 3)
    made = assembled(
        base, ARMS, column("c", "screw M3 socket 12.9", "base", "arm", "nut M3 hex", at=[20, 0], mirror="", of="arm")
    )
    assert (height(made, "arm.1"), height(made, "base")) == pytest.approx((0, -3))


def test_of_two_plates_with_rotors_the_lower_is_the_datum():
    low, high = plate("low", 3, (260, 260)), plate("high", 3, (260, 260))
    post = column("post", "screw M3 socket 12.9", "low", "standoff M3x20", "high", "screw M3 button 10.9")
    upper = equipment("up", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "high", "up.m"])
    lower = equipment(
        "down", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "low", "down.m"], turn_deg=45
    )
    made = assembled(high, low, post, upper, lower)  # the upper one is written first
    assert (height(made, "low"), height(made, "high")) == pytest.approx((0, 23))


def test_a_plate_hangs_from_the_datum_where_nothing_lies_under_it():
    made = assembled(
        plate("base", 3),
        ARMS,
        MOTOR,
        column(
            "c", "screw M3 socket 12.9", "base", "spacer M3x5", "arm", "nut M3 hex", at=[20, 0], mirror="", of="arm"
        ),
    )
    assert height(made, "base") == pytest.approx(-8)


def test_columns_named_by_sets_level_carry_the_plane_and_the_others_a_gap():
    base, deck = plate("base", 4, (140, 60)), plate("deck", 2, (140, 60))
    short = column("short", *SHORT, at=[20, 20])
    long = column("long", *LONG, at=[60, 20], sets_level=["deck"])
    made = assembled(base, deck, short, long)
    assert made.levels.level["deck"].lines == ("long.1", "long.2", "long.3", "long.4")
    assert height(made, "deck") == pytest.approx(29)
    gaps = {g.line: g.gap.nominal for g in made.levels.gaps}
    assert [gaps[f"short.{n}"] for n in (1, 2, 3, 4)] == pytest.approx([5, 5, 5, 5])


def test_the_default_plane_rests_on_the_highest_columns_that_hold_the_centre_between_them():
    base, deck = plate("base", 4, (140, 60)), plate("deck", 2, (140, 60))
    made = assembled(base, deck, column("short", *SHORT, at=[20, 20]), column("long", *LONG, at=[60, 20]))
    assert set(made.levels.level["deck"].lines) == {"long.1", "long.2", "long.3", "long.4"}


def test_two_high_columns_at_one_end_tilt_the_plate_onto_the_low_ones():
    base, deck = plate("base", 4, (140, 60)), plate("deck", 2, (140, 60))
    made = assembled(
        base, deck,
        column("short", *SHORT, at=[[-60, 20], [0, 20]], mirror="y"),
        column("long", *LONG, at=[60, 20], mirror="y"),
    )  # fmt: skip
    # the centre (0, 0) lies between the rear and the front columns; the middle ones stay under the plane
    assert height(made, "deck", 60, 0) == pytest.approx(29)
    assert height(made, "deck", -60, 0) == pytest.approx(24)
    assert made.levels.level["deck"].slope == pytest.approx((5 / 120, 0))
    gaps = {g.line: g.gap.nominal for g in made.levels.gaps}
    assert gaps["short.3"] == pytest.approx(2.5)


def test_supports_in_one_line_hold_the_plate_level_on_the_highest():
    base, deck = plate("base", 4, (140, 60)), plate("deck", 2, (140, 60))
    made = assembled(base, deck, column("s", *SHORT, at=[20, 0], mirror=""), column("l", *LONG, at=[60, 0], mirror=""))
    assert (height(made, "deck", 20), height(made, "deck", 60)) == pytest.approx((29, 29))


def test_the_thickness_of_a_shared_plate_cancels_between_two_levels():
    made = assembled(*two_plates(*SHORT))
    deck, base = made.levels.level["deck"].at(0, 0), made.levels.level["base"].at(0, 0)
    # base 4 mm +-0.2 and four standoffs +-0.1, whose mean is +-0.1 in the worst case and 0.05 by root-sum-square
    assert (deck - base).worst == pytest.approx(0.3)
    assert (deck - base).rss == pytest.approx((0.2**2 + 0.05**2) ** 0.5)
    at_corner = made.levels.spans["post.1"][2].start - made.levels.level["base"].at(20, 20)
    assert at_corner.worst == pytest.approx(0.2)  # under the standoff only the base counts


def test_a_sideways_stack_is_centred_and_sets_the_standing_plates():
    cheeks = part("cheek", 2, (20, 20)) + place("cheek", "cheek", stands="xz", mirror="y", foot="base")
    nose = column(
        "nose", "screw M3 button 10.9", "cheek.right", "standoff M3x20", "cheek.left", "screw M3 button 10.9",
        at=[0, 5], mirror="", axis="y", foot="base", centre_mm=1,
    )  # fmt: skip
    made = assembled(plate("base"), cheeks, nose)
    assert (height(made, "cheek.right"), height(made, "cheek.left")) == pytest.approx((1 - 12, 1 + 10))
    right, left = (made.levels.level[f"cheek.{s}"].at(0, 0) for s in ("right", "left"))
    assert (left - right).worst == pytest.approx(0.1 + 0.1)  # one cheek and the standoff; the centring cancels


def test_a_standing_plate_without_a_column_stands_at_its_offset():
    cheeks = part("cheek", 2, (20, 20)) + place("cheek", "cheek", stands="xz", mirror="y", foot="base", offset_mm=9)
    made = assembled(plate("base"), cheeks)
    assert (height(made, "cheek.left"), height(made, "cheek.right")) == (8, -10)


def test_a_place_that_no_column_holds_is_named():
    with pytest.raises(LevelError, match="held by no fitted column") as caught:
        assembled(plate("base"), plate("deck"))
    assert caught.value.place == "deck"


def test_a_stack_through_no_place_is_named():
    with pytest.raises(LevelError, match="goes through no place") as caught:
        assembled(plate("base"), column("post", "screw M3 socket 12.9", "spacer M3x5", "nut M3 hex"))
    assert caught.value.place == "post"


def test_bowed_plate_is_built_through_its_first_and_last_columns():
    """A deck held 2 mm higher in front lies, as built, on the line from its rear to its front columns."""
    loaded = load(ROOT / "examples" / "bobbin_tall.toml")
    levels = loaded.assembly.levels
    flat, built = levels.level["deck"], levels.built["deck"]
    xs = [x for x, _ in built.points]
    assert built.at(max(xs), 0.0).nominal - flat.at(max(xs), 0.0).nominal == pytest.approx(2.0)
    assert built.at(min(xs), 0.0).nominal == pytest.approx(flat.at(min(xs), 0.0).nominal)
    deck = next(b for b in loaded.assembly.bodies if b.name == "deck")
    assert deck.frame.n[0] == pytest.approx(-2.0 / (max(xs) - min(xs)), rel=0.01)
