"""Where a screw points, and where it ends, by the words of its stack alone."""

import pytest

from frames import assembled, column, equipment, plate
from platewright.assembly.heads import screw_direction
from platewright.assembly.walks import End, stud_direction, walk

SCREW = "screw M3 socket 12.9"
BUTTON = "screw M3 button 10.9"


def items(*stack):
    """Items of one line that goes through some of three plates, whatever it says."""
    pieces = [plate(name) for name in ("a", "b", "c")]
    pieces += [column("hold", "a", "spacer M3x5", "b", "spacer M3x5", "c", at=[25, 25])]
    camera = equipment("cam", {"cam": "camera_micro"}, axis="y", at_mm=[0, 10])
    made = assembled(*pieces, camera, column("post", *stack, at=[0, 0], mirror="", fitted=False))
    return next(line for line in made.lines if line.name == "post").items


@pytest.mark.parametrize(
    ("position", "stack", "points"),
    [
        (0, (SCREW, "a", "nut M3 hex"), 1),  # at the lower end: inward
        (2, ("nut M3 hex", "a", SCREW), -1),  # at the upper end: inward
        (1, ("a access 7", SCREW, "b", "nut M3 hex"), 1),  # beside an access place: away from it
        (2, ("nut M3 hex", "a", SCREW, "b access 7"), -1),
        (2, ("a", "gap", SCREW, "b", "nut M3 hex"), 1),  # beside a gap: away from it
        (2, ("nut M3 hex", "a", SCREW, "gap", "b"), -1),
        (1, ("a", SCREW, "b", "nut M3 hex"), 0),  # its head between two things that touch
        (0, (SCREW, "a access 7", "b", "nut M3 hex"), 1),  # an end goes before all
        (3, ("nut M3 hex", "b", "a access 7", SCREW), -1),
        (1, ("a access 7", SCREW, "b access 7"), 0),  # open on both sides says nothing
    ],
)
def test_direction_of_a_screw(position, stack, points):
    assert screw_direction(items(*stack), position) == points


@pytest.mark.parametrize(
    ("stack", "end", "at"),
    [
        ((SCREW, "a", "nut M3 hex"), End.NUT, 2),
        ((SCREW, "a", "nut M3 thin", "b", "nut M3 hex"), End.NUT, 4),  # past the last nut
        ((SCREW, "a", "standoff M3x20", "b", BUTTON), End.STANDOFF, 2),
        ((SCREW, "a", "nut M3 hex", "standoff M3x20", "b", BUTTON), End.STANDOFF, 3),  # clamps, and goes on
        ((SCREW, "a", "spacer M3x5", "b", "nut M3 hex"), End.NUT, 4),  # a spacer is clear
        ((SCREW, "a", "standoff M3x20 passed", "b", "nut M3 hex"), End.NUT, 4),
        ((SCREW, "a", "nut M3 press in a"), End.PRESS_NUT, 2),
        ((SCREW, "a", "cam.cam", "b", BUTTON), End.BODY, 2),
        ((SCREW, "a", "b"), End.NOTHING, None),
        ((SCREW, "a", "b access 7", "nut M3 hex"), End.NUT, 3),
    ],
)
def test_a_screw_ends_in_the_first_thread_that_stops_it_else_past_the_last_nut(stack, end, at):
    path, index, found, crosses = walk(items(*stack), 0, 1)
    assert (found, index) == (end, at)
    assert not crosses
    assert index not in path


def test_the_path_names_what_is_passed_head_first():
    stack = items("nut M3 hex", "a", "spacer M3x5", "b access 7", "c", SCREW)
    assert walk(stack, 5, -1)[0] == (4, 2, 1)


def test_clamping_across_air_is_seen():
    stack = items(SCREW, "a", "gap", "b", "nut M3 hex")
    assert walk(stack, 0, 1) == ((1, 3), 4, End.NUT, True)
    assert walk(items(SCREW, "a", "gap", "b", "standoff M3x20", "c", BUTTON), 0, 1)[1:] == (4, End.STANDOFF, True)


def test_two_screws_that_face_each_other_across_air_keep_their_own_nuts():
    stack = items(SCREW, "a", "nut M3 hex", "gap", "nut M3 hex", "b", BUTTON)
    assert walk(stack, 0, 1) == ((1,), 2, End.NUT, False)
    assert walk(stack, 6, -1) == ((5,), 4, End.NUT, False)


def test_a_screw_stops_at_the_next_screw():
    assert walk(items(SCREW, "a", BUTTON), 0, 1)[1:] == (None, End.NOTHING, False)


@pytest.mark.parametrize(
    ("stack", "points"),
    [
        ((SCREW, "a", "standoff M3x20 studded", "b", "nut M3 hex"), 1),  # away from the screw that enters it
        (("nut M3 hex", "a", "standoff M3x20 studded", "b", BUTTON), -1),
        (("a", "standoff M3x20 studded", "b", "nut M3 hex"), 1),  # along the axis where none does
        ((SCREW, "a", "standoff M3x20 studded", "b", BUTTON), 1),  # and where two would
    ],
)
def test_direction_of_a_stud(stack, points):
    line = items(*stack)
    assert stud_direction(line, next(n for n, i in enumerate(line) if i.word.studded)) == points


def test_studded_standoffs_follow_one_another():
    line = items(SCREW, "a", "standoff M3x20 studded", "b", "standoff M3x15 studded", "c", "nut M3 hex")
    assert [stud_direction(line, n) for n in (2, 4)] == [1, 1]
    assert walk(line, 0, 1)[1:3] == (2, End.STANDOFF)
    assert walk(line, 2, 1)[:3] == ((3,), 4, End.STANDOFF)
    assert walk(line, 4, 1)[:3] == ((5,), 6, End.NUT)
    down = items("nut M3 hex", "a", "standoff M3x20 studded", "b", "standoff M3x15 studded", "c", BUTTON)
    assert [stud_direction(down, n) for n in (2, 4)] == [-1, -1]


def test_no_screw_enters_a_standoff_from_the_side_of_its_stud():
    line = items(SCREW, "a", "standoff M3x20 studded", "b", BUTTON)
    assert walk(line, 4, -1)[1:3] == (None, End.NOTHING)
