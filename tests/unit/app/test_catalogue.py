"""Listing, searching and showing catalogue records."""

import pytest

from platewright.app.catalogue import catalogue_kinds, list_records, search_records, show_record
from platewright.foundation.errors import CatalogueError


def test_counts_of_kinds_sum_to_the_whole_listing():
    assert sum(kind.count for kind in catalogue_kinds()) == len(list_records())


def test_listing_one_kind_keeps_source_and_file():
    entries = list_records("battery")
    assert {entry.kind for entry in entries} == {"battery"}
    assert all(entry.source and entry.origin == "shipped/power.toml" for entry in entries)


def test_search_finds_by_note_and_standard():
    assert any(entry.id == "m3_countersunk" for entry in search_records("DIN 7991 m3"))
    assert search_records("nothing of the sort") == ()


def test_a_shared_id_shows_every_kind_unless_one_is_asked_for():
    assert {sheet.entry.kind for sheet in show_record("m3_insert")} == {"nut", "prevailing_torque"}
    (sheet,) = show_record("m3_insert", kind="nut")
    rows = dict(sheet.rows)
    assert rows["height max"] == "4 mm"
    assert rows["provenance"] == "table"
    assert "DIN 985" in rows["source"]


def test_unknown_ids_and_kinds_are_named():
    with pytest.raises(CatalogueError, match="did you mean motor_2207"):
        show_record("motor2207")
    with pytest.raises(CatalogueError, match=r"kind it is, nut or prevailing_torque \(got 'screw'\)"):
        show_record("m3_insert", kind="screw")


def test_an_overlay_is_listed_with_its_own_file(tmp_path):
    (tmp_path / "rule.csv").write_text("id,typical,provenance,source\nours.gap_mm,2.5,practice,our own practice\n")
    assert [entry.origin for entry in search_records("ours gap", tmp_path)] == [f"{tmp_path.name}/rule.csv"]
