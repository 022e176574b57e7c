"""Screws of a propeller on a T-mount: common practice, no source, for two M2 screws 5 mm apart."""

import math
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.assembly.bill import bill_of_materials
from platewright.assembly.hub_screws import hub_screws
from platewright.assembly.mass import mass_items

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def bobbin():
    return load(ROOT / "examples" / "bobbin.toml").assembly


def test_the_shortest_screw_that_engages_is_chosen(bobbin):
    propeller = next(e for e in bobbin.design.equipment if e.id == "propeller")
    fit = hub_screws(propeller, bobbin.catalogue)
    hub = bobbin.catalogue.propeller("prop_3in").hub_height_mm
    assert fit.engagement == pytest.approx(fit.length - hub)
    assert fit.least <= fit.engagement <= fit.most
    shorter = [v for v in bobbin.catalogue.lengths("M2").series_mm if v < fit.length]
    assert max(shorter) - hub < fit.least


def test_two_a_rotor_are_in_the_parts_list_and_weigh(bobbin):
    row = next(r for r in bill_of_materials(bobbin) if "propeller x 8" in r.where)
    assert row.kind == "screw"
    assert row.quantity == 8
    screws = [i for i in mass_items(bobbin) if i.name.startswith("propeller.screw")]
    assert len(screws) == 8
    assert all(0.2e-6 < i.mass < 0.5e-6 for i in screws)  # M2x8: a head of 0.163 g and 8 mm of 0.0187 g per mm


def test_they_stand_five_millimetres_apart_about_the_shaft(bobbin):
    bodies = [b for b in bobbin.bodies if b.owner == "propeller" and b.role == "screw" and b.name.endswith(".1")]
    assert math.dist(bodies[0].frame.origin, bodies[1].frame.origin) == pytest.approx(5.0)
    assert all(b.frame.n[2] == pytest.approx(-1.0) for b in bodies)
