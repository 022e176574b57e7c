"""Measured propellers and their rows."""

from collections import Counter

import pytest

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue import MeasuredPropeller, load_catalogue, load_rotor_rows

RECORDS = {r.id: r for r in load_catalogue().of_class(MeasuredPropeller)}
ROWS = load_rotor_rows()


def test_every_propeller_has_as_many_rows_as_its_record_says():
    static = Counter(r.propeller for r in ROWS.performance if r.advance_ratio_j == 0)
    static.update(r.propeller for r in ROWS.thrust_stand)
    moving = Counter(r.propeller for r in ROWS.performance if r.advance_ratio_j > 0)
    stations = Counter(r.propeller for r in ROWS.geometry)
    assert len(RECORDS) == 45
    assert {*static, *moving, *stations} == set(RECORDS)
    for name, record in RECORDS.items():
        counts = (record.static_rows, record.advance_rows, record.geometry_stations)
        assert counts == (static[name], moving[name], stations[name]), name


def test_coefficients_lie_where_propellers_do():
    assert all(-0.2 < r.ct < 0.3 and -0.05 < r.cp < 0.25 and r.speed_rpm > 1000 for r in ROWS.performance)


def test_own_rows_are_added(tmp_path):
    folder = tmp_path / "rotor"
    folder.mkdir()
    (folder / "propeller_geometry.csv").write_text("propeller,r_over_R,c_over_R,twist_deg\nours,0.75,0.2,18\n")
    rows = load_rotor_rows(tmp_path)
    assert rows.geometry[-1].propeller == "ours"
    assert len(rows.geometry) == len(ROWS.geometry) + 1


def test_a_wrong_cell_is_named_with_its_line(tmp_path):
    folder = tmp_path / "rotor"
    folder.mkdir()
    file = folder / "propeller_geometry.csv"
    file.write_text("propeller,r_over_R,c_over_R,twist_deg\nours,0.75,wide,18\n")
    with pytest.raises(CatalogueError, match=r"propeller_geometry.csv:2: c_over_R must be a number \(got 'wide'\)"):
        load_rotor_rows(tmp_path)
    file.write_text("propeller,r_over_R,twist_deg\n")
    with pytest.raises(CatalogueError, match="c_over_R missing"):
        load_rotor_rows(tmp_path)
