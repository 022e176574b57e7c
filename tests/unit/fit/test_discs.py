"""Discs against bodies and one another: rotors above, below and staggered, and what limits a propeller."""

import math
from dataclasses import replace

import pytest

from frames import assembled, catalogue, column, equipment, findings, part, place
from platewright.fit.discs import DiscGap, body_gaps, disc_gaps, discs_of, largest_propellers, propeller_sizes
from platewright.fit.interference import prisms_of

SCREW = "screw M3 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
PROPELLER = equipment("p", {"p": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor")
ROTORS = (ARMS, MOTOR, PROPELLER)
FLAP = 0.5 / 25.4  # rule propeller_clearance.blade_droop_allowance_mm_per_in
MOTOR_2207 = catalogue().motor("motor_2207")
DIAMETER = catalogue().propeller("prop_5in").diameter_mm


def square(size):
    return {"rotors": f"fore_aft_mm = {size}\nlateral_mm = {size}"}


def tower(along, length=20):
    """A standoff on every arm, some way from its root."""
    return column("tower", SCREW, "arm", f"standoff M3x{length}", at=[[along, 0]], of="arm", mirror="")


def test_a_disc_stands_at_the_motors_seat_with_flap_and_tolerance():
    disc = discs_of(assembled(*ROTORS))[0]
    hub = catalogue().propeller("prop_5in").hub_height_mm
    assert (disc.x, disc.y, disc.z) == pytest.approx((100, 100, 5 + MOTOR_2207.seat_height_mm + hub / 2))
    assert disc.half_height() == pytest.approx(0.5 + FLAP * DIAMETER + MOTOR_2207.seat_height_tolerance_mm)


def test_gap_to_a_standoff_is_that_of_the_plan_where_heights_meet():
    assembly = assembled(*ROTORS, tower(50))
    rows = [g for g in body_gaps(assembly, prisms_of(assembly), discs_of(assembly)) if g.body.role == "standoff"]
    reach = math.hypot(90, 90)
    radius = catalogue().standoff("M3").outer_d_mm / 2
    assert [r.gap for r in rows] == pytest.approx([reach - 50 - DIAMETER / 2 - radius] * 4)


def test_gap_to_a_lower_standoff_counts_its_height():
    short = assembled(*ROTORS, tower(100, 15))
    disc = discs_of(short)[0]
    rows = [g for g in body_gaps(short, prisms_of(short), discs_of(short)) if g.body.role == "standoff"]
    assert rows[0].gap == pytest.approx(disc.z - disc.half_height() - 20)


def test_own_motor_screws_and_nut_are_no_obstacles():
    assembly = assembled(*ROTORS)
    rows = body_gaps(assembly, prisms_of(assembly), discs_of(assembly), math.inf)
    assert {g.body.role for g in rows} == {"plate", "motor", "nut", "screw"}
    near = [g for g in rows if g.body.role != "plate"]
    assert min(g.gap for g in near) > 50  # other rotors'


def test_staggered_discs_may_overlap_in_plan_and_those_at_one_height_may_not():
    disc = discs_of(assembled(*ROTORS))[0]
    beside = replace(disc, rotor=9, x=disc.x + 100)
    assert DiscGap.between(disc, beside).gap < 0
    lift = 2 * disc.half_height() + 3
    assert DiscGap.between(disc, replace(beside, z=disc.z + lift)).gap == pytest.approx(3)
    apart = replace(disc, x=disc.x + disc.diameter + 3, z=disc.z + 2 * disc.half_height() + 4)
    assert DiscGap.between(disc, apart).gap == pytest.approx(5)


def test_overlapping_discs_fail_near_ones_warn_and_coaxial_ones_pass():
    assert {f.severity for f in findings("disc.disc", *ROTORS, **square(DIAMETER - 1))} == {"fail"}
    assert {f.severity for f in findings("disc.disc", *ROTORS, **square(DIAMETER + 1))} == {"warn"}
    assert findings("disc.disc", *ROTORS, **square(DIAMETER + 3.1)) == []
    pair = {"rotors": "fore_aft_mm = 200\nlateral_mm = 200\ncoaxial = true"}
    both = assembled(
        ARMS,
        *(
            equipment(f"m_{s}", {"m": "motor_2207"}, at=f"rotors_{s}", stack=[SCREW, "arm", f"m_{s}.m"])
            + equipment(f"p_{s}", {"p": "prop_5in"}, at=f"rotors_{s}", on=f"m_{s}")
            for s in ("above", "below")
        ),
        **pair,
    )
    gaps = {(g.one.rotor, g.other.rotor): g for g in disc_gaps(discs_of(both))}
    assert len(gaps) == 28
    assert gaps[1, 5].in_plan == pytest.approx(-DIAMETER)
    assert gaps[1, 5].gap > 30


def test_the_largest_propeller_is_as_large_as_its_neighbour_leaves():
    assembly = assembled(*ROTORS, **square(140))
    limits = largest_propellers(assembly, prisms_of(assembly), discs_of(assembly), 3, 2)
    assert [limit.diameter for limit in limits] == pytest.approx([137] * 4, abs=1e-3)
    assert all(limit.role == "propeller" for limit in limits)


def test_a_standoff_limits_the_propeller_before_its_neighbour():
    assembly = assembled(*ROTORS, tower(50))
    limits = largest_propellers(assembly, prisms_of(assembly), discs_of(assembly), 3, 2)
    radius = catalogue().standoff("M3").outer_d_mm / 2
    assert limits[0].diameter == pytest.approx(2 * (math.hypot(90, 90) - 50 - radius - 2), abs=1e-3)
    assert limits[0].by.startswith("tower.")
    # at that size it is just far enough, and a little larger is not
    assert findings("disc.body", *ROTORS, tower(50)) == []


def test_moving_a_standoff_away_never_lowers_its_clearance_nor_the_largest_propeller():
    gaps, sizes = [], []
    for along in (70, 62, 58, 50, 40):
        assembly = assembled(*ROTORS, tower(along))
        prisms, discs = prisms_of(assembly), discs_of(assembly)
        gaps.append(min(g.gap for g in body_gaps(assembly, prisms, discs, 99) if g.body.role == "standoff"))
        sizes.append(largest_propellers(assembly, prisms, discs, 3, 2)[0].diameter)
    assert gaps == sorted(gaps)
    assert sizes == sorted(sizes)
    assert gaps[0] == 0


def test_a_mirrored_frame_has_the_same_clearances():
    def gaps(sign):
        one = column("tower", SCREW, "arm", "standoff M3x20", at=[[60, 55 * sign]], mirror="")
        assembly = assembled(*ROTORS, one)
        rows = body_gaps(assembly, prisms_of(assembly), discs_of(assembly))
        return sorted(round(g.gap, 6) for g in rows if g.body.role == "standoff")

    assert gaps(1) == gaps(-1)


def test_sizes_of_the_catalogue_ascend():
    sizes = [p.diameter_mm for p in propeller_sizes(assembled(*ROTORS))]
    assert sizes == sorted(sizes)
    assert len(sizes) > 8
