"""Holes that equipment asks for: relief under motors, antenna tubes, motors above and below."""

import pytest

from platewright.assembly.assemble import skeleton
from platewright.assembly.holes import holes_of
from platewright.model.catalogue import load_catalogue
from platewright.model.design import Design

CATALOGUE = load_catalogue()


def design(*equipment, checks=None, rotors=None, places=()):
    return Design.model_validate(
        {
            "format": 1,
            "frame": {"name": "F"},
            "rotors": {"fore_aft_mm": 100, "lateral_mm": 90, **(rotors or {})},
            "part": [{"id": "plate", "kind": "base", "material": "plate_woven_qi", "thickness_mm": 3}],
            "place": [{"id": "plate", "part": "plate"}, *places],
            "equipment": list(equipment),
            "checks": checks or {},
        }
    )


def pierced(own):
    bones = skeleton(own, CATALOGUE)
    holes = holes_of(own, CATALOGUE, bones.instances, bones.lines, bones.axes, bones.levels)
    return holes["plate"].holes, bones.lines


def motor(record, **more):
    stack = ["screw M2 socket 12.9", "plate", "motor.motor"]
    return {"id": "motor", "use": {"motor": record}, "at": "rotors", "stack": stack, **more}


@pytest.mark.parametrize(
    ("record", "left", "diameter"),
    [
        ("motor_2207", 2.5, 6.0),  # 16 - 3.2 - 2 x 2.5 = 7.8: the usual 6 mm
        ("motor_1404", 2.0, 2.8),  # 9 - 2.2 - 2 x 2.0
        ("motor_1404", 2.5, 2.5),  # 1.8 would not pass the 1.5 mm shaft with 1 mm of play
    ],
)
def test_relief_hole_leaves_plate_beside_the_motor_screws(record, left, diameter):
    holes, _ = pierced(design(motor(record), checks={"motor_hole_to_edge_mm": left}))
    reliefs = [h for h in holes if h.purpose == "motor relief"]
    assert len(reliefs) == 4
    assert [h.diameter for h in reliefs] == pytest.approx([diameter] * 4)


def test_a_mirrored_antenna_has_a_hole_on_each_side():
    antenna = {"id": "tube", "use": {"antenna": "antenna_receiver_tube"}, "at_mm": [-20, 8], "mirror": "y"}
    holes, _ = pierced(design({**antenna, "on": "plate", "through": ["plate"]}))
    assert {(h.x, h.y) for h in holes} == {(-20.0, 8.0), (-20.0, -8.0)}


def test_motors_may_stand_only_on_the_rotors_above_or_below():
    own = design(motor("motor_1404", at="rotors_below"), rotors={"coaxial": True})
    _, lines = pierced(own)
    assert {line.rotor for line in lines} == {5, 6, 7, 8}
    assert lines[0].items[0].word.text == "motor.motor"
