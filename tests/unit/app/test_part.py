import json
import struct
from pathlib import Path

import ezdxf
import jsonschema
import pytest

from platewright.app.part import contour, part_json, study_part, write_part_pictures
from platewright.app.result_schemas import RESULTS, result_schema, schema_text
from platewright.cli import main
from platewright.foundation.errors import DesignFileError, StructureError
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.io.dxf import write_part_dxf
from platewright.study.part_results import PartStudy

EXAMPLE = Path(__file__).parents[3] / "examples" / "parts" / "arm.toml"
BAR = """
format = 1
modes = 3
[part]
material = "plate_woven_0_90"
thickness_mm = 3
polygons = [{ points_mm = [[0, -8], [80, -8], [80, 8], [0, 8]] }]
[[hole]]
id = "one"
at_mm = [8, 0]
diameter_mm = 3.2
[[hole]]
id = "two"
at_mm = [24, 0]
diameter_mm = 3.2
[[hole]]
id = "tip"
at_mm = [72, 0]
diameter_mm = 3.2
[[hold]]
holes = ["one", "two"]
[[group]]
id = "end"
holes = ["tip"]
mass_g = 20
[[case]]
id = "lift"
loads = [{ group = "end", force_n = [0, 0, 5], moment_n_mm = [10, 0, 0] }]
"""
_SOLVED: dict[str, PartStudy] = {}


def solved(tmp_path, text=BAR, *, anew=False, **changes):
    """Return the study of a part file; of a file without a drawing beside it, solved once."""
    for old, new in changes.get("replace", {}).items():
        assert old in text
        text = text.replace(old, new)
    if text in _SOLVED and not anew:
        return _SOLVED[text]
    path = tmp_path / "bar.toml"
    path.write_text(text)
    study = study_part(path, cache=tmp_path / "cache")
    if "drawing" not in text:
        _SOLVED[text] = study
    return study


def problems(tmp_path, **changes):
    with pytest.raises(DesignFileError) as caught:
        solved(tmp_path, **changes)
    return [(p.code, p.line) for p in caught.value.problems], str(caught.value)


def test_example_has_the_answer_that_it_states(tmp_path):
    result = study_part(EXAMPLE, cache=tmp_path).strength
    thrust = next(c for c in result.cases if c.case == "thrust")
    (motor,) = thrust.groups
    assert motor.displacement_mm[2] == pytest.approx(0.13, abs=0.01)
    assert result.modes[0].frequency_hz == pytest.approx(220, abs=10)
    force = [sum(r.force_n[k] for r in thrust.reactions) for k in range(3)]
    assert force == pytest.approx([0, 0, -10], abs=1e-6)
    low, high = thrust.largest_displacement_band_mm
    assert low < thrust.largest_displacement_mm < high


def test_reactions_balance_forces_and_moments(tmp_path):
    (case,) = solved(tmp_path).strength.cases
    about_x = sum(r.moment_n_mm[0] for r in case.reactions)
    about_y = sum(r.moment_n_mm[1] - x * r.force_n[2] for r, x in zip(case.reactions, (8, 24), strict=True))
    assert about_x == pytest.approx(-10, abs=1e-6)
    assert about_y == pytest.approx(5 * 72, rel=1e-6)
    assert case.groups[0].displacement_mm[2] > 0


def test_margins_fall_with_the_load_and_hold_their_band(tmp_path):
    once, twice = solved(tmp_path), solved(tmp_path, replace={"[0, 0, 5]": "[0, 0, 10]", "[10, 0, 0]": "[20, 0, 0]"})
    for a, b in zip(once.strength.cases[0].margins, twice.strength.cases[0].margins, strict=True):
        assert a.strength_ratio == pytest.approx(2 * b.strength_ratio, rel=1e-9)
        low, high = a.band
        assert 1 < low < a.strength_ratio < high
    assert [m.criterion for m in once.strength.cases[0].margins] == ["max strain", "Tsai-Wu"]


