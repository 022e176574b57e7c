"""Bodies of plates and hardware stand where the columns put them."""

import pytest

from frames import assembled, column, part, place, plate, two_plates
from platewright.assembly.bodies import Cylinder, Hexagon, Plate

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def bodies(*pieces):
    return {b.name: b for b in assembled(*pieces).bodies}


def reach(body):
    """Lowest and highest z of an upright body [mm]."""
    up, z = body.frame.n[2], body.frame.origin[2]
    ends = [z + up * (s.offset + h) for s in body.solids for h in (0.0, s.shape.height)]
    return min(ends), max(ends)


def test_plates_lie_between_their_faces():
    made = bodies(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON))
    assert reach(made["base"]) == pytest.approx((0, 4))
    assert reach(made["deck"]) == pytest.approx((24, 26))


def test_a_plate_turned_over_lies_between_the_same_faces():
    made = bodies(part("base", 4), place("base", "base", over=True))
    assert made["base"].frame.n[2] == -1
    assert reach(made["base"]) == pytest.approx((0, 4))


def test_a_screw_has_its_head_outside_and_its_tip_in_the_thread():
    made = bodies(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON))
    assert reach(made["post.1#1"]) == pytest.approx((-3, 8))  # a head of 3 mm under the base, M3x8
    assert reach(made["post.1#5"]) == pytest.approx((26 - 5, 26 + 1.65))
    assert reach(made["post.1#3"]) == pytest.approx((4, 24))


def test_a_countersunk_head_is_sunk():
    made = bodies(*two_plates(SCREW, "base", "standoff M3x20", "deck", "screw M3 countersunk 10.9"))
    assert reach(made["post.1#5"])[1] == pytest.approx(26)


def test_nuts_are_hexagons_and_standoffs_round_with_a_bore():
    made = bodies(*two_plates(SCREW, "base", "spacer M3x10", "deck", "nut M3 hex"))
    nut, spacer = made["post.1#5"].solids[0].shape, made["post.1#3"].solids[0].shape
    assert isinstance(nut, Hexagon)
    assert nut.across_flats == 5.5
    assert isinstance(spacer, Cylinder)
    assert spacer.bore == pytest.approx(1.6)


def test_a_stud_stands_out_of_its_standoff():
    up = bodies(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin"))["post.1#3"]
    assert reach(up) == pytest.approx((4, 24 + 6))
    down = bodies(*two_plates("nut M3 thin", "base", "standoff M3x20 studded", "deck", BUTTON))["post.1#3"]
    assert reach(down) == pytest.approx((4 - 6, 24))
    assert up.key != down.key  # not copies of one another


def test_standing_plates_and_sideways_hardware():
    cheeks = part("cheek", 2, (20, 20)) + place("cheek", "cheek", stands="xz", mirror="y", foot="base")
    nose = column(
        "nose", BUTTON, "cheek.right", "standoff M3x20", "cheek.left", BUTTON,
        at=[5, 7], mirror="", axis="y", foot="base",
    )  # fmt: skip
    made = bodies(plate("base", 4), cheeks, nose)
    standoff = made["nose#3"].frame
    assert standoff.origin == pytest.approx((5, -10, 4 + 7))
    assert standoff.n == pytest.approx((0, 1, 0))
    left = made["cheek.left"]
    solid = left.solids[0].shape
    assert isinstance(solid, Plate)
    # its own (x, y) stand at (x, z): the point (3, 4) at z = 4 + 4, between y = 10 and 12
    ys = sorted(left.frame.point(3, 4, c)[1] for c in (0, solid.height))
    assert ys == pytest.approx([10, 12])
    assert left.frame.point(3, 4, 0)[::2] == pytest.approx((3, 8))


def test_provisions_have_no_bodies():
    assert set(bodies(plate("base"), column("p", SCREW, "base", "nut M3 hex", fitted=False))) == {"base"}
