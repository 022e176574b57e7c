"""Columns and equipment become bolt lines, once per point."""

import math

import pytest

from frames import assembled, catalogue, column, equipment, part, place, plate

ARMS = part("arm", 5, (260, 20)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"])


def points(assembly, owner):
    return [(round(line.a, 6), round(line.b, 6)) for line in assembly.lines if line.owner == owner]


def test_a_motor_pattern_is_measured_between_opposite_holes():
    made = points(assembled(ARMS, MOTOR), "motor")[:4]  # 16 x 16
    centre = (sum(x for x, _ in made) / 4, sum(y for _, y in made) / 4)
    assert centre == pytest.approx((100, 100))
    assert math.dist(made[0], made[2]) == pytest.approx(16)
    assert math.dist(made[0], made[1]) == pytest.approx(16 / math.sqrt(2))


def test_a_board_pattern_is_measured_between_adjacent_holes():
    board = equipment(
        "fc",
        {"fc": "fc_30"},
        at_mm=[5, 0],
        stack=["screw M3 socket 12.9", "base", "fc.fc in grommet", "nut M3 insert"],
    )
    made = points(assembled(plate("base"), board), "fc")
    assert made == [(20.25, 15.25), (-10.25, 15.25), (-10.25, -15.25), (20.25, -15.25)]


def test_motor_holes_turn_with_their_arm():
    made = points(assembled(ARMS, MOTOR), "motor")
    for n, (x, y) in enumerate([(100, 100), (-100, 100), (-100, -100), (100, -100)]):
        bearing = math.atan2(made[4 * n][1] - y, made[4 * n][0] - x)
        assert math.cos(bearing - math.atan2(y, x)) == pytest.approx(1)  # the first hole points outwards


def test_a_column_of_an_arm_stands_once_on_every_arm_in_its_own_axes():
    made = assembled(ARMS, column("bolt", "screw M3 socket 12.9", "arm", "nut M3 hex", at=[30, 0], mirror="", of="arm"))
    side = round(10 + 30 / math.sqrt(2), 6)
    assert points(made, "bolt") == [(side, side), (-side, side), (-side, -side), (side, -side)]
    assert [line.items[1].instance.name for line in made.lines] == ["arm.1", "arm.2", "arm.3", "arm.4"]


def test_mirrored_points_that_coincide_are_one_line():
    made = assembled(
        plate("base"), column("mid", "screw M3 socket 12.9", "base", "nut M3 hex", at=[0, 20], mirror="xy")
    )
    assert [line.name for line in made.lines] == ["mid.1", "mid.2"]


def test_a_single_point_keeps_the_name_of_its_column():
    made = assembled(plate("base"), column("mid", "screw M3 socket 12.9", "base", "nut M3 hex", at=[0, 0]))
    assert [line.name for line in made.lines] == ["mid"]


def test_several_instances_mean_the_one_at_that_point():
    wings = part("wing", 2, (30, 30)) + place("wing", "wing", at_mm=[0, 22], mirror="y")
    post = column("post", "screw M3 socket 12.9", "base", "wing", "nut M3 hex", at=[5, 20], mirror="y")
    made = assembled(plate("base", 2, (60, 90)), wings, post)
    assert [line.items[2].instance.name for line in made.lines] == ["wing.left", "wing.right"]


def test_a_named_instance_is_meant_wherever_the_line_stands():
    cheeks = part("cheek", 2, (20, 20)) + place("cheek", "cheek", stands="xz", mirror="y", foot="base")
    nose = column(
        "nose", "screw M3 button 10.9", "cheek.right", "standoff M3x20", "cheek.left", "screw M3 button 10.9",
        at=[0, 0], mirror="", axis="y", foot="base",
    )  # fmt: skip
    made = assembled(plate("base"), cheeks, nose)
    assert [i.instance.name for i in made.lines[0].items if i.instance] == ["cheek.right", "cheek.left"]


def test_four_lines_of_a_board_share_its_thickness_and_differ_in_their_spacers():
    board = equipment(
        "fc",
        {"fc": "fc_30"},
        stack=["screw M3 socket 12.9", "base", "spacer M3x3", "fc.fc in grommet", "nut M3 insert"],
    )
    one, other = assembled(plate("base"), board).lines[:2]
    assert one.items[3].thickness.terms == other.items[3].thickness.terms
    assert one.items[2].thickness.terms.keys().isdisjoint(other.items[2].thickness.terms)
    grommet = catalogue().grommet("M3")
    assert one.items[3].thickness.nominal == grommet.compressed_height_mm


def test_screws_gaps_and_access_places_add_nothing():
    made = assembled(
        plate("base"), plate("cover"),
        column("post", "cover access 7", "screw M3 socket 12.9", "base", "nut M3 hex"),
        column("far", "screw M3 socket 12.9", "base", "standoff M3x20", "cover", "screw M3 button 10.9", at=[10, 25]),
    )  # fmt: skip
    line = next(x for x in made.lines if x.name == "post.1")
    assert [i.thickness.nominal for i in line.items[:2]] == [0, 0]
    assert [i.touches for i in line.items] == [False, False, True, True]


def test_a_rotor_that_hangs_below_reads_its_stack_from_the_other_end():
    made = assembled(ARMS, MOTOR, rotors="fore_aft_mm = 200\nlateral_mm = 200\nbelow = true")
    assert [i.label for i in made.lines[0].items] == ["motor.m", "arm.1", "screw M3 socket 12.9"]
