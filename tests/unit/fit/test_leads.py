"""Motor leads: their path, their pads and their length."""

import math

import pytest

from frames import assembled, equipment, part, place, plate
from platewright.fit.leads import motor_leads

SCREW, BOARD_SCREW = "screw M3 socket 12.9", "screw M3 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])


def boards(record, screw="M3", **keys):
    stack = [f"screw {screw} socket 12.9", "arm", "boards.b in grommet", f"nut {screw} insert"]
    return equipment("boards", {"b": record}, stack=stack, **keys)


def test_leads_run_along_the_arm_and_up_to_the_nearest_pads():
    leads = motor_leads(assembled(ARMS, MOTOR, boards("esc_30_55A")))
    assert [lead.motor for lead in leads] == [f"motor.{n}" for n in range(1, 5)]
    base, root, pad = leads[0].path
    assert root == pytest.approx((10, 10, 5))
    assert pad[:2] == pytest.approx((45 / 4, 20))  # a quarter of the length from the end of the long side
    along = math.hypot(90, 90) - 27.5 / 2  # from under the bell's edge
    assert math.dist(base, root) == pytest.approx(along, abs=1.0)
    assert leads[0].length == pytest.approx(math.dist(base, root) + math.dist(root, pad) + 15)
    assert len({round(lead.length, 6) for lead in leads}) == 1


def test_each_motor_has_pads_of_its_own():
    leads = motor_leads(assembled(ARMS, MOTOR, boards("aio_25_25A", "M2", turn_deg=45)))
    assert len({lead.path[-1] for lead in leads}) == 4


def test_without_a_board_with_pads_there_are_no_leads():
    assert motor_leads(assembled(ARMS, MOTOR)) == []
    assert motor_leads(assembled(ARMS, MOTOR, boards("fc_30"))) == []
    assert motor_leads(assembled(plate("base"))) == []


def test_longer_arms_want_longer_leads():
    lengths = []
    for size in (180, 200, 240):
        rotors = f"fore_aft_mm = {size}\nlateral_mm = {size}"
        lengths.append(motor_leads(assembled(ARMS, MOTOR, boards("esc_30_55A"), rotors=rotors))[0].length)
    assert lengths == sorted(lengths)
    assert lengths[1] - lengths[0] == pytest.approx(math.hypot(10, 10))