def test_plies_instead_of_a_material(tmp_path):
    """One isotropic layer of aluminium: stiffer and heavier than the fabric by its constants."""
    layer = (
        "[[ply]]\ne1_mpa = 70000\ne2_mpa = 70000\ng12_mpa = 26900\ng13_mpa = 26900\ng23_mpa = 26900\nnu12 = 0.3\n[part]"
    )
    own = solved(
        tmp_path,
        replace={'material = "plate_woven_0_90"\n': "", "modes = 3": "modes = 3\ndensity_g_cm3 = 2.7", "[part]": layer},
    )
    fabric = solved(tmp_path)
    assert own.strength.mass_g / fabric.strength.mass_g == pytest.approx(2.7 / 1.55, rel=1e-9)
    assert own.strength.cases[0].largest_displacement_mm < fabric.strength.cases[0].largest_displacement_mm
    assert own.strength.cases[0].largest_displacement_band_mm is None
    assert own.strength.cases[0].margins == ()


def test_an_arm_cut_at_45_degrees_bends_more_and_twists_less(tmp_path):
    straight, slanting = (
        solved(tmp_path, replace={"thickness_mm = 3": f"thickness_mm = 3\ngrain_deg = {a}"}) for a in (0, 45)
    )
    (a,), (b,) = (s.strength.cases[0].groups for s in (straight, slanting))
    assert b.displacement_mm[2] > 2 * a.displacement_mm[2]
    assert b.rotation_deg[0] < 0.6 * a.rotation_deg[0]


def test_a_drawing_instead_of_an_outline(tmp_path):
    outline = Outline(rectangle_loop(40, 0, 80, 16), (), (Circle(8, 0, 1.6), Circle(24, 0, 1.6), Circle(72, 0, 1.6)))
    about = {"title": "Bar", "thickness_mm": 3, "material": "plate", "quantity": 1, "revision": "A"}
    write_part_dxf(tmp_path / "bar.dxf", outline, part_id="bar", **about)
    text = BAR.replace("polygons = [{ points_mm = [[0, -8], [80, -8], [80, 8], [0, 8]] }]", 'drawing = "bar.dxf"')
    drawn, whole = solved(tmp_path, text.replace("diameter_mm = 3.2\n", "")), solved(tmp_path)
    assert drawn.strength.cases[0].groups[0].displacement_mm[2] == pytest.approx(
        whole.strength.cases[0].groups[0].displacement_mm[2], rel=2e-3
    )
    codes, text = problems(tmp_path, text=text.replace("diameter_mm = 3.2\n", "").replace("[72, 0]", "[71, 0]"))
    assert codes[0][0] == "part.hole"
    assert "diameter_mm" in text


def test_a_drawing_of_two_plates_is_refused(tmp_path):
    about = {"title": "Two", "thickness_mm": 3, "material": "plate", "quantity": 1, "revision": "A"}
    write_part_dxf(tmp_path / "one.dxf", Outline(rectangle_loop(0, 0, 20, 10)), part_id="one", **about)
    document = ezdxf.readfile(tmp_path / "one.dxf")
    for entity in list(document.modelspace().query("LWPOLYLINE")):
        copy = entity.copy()
        document.modelspace().add_entity(copy)
        copy.translate(60, 0, 0)
    document.saveas(tmp_path / "two.dxf")
    drawn = {"polygons = [{ points_mm = [[0, -8], [80, -8], [80, 8], [0, 8]] }]": 'drawing = "two.dxf"'}
    found, text = problems(tmp_path, replace=drawn)
    assert found[0][0] == "drawing.unreadable"
    assert "one piece (got 2)" in text


def test_a_displacement_beyond_the_linear_plate_is_said(tmp_path, capsys):
    """5 N lift the 80 mm bar by some tenths of a millimetre; 5000 N by more than a tenth of its length, on paper."""
    assert not solved(tmp_path).strength.cases[0].is_beyond_small
    assert solved(tmp_path, replace={"force_n = [0, 0, 5]": "force_n = [0, 0, 5000]"}).strength.cases[0].is_beyond_small
    assert main(["part", str(tmp_path / "bar.toml")]) == 0
    assert "beyond small displacements" in capsys.readouterr().out


def test_a_flexible_tie_is_softer(tmp_path):
    stiff, soft = solved(tmp_path), solved(tmp_path, replace={"mass_g = 20": 'mass_g = 20\ntie = "flexible"'})
    assert soft.strength.cases[0].groups[0].displacement_mm[2] > stiff.strength.cases[0].groups[0].displacement_mm[2]


