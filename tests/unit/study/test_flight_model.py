import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from frames import assembled, equipment, two_plates
from platewright.app.load import load
from platewright.study.flight_bodies import air_bodies, view_union
from platewright.study.flight_download import bulks, washed_pieces
from platewright.study.flight_drag import arm_bar, drag_items, plate_plan
from platewright.study.flight_model import flight_model, moved
from platewright.study.flight_options import body_options

ROOT = Path(__file__).parents[3]
HEDDLE = load(ROOT / "examples" / "heddle.toml").assembly
MODEL = flight_model(HEDDLE)
POST = ("screw M3 socket 12.9", "base", "standoff M3x25", "deck", "screw M3x6 button 10.9")


def test_views_of_a_plate_are_its_outline_and_its_edges():
    (body,) = (b for b in air_bodies(assembled(*two_plates(*POST))) if b.name == "base")
    assert float(shapely.area(body.plan)) == pytest.approx(60 * 60, rel=1e-6)  # screw holes are filled by screws
    assert float(shapely.area(body.front)) == pytest.approx(60 * 4)
    assert float(shapely.area(body.side)) == pytest.approx(60 * 4)
    assert (body.bottom, body.top, body.thickness) == pytest.approx((0, 4, 4))


def test_a_plate_on_edge_is_thin_from_above():
    cheek = next(b for b in MODEL.bodies if b.name == "cheek.left")
    x0, y0, x1, y1 = shapely.bounds(cheek.plan)
    assert y1 - y0 == pytest.approx(2)
    assert float(shapely.area(cheek.side)) > 10 * float(shapely.area(cheek.front))
    assert x1 - x0 > 30


def test_two_things_behind_each_other_count_once_from_ahead():
    both = [b for b in MODEL.bodies if b.name in ("cheek.left", "cheek.right")]
    seen = float(shapely.area(view_union(both, "side")))
    assert seen == pytest.approx(float(shapely.area(both[0].side)), rel=1e-6)


def test_arms_are_bars_along_their_bearing():
    held = plate_plan(MODEL.bodies)
    bar = arm_bar(next(b for b in MODEL.bodies if b.name == "arm.1"), held)
    assert math.degrees(math.atan2(abs(bar.direction[1]), abs(bar.direction[0]))) == pytest.approx(43, abs=3)
    assert 60 < bar.length < 110
    assert 9 < bar.width < 18


def test_drag_from_the_side_is_more_for_a_long_body():
    held = plate_plan(MODEL.bodies)
    front, side = (sum(d.drag_area for d in drag_items(MODEL.bodies, held, v)) for v in ("front", "side"))
    assert side > 1.3 * front
    assert front == pytest.approx(MODEL.airframe.front_drag)


def test_airframe_is_in_si_about_the_centre_of_gravity():
    assert MODEL.airframe.mass == pytest.approx(0.567, abs=0.02)
    assert np.abs(MODEL.airframe.discs[:, :2]).max() < 0.1
    xs = MODEL.airframe.discs[:, 0] + MODEL.centre[0] / 1000
    assert xs.mean() == pytest.approx(0, abs=1e-9)


def test_moving_discs():
    longer, up = moved(MODEL.airframe, longer_mm=20), moved(MODEL.airframe, rear_up_mm=10)
    assert np.ptp(longer.discs[:, 0]) - np.ptp(MODEL.airframe.discs[:, 0]) == pytest.approx(0.02)
    assert longer.discs[:, 1] == pytest.approx(MODEL.airframe.discs[:, 1])
    lift = up.discs[:, 2] - MODEL.airframe.discs[:, 2]
    assert sorted(lift) == pytest.approx([0, 0, 0.01, 0.01])
    assert np.all(MODEL.airframe.discs[lift > 0, 0] < 0)


def test_only_what_is_under_a_disc_is_washed():
    arms = [w for w in MODEL.washed if w.body.kind == "arm"]
    assert len(arms) == 4
    for w in arms:
        disc = MODEL.discs[w.axis]
        far = shapely.hausdorff_distance(w.piece, shapely.Point(disc.x, disc.y))
        assert far < disc.diameter / 2
        assert w.depth > 0
        assert w.lost_as() == pytest.approx(w.lost)
        assert w.lost > w.lost_as(0.5) > w.lost_as(1.0) > w.lost_as(math.inf) > 0.5 * w.lost
        assert w.lost_as(math.inf) == w.lost_as(w.body.thickness / 2)
        assert w.lost_as(wider=-1.0) < w.lost < w.lost_as(wider=1.0)
    assert not [w for w in MODEL.washed if w.body.kind == "battery"]


