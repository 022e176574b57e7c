"""A user's own folder of records, laid over the shipped ones."""

import pytest

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue import load_catalogue

STRAP = """
[[strap]]
id = "{id}"
width_mm = 18
thickness_range_mm = [1.5, 2.0]
slot_length_range_mm = [19, 20]
slot_width_range_mm = [2.5, 3.5]
lengths_mm = [200]
mass_g_per_mm = 0.025
provenance = "practice"
source = "measured in our own workshop"
"""
NUT_COLUMNS = "id,thread,style,standard,height_max_mm,height_min_mm,across_flats_max_mm,mass_g,provenance,source\n"


def refusal(folder):
    with pytest.raises(CatalogueError) as caught:
        load_catalogue(folder)
    return str(caught.value)


def test_a_known_id_replaces_and_a_new_id_adds(tmp_path):
    (tmp_path / "ours.toml").write_text(STRAP.format(id="strap_20") + STRAP.format(id="strap_18"))
    catalogue = load_catalogue(tmp_path)
    assert catalogue.strap("strap_20").width_mm == 18
    assert catalogue.strap("strap_20").origin == f"{tmp_path.name}/ours.toml"
    assert catalogue.strap("strap_18").lengths_mm == (200,)
    assert catalogue.strap("strap_15").origin == "shipped/hardware.toml"
    shipped = load_catalogue()
    assert shipped.strap("strap_20").width_mm == 20
    assert len(list(catalogue.records())) == len(list(shipped.records())) + 1


def test_csv_form_with_lists_and_empty_cells(tmp_path):
    (tmp_path / "nut.csv").write_text(NUT_COLUMNS + "m3_insert,M3,insert,our box,4.2,3.9,5.5,0.4,practice,calliper\n")
    (tmp_path / "screw_lengths.csv").write_text(
        "id,thread,series_mm,off_series_mm,provenance,source\nm3_lengths,M3,6; 8 ;10,7,practice,our drawer\n"
    )
    catalogue = load_catalogue(tmp_path)
    assert catalogue.nut("M3", "insert").height_max_mm == 4.2
    assert catalogue.nut("M3", "insert").corner_min_mm is None
    assert catalogue.lengths("M3").all_mm == (6, 7, 8, 10)


def test_every_problem_is_reported_at_once_with_file_record_and_key(tmp_path):
    (tmp_path / "a.toml").write_text(
        STRAP.format(id="strap_18").replace("width_mm = 18", "widht_mm = -18")
        + '\n[[strop]]\nid = "x"\n'
        + STRAP.format(id="strap_19").replace("[19, 20]", "[20, 19]")
    )
    (tmp_path / "b.toml").write_text("[[motor]\n")
    (tmp_path / "nut.csv").write_text(NUT_COLUMNS + "m3_ours,M3,ours,box,3.9,four,5.5,0.4,guess,calliper\n")
    lines = refusal(tmp_path).splitlines()
    name = tmp_path.name
    assert f"{name}/a.toml: strap strap_18: width_mm must be given." in lines
    assert any(
        line.startswith(f"{name}/a.toml: strap strap_18: widht_mm is not a key of a strap record; did you mean width")
        for line in lines
    )
    assert f"{name}/a.toml: unknown kind 'strop'; known kinds are like strap." in lines
    assert any("strap_19: slot_length_range_mm: the low end 20.0 must not be above" in line for line in lines)
    assert any(line.startswith(f"{name}/b.toml: cannot be read") for line in lines)
    assert any(f"{name}/nut.csv: nut m3_ours: height_min_mm:" in line and "'four'" in line for line in lines)
    assert any("nut m3_ours: provenance:" in line and "'guess'" in line for line in lines)
    assert len(lines) == 7


def test_a_name_may_not_mean_two_records(tmp_path):
    (tmp_path / "nut.csv").write_text(NUT_COLUMNS + "m3_mine,M3,insert,box,4.2,3.9,5.5,0.4,practice,calliper\n")
    assert refusal(tmp_path) == (
        f"{tmp_path.name}/nut.csv: nut m3_mine must not be called 'M3 insert' like m3_insert of shipped/nut.csv; "
        "give it a name of its own, or the id m3_insert to replace that record."
    )


def test_a_reference_must_exist(tmp_path):
    (tmp_path / "nut.csv").write_text(NUT_COLUMNS + "m6_mine,M33,ours,box,4.2,3.9,5.5,0.4,practice,calliper\n")
    assert "nut m6_mine: thread names the unknown thread 'M33'; did you mean M3" in refusal(tmp_path)


def test_an_id_may_not_stand_twice_in_one_folder(tmp_path):
    (tmp_path / "a.toml").write_text(STRAP.format(id="strap_18"))
    (tmp_path / "b.toml").write_text(STRAP.format(id="strap_18"))
    assert "b.toml: strap strap_18: id must be given once" in refusal(tmp_path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("mass_g_per_mm = 0.025", "mass_g_per_mm = nan", "mass_g_per_mm: input should be a finite number"),
        ("mass_g_per_mm = 0.025", "mass_g_per_mm = 0", "mass_g_per_mm: input should be greater than 0 (got 0)"),
        ('source = "measured in our own workshop"', 'source = ""', "source:"),
        ('source = "measured in our own workshop"', "", "source must be given."),
        ("width_mm = 18", 'width_mm = 18\norigin = "mine"', "origin must not be given"),
        ('id = "strap_18"', 'id = "strap 18"', "id:"),
        ("[[strap]]", "[strap.x]", "strap number 1:"),
    ],
)
def test_bad_values_are_refused(tmp_path, old, new, words):
    (tmp_path / "a.toml").write_text(STRAP.format(id="strap_18").replace(old, new))
    assert words in refusal(tmp_path)


def test_a_wide_csv_row_and_a_stray_value_are_refused(tmp_path):
    (tmp_path / "nut.csv").write_text(NUT_COLUMNS + "m3_x,M3,x,box,4.2,3.9,5.5,0.4,practice,calliper,more\n")
    (tmp_path / "a.toml").write_text("strap = 3\n")
    text = refusal(tmp_path)
    assert "(cells beyond the header) is not a key of a nut record" in text
    assert "a.toml: strap must be an array of tables, [[strap]] (got 3)." in text


def test_the_folder_must_exist(tmp_path):
    with pytest.raises(CatalogueError, match="must be a folder of catalogue records"):
        load_catalogue(tmp_path / "none")