def test_json_names_its_units(tmp_path):
    text = part_json(solved(tmp_path))
    data = json.loads(text)
    assert data["cases"][0]["groups"][0]["group"] == "end"
    assert set(data["cases"][0]["reactions"][0]) == {"hole", "force_n", "moment_n_mm"}
    jsonschema.Draft202012Validator(result_schema("part")).validate(data)
    assert data["modes"][0]["frequency_hz"] > 0


@pytest.mark.parametrize("command", RESULTS)
def test_the_schema_in_the_documents_is_the_one_of_the_code(command):
    """`sh scripts/schema` writes it."""
    text = schema_text(command)
    jsonschema.Draft202012Validator.check_schema(json.loads(text))
    assert (Path(__file__).parents[3] / "docs" / "reference" / f"{command}.schema.json").read_text() == text


def test_pictures_and_models_are_written_and_the_same_each_time(tmp_path):
    study = solved(tmp_path)
    written = write_part_pictures(study, tmp_path / "out")
    assert {p.name for p in written} >= {"lift.svg", "lift.png", "lift.glb", "mode_3.glb", "part.json"}
    assert {p.name for p in written} >= {f"lift_{w}.{e}" for w in ("stress", "failure") for e in ("svg", "png")}
    assert ">1 fails</text>" in (tmp_path / "out" / "lift_failure.svg").read_text()
    assert contour(study, study.fields[0]) == contour(solved(tmp_path, anew=True), study.fields[0])
    raw = (tmp_path / "out" / "lift.glb").read_bytes()
    assert raw[:4] == b"glTF"
    length, kind = struct.unpack("<I4s", raw[12:20])
    tree = json.loads(raw[20 : 20 + length])
    assert kind == b"JSON"
    assert tree["accessors"][1]["count"] == 2 * len(study.mesh.nodes)
    assert tree["meshes"][0]["primitives"][0]["attributes"] == {"POSITION": 0, "COLOR_0": 1}
    corners = 3 * (2 * 4 * len(study.mesh.triangles) + 2 * sum(len(loop) for loop in study.mesh.loops))
    assert tree["accessors"][2]["count"] == corners


