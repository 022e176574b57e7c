"""A pack on a deck, with lengths and shares that can be worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frames import assembled, catalogue, column, equipment, part, place, plate
from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items, total_mass
from platewright.fit.battery import hazards, inertia_shares, packs_of
from platewright.fit.discs import Disc
from platewright.fit.interference import prisms_of
from platewright.fit.pack_leads import balance_reach, power_reach
from platewright.fit.straps import strap_paths, taut_length
from platewright.model.catalogue.power import Battery

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
POST = column("post", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[50, 35])
PLATES = plate("base", 2, (120, 90)), plate("deck", 2, (120, 90))
STRAP = equipment("strap", {"s": "strap_20"}, on="deck", at_mm=[0, 0], through=["deck"], spacing_mm=31)
PACK = catalogue().get(Battery, "lipo_6s_1100")


def frame(*more: str, pad: float = 2.0, **keys: object) -> Assembly:
    battery = equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, pad], **keys)
    return assembled(*PLATES, POST, battery, *more)


def disc(x: float, y: float, z: float, diameter: float = 100.0) -> Disc:
    (body,) = (b for b in frame().bodies if b.role == "battery")
    return Disc(1, body, x, y, z, diameter, 1.0, 0.0, 0.0)


def test_a_pack_lies_on_its_deck_and_knows_its_height() -> None:
    made = frame()
    (pack,) = packs_of(made, prisms_of(made))
    assert pack.bearing == ("deck",)
    assert pack.borne == pytest.approx(1, abs=0.01)
    assert not pack.underneath
    assert pack.span == pytest.approx((2 + 30 + 2 + 2, 2 + 30 + 2 + 2 + PACK.height_mm))


def test_a_pack_underneath_hangs_from_its_plate() -> None:
    made = frame(face="bottom")
    (pack,) = packs_of(made, prisms_of(made))
    assert pack.underneath
    assert pack.bearing == ("deck",)
    assert pack.span[1] == pytest.approx(2 + 30 - 2)


def test_the_share_of_a_pack_over_an_opening_is_not_borne() -> None:
    hole = {"shape": "rectangle", "at_mm": [0, 0], "length_mm": 25, "width_mm": 20, "corner_mm": 0}
    deck = part("deck", 2, (120, 90), cutouts=[hole]) + place("deck", "deck")
    battery = equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 2])
    made = assembled(PLATES[0], deck, POST, battery)
    (pack,) = packs_of(made, prisms_of(made))
    assert pack.borne == pytest.approx(1 - 25 * 20 / (PACK.length_mm * PACK.width_mm), abs=1e-6)


def test_a_taut_strap_follows_the_hull_of_pack_and_slots() -> None:
    slant = math.hypot(5, 4)
    assert taut_length(40, 30, 2, 30, 2) == pytest.approx(40 + 2 * 30 + 2 * slant + 30)
    assert taut_length(40, 30, 0, 60, 0) == pytest.approx(60 + 40 + 2 * math.hypot(10, 30))


def test_a_strap_round_the_pack_leaves_the_rest_to_close_it() -> None:
    made = frame(STRAP)
    (pack,) = packs_of(made, prisms_of(made))
    (path,) = strap_paths(made, pack)
    taut = taut_length(PACK.width_mm, PACK.height_mm, 2, 31, 2)
    assert path.length == pytest.approx(taut + 2 * math.pi)  # it is 2 mm thick
    assert path.spare == pytest.approx(250 - path.length)


def test_a_strap_elsewhere_does_not_hold_it() -> None:
    made = frame(equipment("strap", {"s": "strap_20"}, on="deck", at_mm=[45, 0], through=["deck"], spacing_mm=31))
    (pack,) = packs_of(made, prisms_of(made))
    assert strap_paths(made, pack) == []


def test_shares_of_the_inertia_add_up_with_those_of_the_rest() -> None:
    made = frame()
    (pack,) = packs_of(made, prisms_of(made))
    items = mass_items(made)
    shares = inertia_shares(items, pack)
    total = total_mass(items)
    own = next(i for i in items if i.group == "battery")
    offset = own.centre - total.centre
    assert total.inertia == pytest.approx(np.diag(np.diag(total.inertia)), abs=1e-6)  # symmetric: axes are x, y, z
    roll = own.inertia[0, 0] + own.mass * (offset[1] ** 2 + offset[2] ** 2)
    assert shares[0] == pytest.approx(roll / total.inertia[0, 0])
    assert all(0 < share < 1 for share in shares)


def test_a_tip_under_a_pack_is_a_hazard_and_a_head_is_not() -> None:
    tip = column("tip", "screw M3x10 socket 12.9", "deck", "nut M3 thin", at=[0, 0], mirror="")
    head = column("head", "nut M3 thin", "deck", "screw M3x6 button 10.9", at=[0, 0], mirror="")
    made = frame(tip, pad=3.0)
    (pack,) = packs_of(made, prisms_of(made))
    assert {h.kind for h in hazards(made, prisms_of(made), pack, 1.0)} == {"tip"}
    made = frame(head, pad=3.0)
    (pack,) = packs_of(made, prisms_of(made))
    assert hazards(made, prisms_of(made), pack, 1.0) == []


def test_the_edge_of_a_standing_plate_is_a_hazard() -> None:
    fin = plate("fin", 2, (30, 10), at_mm=[0, 8], stands="xz", foot="deck", offset_mm=20.3)
    made = frame(fin)
    (pack,) = packs_of(made, prisms_of(made))
    (found,) = hazards(made, prisms_of(made), pack, 1.0)
    assert (found.kind, found.body.name) == ("edge", "fin")
    assert found.gap == pytest.approx(20.3 - 1 - PACK.width_mm / 2)


def test_a_tied_balance_lead_reaches_half_its_loop() -> None:
    made = frame()
    (pack,) = packs_of(made, prisms_of(made))
    middle = sum(pack.span) / 2
    behind = disc(-PACK.length_mm / 2 - 20 - 50, 0, middle)
    reach = balance_reach(made, pack, [behind], 60, 25)
    assert reach is not None
    rim = math.hypot(50 + 20, PACK.width_mm / 4) - 50
    assert (reach.rest, reach.gap, reach.loose) == pytest.approx((rim, rim - 12.5, rim - 60))


def test_a_power_lead_bows_as_a_flat_arc() -> None:
    plug = equipment("plug", {"p": "connector_60a"}, on="deck", at_mm=[-90, 0])
    made = frame(plug)
    (pack,) = packs_of(made, prisms_of(made))
    plug_body = next(b for b in made.bodies if b.owner == "plug")
    end = np.array(plug_body.frame.point(0, 0, plug_body.solids[0].shape.height / 2))
    start = np.array([-PACK.length_mm / 2, 0, sum(pack.span) / 2])
    direct = float(np.linalg.norm(end - start))
    middle = (start + end) / 2
    beside = disc(middle[0], 20 + 200, middle[2], 400)
    reach = power_reach(made, pack, [beside], 70, 10)
    assert reach is not None
    assert reach.rest == pytest.approx(20, abs=0.6)  # the disc is met at points, and is 1 mm thick
    assert reach.gap == pytest.approx(20 - math.sqrt(3 * direct * 10 / 8), abs=0.6)


def test_moving_a_disc_away_never_brings_a_lead_nearer() -> None:
    made = frame(equipment("plug", {"p": "connector_60a"}, on="deck", at_mm=[-70, 0]))
    (pack,) = packs_of(made, prisms_of(made))
    for reach in (lambda d: balance_reach(made, pack, [d], 60, 25), lambda d: power_reach(made, pack, [d], 70, 10)):
        gaps = [found.gap for y in range(60, 140, 8) if (found := reach(disc(-60, y, 50))) is not None]
        assert gaps == sorted(gaps)
