"""Shadows of antennas and the sky over a receiver, on plates of a few words each."""

import numpy as np
import pytest

from frames import assembled, column, equipment, plate, two_plates
from platewright.assembly.bodies import Box, Cylinder, Frame3
from platewright.fit.antennas import antenna_places, shadow, skies
from platewright.fit.carbon import bare_boards, capacitor_cans
from platewright.fit.interference import prisms_of
from platewright.fit.solids import prism_of

SCREW, NUT = "screw M3 socket 12.9", "nut M3 hex"
POST = (SCREW, "base", "standoff M3x20", "deck", "screw M3 button 10.9")
BASE = (plate("base"), column("post", SCREW, "base", NUT))


def test_moving_an_antenna_away_never_raises_its_shadow() -> None:
    body = prism_of(Box(40, 30, 20), Frame3((0, 0, 0)))
    shares = [shadow("a", np.array([-x, 0.0, 10.0]), [body], ["pack"]).all_round for x in (25, 35, 50, 80, 150)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 2 * shares[2]


def test_a_body_in_front_hides_nothing_from_behind() -> None:
    body = prism_of(Cylinder(30, 60), Frame3((60, 0, -30)))
    found = shadow("a", np.zeros(3), [body], ["pack"])
    assert found.behind == 0.0
    assert found.all_round > 0.05
    assert found.owners == {"pack": pytest.approx(found.all_round)}


def test_mirrored_bodies_hide_alike() -> None:
    left, right = (prism_of(Box(20, 20, 20), Frame3((-40, y, -10))) for y in (30, -30))
    one, other = (shadow("a", np.zeros(3), [body], ["x"]) for body in (left, right))
    # a spiral is not its own mirror image: half a dozen of its 600 directions are at the edge
    assert one.all_round == pytest.approx(other.all_round, abs=0.01)


def test_a_tube_on_a_plate_is_hidden_from_below_only() -> None:
    frame = assembled(*BASE, equipment("a", {"a": "antenna_receiver_tube"}, on="base", through=["base"]))
    (place,) = antenna_places(frame, prisms_of(frame))
    found = place.shadow
    (height,) = {float(place.active.box.mean(axis=0)[2]) - 2}  # over the plate of 60 x 60 x 2 mm
    assert found.below == pytest.approx(4 * np.arcsin(900 / (900 + height**2)) / (2 * np.pi), abs=0.02)
    assert found.all_round == pytest.approx(found.below / 2, abs=0.01)
    assert set(found.owners) == {"base"}


def test_a_receiver_under_a_deck_sees_less_sky_than_one_upon_it() -> None:
    free = []
    for on in ("base", "deck"):
        frame = assembled(*two_plates(*POST), equipment("gps", {"gps": "gps_with_compass"}, on=on))
        free += [sky.free for sky in skies(frame, prisms_of(frame))]
    assert free[1] == 1.0
    assert free[0] < 0.5


@pytest.mark.parametrize("air", [0.0, 0.8])
def test_a_can_is_as_far_from_carbon_as_it_is_raised(air: float) -> None:
    frame = assembled(*BASE, equipment("c", {"c": "cap_4s"}, on="base", at_mm=[0, 0, air]))
    (found,) = capacitor_cans(frame, prisms_of(frame))
    assert (found.plate, found.gap) == ("base", pytest.approx(air, abs=1e-9))


def test_taped_boards_have_no_bare_pads() -> None:
    frame = assembled(*BASE, equipment("r", {"r": "receiver_small"}, on="base"))
    assert bare_boards(frame, prisms_of(frame)) == ()
