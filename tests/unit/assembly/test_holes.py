"""Holes of a part: the union of what is asked for at all its places."""

import math

import pytest

from frames import assembled, catalogue, column, equipment, findings, part, place, plate, two_plates
from platewright.assembly.holes import idle_holes

NUT = ("screw M3 socket 12.9", "base", "nut M3 hex")


def holes(assembly, name):
    return {(h.x, h.y, h.diameter) for h in assembly.parts[name].holes.holes}


def test_the_hole_class_is_that_of_iso_273():
    """ISO 273, M3: fine 3.2, medium 3.4, coarse 3.6; M2 fine 2.2 (read)."""
    for hole, diameter in (("fine", 3.2), ("medium", 3.4), ("coarse", 3.6)):
        made = assembled(plate("base"), column("post", *NUT, at=[10, 5], mirror="", hole=hole))
        assert holes(made, "base") == {(10, 5, diameter)}
    small = column("post", "screw M2 socket 12.9", "base", "nut M2 hex", at=[10, 5], mirror="")
    assert holes(assembled(plate("base"), small), "base") == {(10, 5, 2.2)}


def test_fine_is_the_default():
    assert {h[2] for h in holes(assembled(plate("base"), column("post", *NUT)), "base")} == {3.2}


def test_a_column_pierces_every_plate_it_names():
    made = assembled(*two_plates("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9"))
    assert holes(made, "base") == holes(made, "deck") == {(x, y, 3.2) for x in (20, -20) for y in (20, -20)}


