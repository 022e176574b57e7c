"""The [drive] table of a design."""

import pytest
from pydantic import ValidationError

from platewright.model.catalogue import Propeller, PropellerClass, load_catalogue
from platewright.model.design import Design
from platewright.model.drive import Drive
from platewright.model.references import reference_problems

CATALOGUE = load_catalogue()
BARE = {"format": 1, "frame": {"name": "Heddle"}, "rotors": {"fore_aft_mm": 160, "lateral_mm": 150}}


def _problems(**drive):
    design = Design.model_validate({**BARE, "drive": drive})
    return [p for p in reference_problems(design, CATALOGUE) if p[0][0] == "drive"]


def test_it_may_be_left_out_or_name_any_measured_or_typical_propeller():
    assert Design.model_validate(BARE).drive == Drive()
    assert not _problems(propeller="acro_5in")
    assert not _problems(propeller="5.0x4.3x2-J")


def test_an_unknown_propeller_is_named_with_the_nearest():
    ((path, code, message),) = _problems(propeller="acro_5inch")
    assert (path, code) == (("drive", "propeller"), "reference.catalogue")
    assert "acro_5inch" in message
    assert "acro_5in" in message


def test_a_static_point_is_whole_or_absent():
    with pytest.raises(ValidationError, match="static_speed_rpm, static_ct and static_cp together"):
        Drive(static_ct=0.15)
    assert Drive(static_ct=0.15, static_cp=0.08, static_speed_rpm=14_000).static_cp == 0.08


def test_a_static_point_must_be_possible():
    """More thrust for its power than momentum theory allows is another definition; a slow speed another unit."""
    with pytest.raises(
        ValidationError, match=r"these would lift with 6\.6 times less power than momentum theory needs"
    ):
        Drive(static_ct=0.3, static_cp=0.02, static_speed_rpm=14_000)
    with pytest.raises(ValidationError, match="greater than or equal to 1000"):
        Drive(static_ct=0.15, static_cp=0.08, static_speed_rpm=233)


def test_typical_propellers_have_the_diameter_of_what_names_them():
    named = [p for p in CATALOGUE.of_class(Propeller) if p.typical_class]
    typical = [(p, CATALOGUE.get(PropellerClass, p.typical_class)) for p in named]
    assert len(typical) == 5
    for propeller, made in typical:
        assert made.diameter_in == propeller.diameter_in
        assert propeller.pitch_range_in[0] <= made.pitch_in <= propeller.pitch_range_in[1]
        assert made.blades in propeller.blades
