"""The shipped catalogue: every record loads, states its source, and is found by what a design calls it."""

import pytest

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue import KINDS, Estimate, Material, load_catalogue, record_rows

CATALOGUE = load_catalogue()
ALL = list(CATALOGUE.records())


def test_every_kind_has_records():
    assert set(CATALOGUE.kinds()) == set(KINDS)


@pytest.mark.parametrize("record", ALL, ids=lambda r: f"{r.kind}-{r.id}")
def test_every_record_states_provenance_source_and_file(record):
    assert record.provenance
    assert len(record.source) > 5
    assert record.origin.startswith("shipped/")
    assert dict(record_rows(record))["source"] == record.source


def test_every_property_of_a_material_states_its_own_source():
    materials = [r for r in ALL if isinstance(r, Material)]
    assert len(materials) > 15
    for material in materials:
        assert material.properties
        for estimate in material.properties.values():
            assert isinstance(estimate, Estimate)
            assert estimate.source


def test_practice_and_standards_are_not_confused():
    for record in ALL:
        if record.provenance == "practice":
            assert "practice" in record.source or "estimate" in record.source, record.id
        if record.provenance.startswith("standard"):
            assert any(word in record.source for word in ("ISO", "DIN", "ASTM", "IEEE", "MIL-HDBK", "Niu", "VDI")), (
                record.id
            )


def test_no_record_repeats_a_name_or_names_the_unknown():
    assert CATALOGUE.contradictions() == []


def test_shipped_catalogue_is_read_once():
    assert load_catalogue() is CATALOGUE


def test_a_missing_record_is_answered_with_the_nearest_names():
    with pytest.raises(CatalogueError, match=r"unknown motor 'motor_2270'; did you mean .*motor_2207"):
        CATALOGUE.motor("motor_2270")
    with pytest.raises(CatalogueError, match=r"unknown nut 'M3 isert'; did you mean M3 insert"):
        CATALOGUE.nut("M3", "isert")
    with pytest.raises(CatalogueError, match=r"unknown screw 'M2 countersunk'; known: M2 button, M2 countersunk-iso"):
        CATALOGUE.screw("M2", "countersunk")
    with pytest.raises(CatalogueError, match=r"unknown screw class '12\.8'; did you mean .*12\.9"):
        CATALOGUE.screw_class("12.8")
    with pytest.raises(CatalogueError, match="unknown clearance hole 'M3 snug'; known: M3 coarse, M3 fine, M3 medium"):
        CATALOGUE.clearance_hole("M3", "snug")
    with pytest.raises(CatalogueError, match=r"unknown spacer 'M3 7 mm'; known: M3 spacer 5\.5 mm nylon, M3 "):
        CATALOGUE.spacer("M3", 7.0)
    with pytest.raises(CatalogueError, match="unknown kind 'moter'; did you mean motor"):
        list(CATALOGUE.records("moter"))
    with pytest.raises(CatalogueError, match="has no property 'e_mpa'"):
        CATALOGUE.laminate("plate_g10").value("e_mpa")


def test_typed_look_ups_return_the_record_asked_for():
    assert CATALOGUE.thread("M3").pitch_mm == 0.5
    assert CATALOGUE.screw("M3", "socket").drive_size_mm == 2.5
    assert CATALOGUE.washer("M3").outer_d_max_mm == 7.0
    assert CATALOGUE.clearance_hole("M3").d_mm == 3.2
    assert CATALOGUE.standoff("M3").outer_d_mm == 5.0
    assert CATALOGUE.standoff("M3", "studded").stud_length_mm == 6.0
    assert CATALOGUE.spacer("M3").material == "pa66_conditioned"
    assert CATALOGUE.spacer("M3", material="al_6061_t6").outer_d_mm == 6.0
    assert CATALOGUE.spacer("M3", material="aluminium") is CATALOGUE.spacer("M3", material="al_6061_t6")
    assert CATALOGUE.spacer("M3", 5.5).tapped
    assert CATALOGUE.grommet("M3").compressed_height_mm == 6.2
    assert CATALOGUE.prevailing_torque("M3").first_assembly_max_nm == 0.43
    assert CATALOGUE.laminate("plate_woven_qi").density_g_cm3.band == (1.45, 1.6)
    assert CATALOGUE.battery("lipo_6s_1300").cells_series == 6
    assert CATALOGUE.rule("motor_mounting.winding_clearance_min_mm").value == 0.5
    assert CATALOGUE.rule("board_stack.fc_height_with_grommets_mm").value == 7.75
    assert [CATALOGUE.propeller_nut(f"prop_nut_m5_{hand}").hand for hand in ("right", "left")] == ["right", "left"]


def test_search_needs_every_word():
    found = CATALOGUE.search("din 985 m3")
    assert [r.id for r in found if r.kind == "nut"] == ["m3_insert"]
    assert CATALOGUE.search("no-such-word") == ()


def test_find_looks_through_every_kind():
    assert {r.kind for r in CATALOGUE.find("m3_insert")} == {"nut", "prevailing_torque"}
    with pytest.raises(CatalogueError, match="did you mean"):
        CATALOGUE.find("m3_insrt")


def test_thickness_tolerance_between_and_beyond_the_records():
    assert CATALOGUE.thickness_tolerance_mm(0.2) == 0.05
    assert CATALOGUE.thickness_tolerance_mm(5.0) == 0.25
    assert CATALOGUE.thickness_tolerance_mm(4.5) == pytest.approx(0.225)
    assert CATALOGUE.thickness_tolerance_mm(16.0) == pytest.approx(0.8)


def test_a_rule_of_words_has_no_number():
    with pytest.raises(ValueError, match="has no number"):
        _ = CATALOGUE.rule("camera_use.clear_height_rule").value


def test_rows_carry_units():
    rows = dict(record_rows(CATALOGUE.motor("motor_2207")))
    assert rows["seat height"] == "18.5 mm"
    assert rows["mass range"] == "31 to 37 g"
    assert rows["winding: resistance"] == "65 mΩ"
    assert dict(record_rows(CATALOGUE.laminate("plate_g10")))["density"] == "1.85 (1.8 to 1.95) g/cm³"
