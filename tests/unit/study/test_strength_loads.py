"""Load cases on a frame: forces go where records say, built-in ones are such records, images are struck once."""

from __future__ import annotations

import numpy as np
import pytest

from frames import PARTS
from platewright.foundation.errors import StructureError
from platewright.model.catalogue.power import Motor
from platewright.model.load_case import CaseForce, LoadCase
from platewright.study.strength_cases import built_in_cases
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import FrameModel, frame_model
from platewright.study.strength_symmetry import like_rotors
from strength_frames import quad

QUAD = quad()


def model() -> FrameModel:
    return frame_model(QUAD, TYPICAL, PARTS)


def resultant(*loads: CaseForce) -> np.ndarray:
    """Return force and moment about the origin of a case with a margin."""
    found = model()
    case = case_of(QUAD, found, LoadCase(id="push", loads=loads))
    return found.frame.rigid.T @ case.load


@pytest.mark.parametrize(
    ("force", "expected"),
    [
        (CaseForce(rotor=2, force_n=3, direction="up"), [0, 0, 3]),
        (CaseForce(column="bolt", force_n=8, direction="left"), [0, 8, 0]),
        (CaseForce(column="bolt.5", force_n=2, along=(3, 0, 4)), [1.2, 0, 1.6]),
        (CaseForce(equipment="battery", force_n=5, direction="forward"), [5, 0, 0]),
        (CaseForce(place="base", force_n=4, direction="down"), [0, 0, -4]),
        (CaseForce(place="base", at_mm=(10, -8), force_n=4, direction="right"), [0, -4, 0]),
    ],
)
def test_forces_have_the_resultant_that_is_given(force: CaseForce, expected: list[float]) -> None:
    assert resultant(force)[:3] == pytest.approx(expected, abs=1e-6)


def test_a_force_acts_at_the_place_it_names() -> None:
    moment = resultant(CaseForce(place="base", at_mm=(30, -8), force_n=1, direction="up"))[3:]
    assert moment == pytest.approx([-8, -30, 0], abs=1.5)  # the mean of nodes within 5 mm
    seat = model().rotor_points[1].position
    moment = resultant(CaseForce(rotor=1, force_n=1, direction="up"))[3:]
    assert moment == pytest.approx([seat[1], -seat[0], 0])


def test_a_level_blow_on_a_bell_acts_above_the_arm() -> None:
    """Half the height of the bell and half the arm above its mid-plane; from above it acts on the same axis."""
    seat = model().rotor_points[1].position
    motor = QUAD.catalogue.find("motor_2207")[0]
    assert isinstance(motor, Motor)
    height = float(model().bells[1][2] - seat[2])
    assert height == pytest.approx(motor.seat_height_mm / 2 + 5.0 / 2)
    level = resultant(CaseForce(rotor=1, at_bell=True, force_n=1, direction="forward"))
    assert level[3:] == pytest.approx([0, seat[2] + height, -seat[1]])
    down = [resultant(CaseForce(rotor=1, at_bell=b, force_n=1, direction="down")) for b in (True, False)]
    assert down[0] == pytest.approx(down[1])


def test_moments_act_as_they_are() -> None:
    assert resultant(CaseForce(rotor=1, moment_n_mm=(1, 2, 3))) == pytest.approx([0, 0, 0, 1, 2, 3], abs=1e-9)


def test_a_blow_has_the_size_of_one_newton_whatever_is_written() -> None:
    record = LoadCase(id="hit", answer="energy", loads=(CaseForce(rotor=1, force_n=250, direction="down"),))
    found = model()
    case = case_of(QUAD, found, record)
    assert np.linalg.norm((found.frame.rigid.T @ case.load)[:3]) == pytest.approx(1)
    assert 0 < case.effective_mass < found.mass


def test_a_blow_through_the_centre_of_gravity_meets_the_whole_mass() -> None:
    found = model()
    at = found.centres["battery.battery"]
    record = LoadCase(id="hit", answer="energy", loads=(CaseForce(equipment="battery", force_n=1, direction="down"),))
    struck = case_of(QUAD, found, record).effective_mass
    assert struck == pytest.approx(found.mass, rel=0.02)  # the battery sits a few millimetres off
    assert abs(float(at[0])) < 10


def test_forces_that_cancel_are_no_blow() -> None:
    loads = (CaseForce(rotor=1, force_n=1, direction="up"), CaseForce(rotor=2, force_n=1, direction="down"))
    case = LoadCase(id="twist", answer="energy", loads=(*loads, CaseForce(rotor=1, force_n=0.5, direction="up")))
    assert case_of(QUAD, model(), case).effective_mass > 0
    with pytest.raises(StructureError, match="load case 'couple': its forces cancel"):
        case_of(QUAD, model(), LoadCase(id="couple", answer="energy", loads=loads))


def test_what_carries_nothing_cannot_be_pushed() -> None:
    record = LoadCase(id="push", loads=(CaseForce(column="motor", force_n=1),))
    with pytest.raises(StructureError, match="load case 'push': nothing of the structure carries motor"):
        case_of(QUAD, model(), record)


def test_built_in_cases_are_records_that_a_file_could_hold() -> None:
    for record in built_in_cases(QUAD, model(), 8.0):
        assert LoadCase.model_validate(record.model_dump()) == record
        assert record.text


def test_every_unlike_rotor_is_struck_once() -> None:
    """The battery sits ahead of the middle and to the left: no rotor is the image of another."""
    assert like_rotors(model()) == ((1,), (2,), (3,), (4,))
    names = [c.id for c in built_in_cases(QUAD, model()) if c.id.startswith("tip_edgewise")]
    assert names == [f"tip_edgewise_{n}" for n in (1, 2, 3, 4)]


def test_mirror_images_are_struck_once() -> None:
    middle = quad(battery=(0.0, 0.0))
    found = frame_model(middle, TYPICAL, PARTS)
    assert like_rotors(found) == ((1, 2, 3, 4),)
    texts = [c.text for c in built_in_cases(middle, found) if c.id.startswith("tip_along")]
    assert texts == ["on motor 1, along the arm towards the middle; 2 and 3 and 4 as mirror images"]