def test_an_access_place_gets_a_hole_of_its_own_size():
    post = column("a", "deck access 7.5", "screw M3 socket 12.9", "base", "nut M3 hex", at=[0, 0], mirror="")
    held = two_plates("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    made = assembled(*held, post)
    assert (0, 0, 7.5) in holes(made, "deck")
    assert (0, 0, 3.2) in holes(made, "base")


def test_places_of_one_part_ask_for_the_union_in_its_own_axes():
    wings = (
        part("wing", 2, (40, 40))
        + place("left", "wing", at_mm=[0, 30])
        + place("right", "wing", at_mm=[0, -30], turn_deg=180)
    )
    made = assembled(
        plate("base", 2, (100, 120)), wings,
        column("a", "screw M3 socket 12.9", "base", "left", "nut M3 hex", at=[12, 33], mirror=""),
        column("b", "screw M3 socket 12.9", "base", "right", "nut M3 hex", at=[8, -25], mirror=""),
    )  # fmt: skip
    assert holes(made, "wing") == {(12, 3, 3.2), (-8, -5, 3.2)}
    quantity = made.parts["wing"].quantity
    assert quantity == 2


def test_holes_within_a_hundredth_are_one_and_others_that_overlap_are_near_misses():
    one = column("one", *NUT, at=[10, 0], mirror="")
    same = assembled(plate("base"), one, column("two", *NUT, at=[10.009, 0], mirror=""))
    (hole,) = same.parts["base"].holes.holes
    assert [r.source for r in hole.requests] == ["one", "two"]
    assert same.parts["base"].holes.near_misses == ()
    apart = (plate("base"), one, column("two", *NUT, at=[10.02, 0], mirror=""))
    (miss,) = assembled(*apart).parts["base"].holes.near_misses
    assert miss.distance == pytest.approx(0.02)
    (found,) = findings("hole.near_miss", *apart)
    assert (found.severity, found.where, found.value) == ("warn", "part base", pytest.approx(0.02))


def test_holes_of_two_sizes_about_one_centre_are_a_near_miss():
    both = (
        plate("base"),
        column("one", *NUT, at=[10, 0], mirror=""),
        column("two", *NUT, at=[10, 0], mirror="", hole="coarse"),
    )
    (found,) = findings("hole.near_miss", *both)
    assert "share a centre and differ in size" in found.message


def test_a_hole_that_nothing_uses_at_a_place_is_idle_there():
    wings = part("wing", 2, (40, 40)) + place("left", "wing", at_mm=[0, 30]) + place("right", "wing", at_mm=[0, -30])
    pieces = (
        plate("base", 2, (100, 120)), wings,
        column("both", "screw M3 socket 12.9", "base", "left", "nut M3 hex", at=[0, 30], mirror=""),
        column("other", "screw M3 socket 12.9", "base", "right", "nut M3 hex", at=[0, -30], mirror=""),
        column("one", "screw M3 socket 12.9", "base", "left", "nut M3 hex", at=[12, 33], mirror=""),
    )  # fmt: skip
    own = assembled(*pieces).parts["wing"].holes
    assert idle_holes(own, "left") == ()
    assert [(h.x, h.y) for h in idle_holes(own, "right")] == [(12, 3)]
    (found,) = findings("hole.idle", *pieces)
    assert (found.severity, found.where, found.value) == ("note", "right", 1)
    # 3.2 mm hole through 2 mm of 1.55 g/cm3: pi 1.6^2 x 2 x 1.55 / 1000 = 0.025 g
    assert "0.02 g" in found.message or "0.03 g" in found.message


def test_a_provision_asks_for_holes_and_nothing_else():
    extra = column("extra", *NUT, at=[0, 0], mirror="", fitted=False)
    with_it, without = (
        assembled(plate("base"), column("post", *NUT), extra),
        assembled(plate("base"), column("post", *NUT)),
    )
    assert holes(with_it, "base") - holes(without, "base") == {(0, 0, 3.2)}
    assert [s.name for s in with_it.screws] == [s.name for s in without.screws]
    assert [b.name for b in with_it.bodies] == [b.name for b in without.bodies]
    assert [(h.x, h.y) for h in idle_holes(with_it.parts["base"].holes, "base")] == [(0, 0)]


def test_a_motor_gets_its_screw_holes_and_a_relief_for_its_shaft():
    arm = part("arm", 5, (260, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"])
    found = assembled(arm, motor).parts["arm"].holes.holes
    reach = math.hypot(90, 90)
    assert sorted(h.purpose for h in found) == ["M3 motor"] * 4 + ["motor relief"]
    relief = next(h for h in found if h.purpose == "motor relief")
    assert (relief.x, relief.y) == pytest.approx((reach, 0))
    assert {round(math.dist((h.x, h.y), (relief.x, relief.y)), 6) for h in found} == {0, 8}


def test_mirrored_antennas_get_a_hole_each_in_the_copy_of_that_side():
    wings = part("wing", 2, (40, 20)) + place("wing", "wing", at_mm=[0, 40], mirror="y")
    tubes = equipment("tube", {"a": "antenna_5g8_threaded"}, on="wing", at_mm=[12, 43], mirror="y", through=["wing"])
    hold = column("hold", "screw M3 socket 12.9", "base", "wing", "nut M3 hex", at=[0, 40], mirror="y")
    made = assembled(plate("base", 2, (60, 100)), wings, tubes, hold)
    found = [h for h in made.parts["wing"].holes.holes if h.purpose == "antenna"]
    assert [(h.x, h.y) for h in found] == [(12, 3)]  # mirrored, the wing is turned over: the same hole
    assert {r.instance for r in found[0].requests} == {"wing.left", "wing.right"}
    assert found[0].diameter == catalogue().find("antenna_5g8_threaded")[0].panel_hole_d_mm


def test_a_strap_gets_two_slots_across_it_in_the_parts_own_axes():
    strap = equipment("strap", {"s": "strap_20"}, on="deck", at_mm=[5, 0], through=["deck"], spacing_mm=30)
    deck = part("deck", 2, (60, 60)) + place("deck", "deck", turn_deg=90)
    hold = column("post", "screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    slots = assembled(plate("base", 4), deck, hold, strap).parts["deck"].holes.slots
    # frame (5, +-15) is (+-15, -5) in a deck turned by a quarter; the slots run along the strap's x, the deck's -y
    assert {(round(s.x, 6), round(s.y, 6)) for s in slots} == {(15, -5), (-15, -5)}
    assert {round(abs(math.sin(s.turn)), 9) for s in slots} == {1}
    record = catalogue().strap("strap_20")
    assert record.slot_length_range_mm[0] < slots[0].length < record.slot_length_range_mm[1]


def test_a_countersink_opens_on_the_face_its_head_lies_on():
    stack = ("screw M3 countersunk 10.9", "base", "standoff M3x20", "deck", "screw M3 countersunk 10.9")
    made = assembled(*two_plates(*stack))
    (under,) = {c for h in made.parts["base"].holes.holes for c in h.countersinks}
    (over,) = {c for h in made.parts["deck"].holes.holes for c in h.countersinks}
    assert (under.on_upper_face, over.on_upper_face) == (False, True)
    assert (over.diameter, over.angle_deg) == (6, 90)  # DIN 7991


def test_a_turned_over_plate_is_countersunk_on_its_own_other_face():
    deck = part("deck") + place("deck", "deck", over=True)
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 countersunk 10.9")
    made = assembled(plate("base"), deck, column("post", *stack))
    assert {c.on_upper_face for h in made.parts["deck"].holes.holes for c in h.countersinks} == {False}


def test_a_sideways_line_may_count_its_height_from_another_place_than_the_plate_it_pierces():
    cheeks = part("cheek", 2, (40, 60)) + place("cheek", "cheek", stands="xz", mirror="y", foot="base")
    held = two_plates("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    stack = ("screw M3 button 10.9", "cheek.right", "standoff M3x20", "cheek.left", "screw M3 button 10.9")
    low = assembled(*held, cheeks, column("nose", *stack, at=[5, 27], mirror="", axis="y", foot="base"))
    high = assembled(*held, cheeks, column("nose", *stack, at=[5, 5], mirror="", axis="y", foot="deck"))
    # the top of the deck lies 20 + 2 mm above the top of the base
    assert holes(low, "cheek") == holes(high, "cheek") == {(5, 27, 3.2)}