def test_what_stands_above_in_the_same_wake_shelters_what_is_below():
    arm = next(b for b in MODEL.bodies if b.name == "arm.1")
    low = type(arm)("low", "arm", "low", arm.thickness, arm.plan, arm.front, arm.side, arm.bottom - 20, arm.top - 20)
    alone = washed_pieces((low,), MODEL.discs[:1])
    both = washed_pieces((arm, low), MODEL.discs[:1])
    assert len(alone) == 1
    assert [w.body.name for w in both] == ["arm.1"]


def test_between_two_discs_the_air_is_slower_than_both_would_make_it_alone():
    """Two discs on one axis, close together, move the air by sqrt(2) of what one does alone, not by twice that."""
    base, disc = next(b for b in MODEL.bodies if b.name == "arm.1"), MODEL.discs[0]
    plan = shapely.box(disc.x - 50, disc.y - 5, disc.x, disc.y + 5)
    middle = disc.z - 2.0
    bar = type(base)("bar", "arm", "bar", 2.0, plan, base.front, base.side, middle - 1.0, middle + 1.0)
    pair = (disc, replace(disc, rotor=99, z=disc.z - 4.0))
    (found,) = washed_pieces((bar,), pair)
    assert found.speed == pytest.approx(math.sqrt(2), rel=0.03)
    assert found.slowed == pytest.approx(1 / math.sqrt(2), rel=0.03)
    (alone,) = washed_pieces((bar,), (disc,))
    assert alone.slowed == 1.0


def test_things_are_beside_the_plane_of_discs_that_is_next_to_them():
    low = tuple(replace(d, rotor=9 + d.rotor, z=d.z - 100.0) for d in MODEL.discs)
    alone = {b.body.name: b for b in bulks(MODEL.bodies, MODEL.discs)}
    both = {b.body.name: b for b in bulks(MODEL.bodies, (*MODEL.discs, *low))}
    assert both["battery.battery"] == alone["battery.battery"]


def test_a_wider_arm_costs_more():
    def cost(width):
        base = next(b for b in MODEL.bodies if b.name == "arm.1")
        disc = MODEL.discs[0]
        plan = shapely.box(disc.x - 50, disc.y - width / 2, disc.x, disc.y + width / 2)
        bar = type(base)("bar", "arm", "bar", 5.0, plan, base.front, base.side, 0.0, 5.0)
        return sum(w.lost for w in washed_pieces((bar,), (disc,)))

    assert cost(8) < cost(11) < cost(14)
    assert cost(11) == pytest.approx(0.03, abs=0.015)


def test_bulk_names_what_reaches_the_propeller_plane():
    found = {b.body.name: b for b in bulks(MODEL.bodies, MODEL.discs)}
    assert "battery.battery" in found
    plane, radius = MODEL.discs[0].z, MODEL.discs[0].diameter / 2
    assert all(b.body.top >= plane - radius / 2 for b in found.values())
    assert "video.vtx" in found
    assert all(b.beside >= 0 for b in found.values())


def test_options_change_the_air_in_the_way_they_say():
    options = {o.name: o.model for o in body_options(MODEL)}
    front = {name: sum(d.drag_area for d in m.drags) for name, m in options.items()}
    side = {name: sum(d.drag_area for d in m.side_drags) for name, m in options.items()}
    now = sum(d.drag_area for d in MODEL.drags), sum(d.drag_area for d in MODEL.side_drags)
    assert front["deck 10 mm lower"] < now[0]
    assert side["side plates 10 mm taller"] > now[1]
    assert side["no side plates"] < now[1]
    assert side["sides closed with panels"] > 1.1 * now[1]
    assert all(m.airframe.mass == MODEL.airframe.mass for m in options.values())


def test_without_propellers_there_is_no_model():
    assert flight_model(assembled(*two_plates(*POST))) is None


def test_equipment_has_its_role_and_small_hardware_is_left_out():
    pieces = (*two_plates(*POST), equipment("battery", {"battery": "lipo_6s_1100"}, on="deck", at_mm=[0, 0]))
    kinds = {b.name: b.kind for b in air_bodies(assembled(*pieces))}
    assert kinds["battery.battery"] == "battery"
    assert {"base", "deck"} <= set(kinds)
    assert set(kinds.values()) <= {"other", "battery", "standoff"}
