"""Room for cameras in a small frame whose heights and gaps can be added up by hand."""

from __future__ import annotations

import math

import pytest

from frames import assembled, column, equipment, part, place, plate
from platewright.assembly.assemble import Assembly
from platewright.fit.camera import CameraRoom, camera_rooms, in_the_way
from platewright.fit.headroom import headroom, largest_tilt
from platewright.fit.interference import prisms_of
from platewright.model.catalogue.electronics import Camera

BUTTON, SMALL = "screw M3 button 10.9", "screw M2 button 10.9"
DECK = plate("deck", 2, (110, 80))
POST = column("post", "screw M3 socket 12.9", "base", "standoff M3x25", "deck", BUTTON, at=[30, 35])


def frame(*more: str, height: float = 12.5, tilt: float = 0.0, posts: str = POST, deck: str = DECK) -> Assembly:
    """A base and a deck 25 mm apart, cheeks 20 mm apart that end at x = 60, a camera at x = 45."""
    cheek = part("cheek", 2, (30, 20)) + place("cheek", "cheek", at_mm=[45, 10], stands="xz", mirror="y", foot="base")
    tie = column(
        "tie",
        *("screw M3x6 button 10.9", "cheek.right", "standoff M3x20", "cheek.left", "screw M3x6 button 10.9"),
        at=[34, 5],
        mirror="",
        axis="y",
        foot="base",
        sets_level=["cheek"],
    )
    camera = equipment(
        "camera",
        {"camera": "camera_micro"},
        axis="y",
        at_mm=[45, height],
        foot="base",
        tilt_deg=tilt,
        stack=[SMALL, "cheek.right", "camera.camera", "cheek.left", SMALL],
    )
    return assembled(plate("base", 2, (110, 80)), deck, posts, cheek, tie, camera, *more)


def room_of(made: Assembly) -> CameraRoom:
    (room,) = camera_rooms(made, prisms_of(made))
    return room


def test_the_gap_is_between_the_near_faces_as_the_tie_sets_them() -> None:
    room = room_of(frame())
    assert set(room.plates) == {"cheek.left", "cheek.right"}
    assert room.gap == pytest.approx(20)


def test_the_lens_counts_from_the_foremost_plate_beside_it() -> None:
    made = frame()
    record = room_of(made).camera.record
    front = 45 + record.body_depth_mm / 2 + record.lens_protrusion_mm
    assert room_of(made).lens_behind == pytest.approx(60 - front)
    longer = frame(
        plate("nose", 2, (20, 20), at_mm=[58, 0]),
        column("n", BUTTON, "nose", "nut M3 hex", "base", at=[52, 0], mirror=""),
    )
    assert room_of(longer).foremost == "nose"
    assert room_of(longer).lens_behind == pytest.approx(68 - front)


def test_free_height_counts_from_plate_to_plate_and_about_the_axis_twice_the_lesser_side() -> None:
    made = frame(height=10)
    room = room_of(made)
    (flat,) = headroom(made, prisms_of(made), room, room.camera.record, [0.0])
    assert (flat.under, flat.over) == ("base", "deck")
    assert flat.free == pytest.approx(25)
    assert flat.play == pytest.approx(25 - 19)
    assert flat.play_about(room.z) == pytest.approx(20 - 19)


def test_a_tilted_camera_needs_more_height_until_it_stands_on_its_back() -> None:
    made = frame(height=10)
    room = room_of(made)
    tilts = [math.radians(a) for a in range(0, 61, 5)]
    rooms = headroom(made, prisms_of(made), room, room.camera.record, tilts)
    needed = [19 * math.cos(a) + 11 * math.sin(a) for a in tilts]
    assert [h.needed for h in rooms] == pytest.approx(needed)
    assert largest_tilt(rooms) == tilts[-1]
    steepest = largest_tilt(rooms, room.z)
    assert steepest is not None
    at_limit, beyond = (19 * math.cos(a) + 11 * math.sin(a) for a in (steepest, steepest + math.radians(5)))
    assert at_limit <= 20 < beyond


def test_a_bowed_deck_counts_where_it_comes_lowest_over_the_body() -> None:
    made = frame()
    room = room_of(made)
    (bowed,) = headroom(
        made,
        prisms_of(made),
        room,
        room.camera.record,
        [0.0],
        lambda name, xs: 27.0 - 0.1 * (xs - 45.0) if name == "deck" else 0 * xs,
    )
    assert bowed.free == pytest.approx(25.0 - 0.1 * room.camera.record.body_depth_mm / 2)


def test_without_a_deck_over_it_the_height_is_open() -> None:
    behind = column("post", "screw M3 socket 12.9", "base", "standoff M3x25", "deck", BUTTON, at=[-30, 35], mirror="y")
    made = frame(posts=behind, deck=plate("deck", 2, (60, 80), at_mm=[-25, 0]))
    room = room_of(made)
    (flat,) = headroom(made, prisms_of(made), room, room.camera.record, [0.0])
    assert (flat.under, flat.over, flat.free, flat.play) == ("base", "", math.inf, math.inf)
    assert flat.play_about(room.z) == pytest.approx(2 * 12.5 - 19)


def test_a_larger_class_meets_the_tie() -> None:
    made = frame()
    room = room_of(made)
    big = made.catalogue.get(Camera, "camera_standard")
    assert "deck" in in_the_way(made, prisms_of(made), room, big, 0.0)
    assert in_the_way(made, prisms_of(made), room, room.camera.record, 0.0) == ()