def test_command_prints_tables_and_json(tmp_path, capsys):
    assert main(["part", str(EXAMPLE)]) == 0
    out = capsys.readouterr().out
    assert "Forces on the part at its holes" in out
    assert "pull-through" in out
    assert "ply off rim" in out
    assert "Frequencies" in out
    (tmp_path / "bar.toml").write_text(BAR.replace("format = 1", 'format = 1\nname = "A bar"'))
    assert main(["part", str(tmp_path / "bar.toml"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["part"] == "A bar"


@pytest.mark.parametrize(
    ("replace", "code"),
    [
        ({'holes = ["one", "two"]': 'holes = ["one", "tow"]'}, "part.hole"),
        ({'group = "end"': 'group = "edn"'}, "part.group"),
        ({'material = "plate_woven_0_90"\n': ""}, "part.material"),
        ({'"plate_woven_0_90"': '"plate_woven_0_99"'}, "reference.catalogue"),
        ({"thickness_mm = 3": "thickness_mm = 0"}, "value.range"),
        ({"format = 1": "format = 2"}, "file.format"),
        ({'id = "end"\n': ""}, "record.id"),
        ({"mass_g = 20": "weight_g = 20"}, "key.unknown"),
        ({"polygons = [{ points_mm = [[0, -8], [80, -8], [80, 8], [0, 8]] }]": ""}, "outline.source"),
        ({"at_mm = [72, 0]": "at_mm = [79, 0]"}, "part.outline"),
        ({"at_mm = [72, 0]": "at_mm = [72]"}, "value.count"),
        ({"[[case]]": "[case]"}, "record.form"),
        ({'id = "two"': 'id = "one"'}, "record.duplicate"),
        ({"modes = 3": "density_g_cm3 = 1.5"}, "part.material"),
        ({"modes = 3": "bearing_mpa = 500"}, "part.material"),
        ({"at_mm = [24, 0]": "at_mm = [9, 0]"}, "part.outline"),
        ({"force_n = [0, 0, 5], moment_n_mm = [10, 0, 0]": "force_n = [0, 0, 0]"}, "part.case"),
        ({'loads = [{ group = "end", force_n = [0, 0, 5], moment_n_mm = [10, 0, 0] }]': "loads = []"}, "part.case"),
        (
            {"force_n = [0, 0, 5], moment_n_mm = [10, 0, 0]": "force_n = [0, 0, 1e-300]"},
            "part.case",
        ),
        ({"force_n = [0, 0, 5]": "force_n = [0, 0, nan]"}, "value.range"),
        ({"force_n = [0, 0, 5]": "force_n = [0, 0, 1e300]"}, "value.range"),
        ({"force_n = [0, 0, 5]": "force_n = [0, 5]"}, "value.count"),
        ({"modes = 3": "modes = 0", BAR[BAR.index("[[case]]") :]: ""}, "part.case"),
        ({'holes = ["tip"]': 'holes = ["two"]'}, "part.hold"),
        ({'holes = ["tip"]': 'holes = ["tip", "tip"]'}, "part.hold"),
        ({"[[case]]": '[[group]]\nid = "twice"\nholes = ["tip"]\n[[case]]'}, "part.hold"),
    ],
)
def test_bad_input_is_told_with_its_code_and_line(tmp_path, replace, code):
    found, text = problems(tmp_path, replace=replace)
    assert code in [c for c, _ in found]
    assert all(line is not None for _, line in found) or code in ("outline.source", "part.material")
    assert "Traceback" not in text


def test_a_part_cut_in_two_is_refused(tmp_path):
    found, text = problems(
        tmp_path, replace={"at_mm = [24, 0]\ndiameter_mm = 3.2": "at_mm = [24, 0]\ndiameter_mm = 18"}
    )
    assert found[0][0] == "part.outline"
    assert "one connected piece" in text


@pytest.mark.parametrize(
    ("replace", "words"),
    [
        ({'holes = ["one", "two"]': 'holes = ["one", "two"]\nhow = "across"'}, "free to move"),
        ({'holes = ["one", "two"]': 'holes = ["one"]\nhow = "in_plane"'}, "free to move"),
        ({"modes = 3": "modes = 3\nmesh_mm = 0.05"}, "larger mesh size"),
    ],
)
def test_a_part_that_cannot_be_solved_is_refused(tmp_path, capsys, replace, words):
    with pytest.raises(StructureError, match=words):
        solved(tmp_path, replace=replace)
    assert main(["part", str(tmp_path / "bar.toml")]) == 1
    err = capsys.readouterr().err
    assert err.startswith("bar.toml: ")
    assert words in err
    assert "Traceback" not in err


def test_a_part_that_nothing_holds_is_refused(tmp_path):
    found, text = problems(tmp_path, replace={'[[hold]]\nholes = ["one", "two"]\n': ""})
    assert [code for code, _ in found] == ["part.hold"]
    assert "held nowhere" in text


def test_a_hole_across_the_edge_is_told_once(tmp_path):
    found, text = problems(tmp_path, replace={"at_mm = [72, 0]": "at_mm = [79, 0]"})
    assert [code for code, _ in found] == ["part.outline"]
    assert "clear of edges" in text


@pytest.mark.parametrize(
    ("key", "value", "code", "words"),
    [
        ("nu12", "0.3", "part.material", "nu12 must lie within +-sqrt(E1/E2) = 0.1195"),
        ("e1_mpa", "-5", "value.range", "must be 0.1 to 1000000 MPa (got -5)"),
        ("g13_mpa", "nan", "value.range", "must be 0.1 to 1000000 MPa (got nan)"),
        ("g23_mpa", "0", "value.range", "must be 0.1 to 1000000 MPa (got 0)"),
        ("e2_mpa", "1e9", "value.range", "(got 1e+09)"),
    ],
)
def test_plies_that_are_not_positive_definite_are_refused(tmp_path, key, value, code, words):
    layer = {"e1_mpa": "1000", "e2_mpa": "70000", "g12_mpa": "900", "g13_mpa": "900", "g23_mpa": "900", "nu12": "0.1"}
    lines = "\n".join(f"{k} = {v}" for k, v in (layer | {key: value}).items())
    changes = {'material = "plate_woven_0_90"\n': "", "modes = 3": "density_g_cm3 = 2.7"}
    found, text = problems(tmp_path, replace={**changes, "[part]": f"[[ply]]\n{lines}\n[part]"})
    assert code in [c for c, _ in found]
    assert words in text
