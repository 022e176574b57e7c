"""Bill of materials and tools."""

import math

from frames import assembled, column, equipment, part, place, plate, two_plates
from platewright.assembly.bill import bill_of_materials, tools_needed

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
STACK = (SCREW, "base", "standoff M3x20", "deck", BUTTON)


def lines(*pieces, **tables):
    return {row.item: row for row in bill_of_materials(assembled(*pieces, **tables))}


def test_every_screw_is_listed_with_its_length_and_where_it_goes():
    rows = lines(*two_plates(*STACK))
    assert {item: row.quantity for item, row in rows.items()} == {
        "base": 1,
        "deck": 1,
        "screw M3x8 socket 12.9": 4,
        "screw M3x5 button 10.9": 4,
        "standoff M3x20": 4,
    }
    assert rows["screw M3x8 socket 12.9"].where == ("post x 4",)
    assert rows["base"].note == "4 mm plate_woven_qi"


def test_spares_are_a_share_rounded_up_and_parts_have_none():
    rows = lines(*two_plates(*STACK), checks="spare_fraction = 0.3")
    assert rows["standoff M3x20"].spares == math.ceil(4 * 0.3)
    assert rows["base"].spares == 0


def test_provisions_are_not_bought():
    extra = column("extra", SCREW, "base", "nut M3 hex", at=[0, 0], mirror="", fitted=False)
    assert lines(*two_plates(*STACK), extra).keys() == lines(*two_plates(*STACK)).keys()


def test_a_studded_standoff_is_bought_as_one():
    rows = lines(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin"))
    assert rows["standoff M3x20 studded"].quantity == 4
    assert "nut M3 thin" in rows


def test_equipment_is_counted_per_rotor_and_per_copy():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
    tubes = equipment("tubes", {"a": "antenna_5g8_micro"}, on="arm", at_mm=[5, 5], mirror="y")
    by_record = {row.record: row for row in bill_of_materials(assembled(arm, motor, tubes))}
    assert by_record["motor_2207"].quantity == 4
    assert by_record["antenna_5g8_micro"].quantity == 2
    assert by_record["arm"].quantity == 4


def test_four_grommets_hold_a_board():
    board = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "fc.fc in grommet", "nut M3 insert"])
    assert lines(plate("base"), board)["grommet M3"].quantity == 4


def test_tools_are_the_keys_and_spanners_that_fit():
    found = {
        (t.name, t.size_mm)
        for t in tools_needed(assembled(*two_plates(SCREW, "base", "spacer M3x10", "deck", "nut M3 hex")))
    }
    assert found == {("hex key", 2.5), ("spanner", 5.5)}
    found = {
        (t.name, t.size_mm)
        for t in tools_needed(assembled(plate("base"), column("p", BUTTON, "base", "nut M3 press in base")))
    }
    assert found == {("hex key", 2)}  # a press nut is held by its plate
