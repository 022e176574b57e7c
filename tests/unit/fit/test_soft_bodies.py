"""Straps and leads as bodies, against lengths and areas by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frames import assembled, catalogue, column, equipment, part, place, plate
from platewright.assembly.assemble import Assembly
from platewright.fit.discs import BodyGap, Disc, body_gaps, discs_of, largest_propellers
from platewright.fit.interference import prisms_of
from platewright.fit.interior import Interior, interior_of
from platewright.fit.soft_bodies import wire_diameter
from platewright.geometry.loops import outline_area
from platewright.model.catalogue.power import Battery

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
POST = column("post", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[50, 35])
PLATES = plate("base", 2, (120, 90)), plate("deck", 2, (120, 90))
PACK = catalogue().get(Battery, "lipo_6s_1100")
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
ESC = equipment("b", {"esc": "esc_30_55A"}, stack=[SCREW, "arm", "spacer M3x10", "b.esc", "nut M3 hex"])
BLADES = equipment("p", {"p": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor")


def strapped(turn: float = 0.0, at: tuple[float, float] = (0.0, 0.0), **keys: object) -> Assembly:
    battery = equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 2], **keys)
    strap = equipment(
        "strap", {"s": "strap_20"}, on="deck", at_mm=list(at), turn_deg=turn, through=["deck"], spacing_mm=31, **keys
    )
    return assembled(*PLATES, POST, battery, strap)


def inside_of(made: Assembly) -> Interior:
    return interior_of(made, prisms_of(made))


def disc(made: Assembly, x: float, y: float, z: float, diameter: float = 100.0) -> Disc:
    return Disc(1, made.bodies[0], x, y, z, diameter, 1.0, 0.0, 0.0)


@pytest.mark.parametrize("face", ["top", "bottom"])
def test_a_strap_is_a_band_round_pack_and_plate(face: str) -> None:
    made = strapped(face=face)
    soft = inside_of(made).soft
    (prism,) = soft.prisms["strap.s"]
    low, high = prism.box
    assert (high - low)[0] == pytest.approx(20)  # as wide as the strap
    assert (high - low)[1] == pytest.approx(PACK.width_mm + 2 * 4)  # 2 mm thick, its end on it, on both sides
    assert (high - low)[2] == pytest.approx(2 + 2 + PACK.height_mm + 2 * 4)  # plate, pad, pack and the band twice
    assert (low[2] if face == "top" else high[2]) == pytest.approx(32 - 4 if face == "top" else 34 + 4)


def test_the_section_of_a_band_is_its_way_by_its_thickness() -> None:
    made = strapped()
    (body,) = (b for b in inside_of(made).soft.bodies if b.role == "strap")
    area = outline_area(body.solids[0].shape.outline)  # type: ignore[union-attr]
    hull = 2 * math.hypot((PACK.width_mm - 31) / 2, 4) + 31 + PACK.width_mm + 2 * PACK.height_mm
    assert area == pytest.approx(hull * 4 + math.pi * 4**2)


def test_a_turned_strap_goes_round_the_length_of_its_pack() -> None:
    low, high = inside_of(strapped(turn=90)).soft.prisms["strap.s"][0].box
    assert (high - low)[1] == pytest.approx(20)
    assert (high - low)[0] == pytest.approx(PACK.length_mm + 2 * 4)


def test_a_strap_without_a_pack_has_no_body() -> None:
    strap = equipment("strap", {"s": "strap_20"}, on="deck", at_mm=[0, 0], through=["deck"], spacing_mm=31)
    assert inside_of(assembled(*PLATES, POST, strap)).soft.bodies == ()


def test_a_disc_beside_a_strap_is_as_far_as_it_looks() -> None:
    made = strapped()
    z = 34 + 2 + PACK.height_mm / 2
    edge = PACK.width_mm / 2 + 4
    found = body_gaps(made, prisms_of(made), [disc(made, 0, edge + 50 + 3, z)], soft=inside_of(made).soft)
    (gap,) = (g for g in found if g.body.role == "strap")
    assert gap.gap == pytest.approx(3, abs=1e-6)


def test_wires_grow_with_their_gauge() -> None:
    sizes = [wire_diameter(catalogue(), awg) for awg in (12, 14, 20, 28)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[2] == pytest.approx(2.2 * 0.812, rel=1e-3)  # a solid 20 AWG conductor is 0.812 mm thick (ASTM B258)


def test_motor_leads_lie_on_their_arm_under_their_own_disc() -> None:
    made = assembled(ARMS, MOTOR, ESC, BLADES)
    soft, discs = inside_of(made).soft, discs_of(made)
    found = body_gaps(made, prisms_of(made), discs, soft=soft)
    leads = [g for g in found if g.body.role == "lead"]
    d = wire_diameter(made.catalogue, 20)
    face = 5.0
    assert len(leads) == 4
    assert leads[0].gap == pytest.approx(discs[0].z - discs[0].half_height() - face - d, abs=0.05)


def test_a_lead_limits_the_propeller_where_nothing_else_does() -> None:
    made = assembled(ARMS, MOTOR, ESC, BLADES)
    soft, prisms, discs = inside_of(made).soft, prisms_of(made), discs_of(made)
    gap = min(g.gap for g in body_gaps(made, prisms, discs, soft=soft) if g.body.role == "lead")
    near = largest_propellers(made, prisms, discs, 3.0, 2.0, soft, {"lead": gap - 0.1})
    assert {limit.role for limit in near} == {"lead"}
    # flap takes the 0.1 mm: half a millimetre for each inch of diameter
    assert near[0].diameter == pytest.approx(discs[0].diameter + 0.2 * 25.4, abs=0.01)


def test_moving_a_disc_away_never_brings_it_nearer_to_a_strap() -> None:
    made = strapped()
    soft, prisms = inside_of(made).soft, prisms_of(made)
    gaps: list[float] = []
    for away in np.linspace(0, 30, 7):
        rows: list[BodyGap] = body_gaps(made, prisms, [disc(made, 0, 75 + away, 50)], math.inf, soft)
        gaps += [g.gap for g in rows if g.body.role == "strap"]
    assert gaps == sorted(gaps)
    assert gaps[-1] > gaps[0]
