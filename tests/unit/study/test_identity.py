"""One part or two: position never counts; laminate, thickness, direction of the sheet and faces do."""

from __future__ import annotations

import dataclasses
import math

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Circle, Outline, transform_outline
from platewright.geometry.shapes import rectangle_loop
from platewright.model.outline import Mark
from platewright.study.identity import PartIdentity, identity_hash, identity_of_text, identity_text, same_part

PLATE = PartIdentity(
    "plate_woven_qi", 2.0, 0.0, Outline(rectangle_loop(0, 0, 40, 10), (), (Circle(15, 2, 1.6), Circle(-12, -1, 1.1)))
)


def moved(turn_deg: float, flip: bool = False, **other: object) -> PartIdentity:
    motion = Isometry.from_turn(math.radians(turn_deg), 3.0, -7.0, flip)
    return dataclasses.replace(PLATE, outline=transform_outline(PLATE.outline, motion), **other)


def test_turned_with_its_grain_it_is_the_same_part():
    motion = same_part(PLATE, moved(30, grain=30.0))
    assert motion is not None
    assert not motion.flip


def test_turned_on_the_sheet_it_is_another_part():
    assert same_part(PLATE, moved(30)) is None


def test_turned_by_half_a_turn_the_grain_lies_as_before():
    assert same_part(PLATE, moved(180)) is not None


def test_turned_over_it_is_the_same_unless_a_face_is_marked_or_sunk():
    assert same_part(PLATE, moved(0, flip=True)) is not None
    mark = (Mark(text="A", at_mm=(0.0, 0.0), height_mm=5.0),)
    sinks = ((6.0, 90.0, True),)
    for extra in ({"marks": mark}, {"sinks": sinks}):
        assert same_part(dataclasses.replace(PLATE, **extra), moved(0, flip=True, **extra)) is None
        assert same_part(dataclasses.replace(PLATE, **extra), moved(0, **extra)) is not None
        assert same_part(PLATE, moved(0, **extra)) is None


def test_another_laminate_or_thickness_is_another_part():
    assert same_part(PLATE, moved(0, material="plate_ud_0_90")) is None
    assert same_part(PLATE, moved(0, thickness=2.5)) is None


def test_text_and_hash_hold_all_of_it():
    full = dataclasses.replace(
        PLATE, marks=(Mark(text="A", at_mm=(0.0, 0.0), height_mm=5.0),), sinks=((6.0, 90.0, True),)
    )
    assert identity_of_text(identity_text(full)) == full
    noisy = dataclasses.replace(full, thickness=2.0 + 1e-9)
    assert identity_hash(noisy) == identity_hash(full)
    others = {identity_hash(dataclasses.replace(full, **{n: v})) for n, v in {"thickness": 2.1, "grain": 5.0}.items()}
    assert len(others | {identity_hash(full)}) == 3
