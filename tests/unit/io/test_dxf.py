import math

import ezdxf
import pytest

from platewright.foundation.errors import OutputError
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop, outline_area
from platewright.io.dxf import LAYERS, part_dxf, write_part_dxf
from platewright.io.foreign_drawing import read_loops_dxf

# A plate 60 by 30 mm with half-round ends, a slot with round ends, and two holes.
PLATE = Outline(
    Loop(((-30, -15, 0), (30, -15, 1), (30, 15, 0), (-30, 15, 1))),
    (Loop(((-6, -2, 0), (6, -2, 1), (6, 2, 0), (-6, 2, 1))),),
    (Circle(-25, 0, 1.6), Circle(25, 0, 1.6)),
)
TEXT = {"part_id": "deck", "title": "Upper deck", "material": "woven plate", "revision": "B"}


def drawn(tmp_path, outline=PLATE, **extra):
    path = tmp_path / "deck.dxf"
    write_part_dxf(path, outline, thickness_mm=2.5, quantity=3, **TEXT, **extra)
    return path


def on_layer(path, layer):
    return list(ezdxf.readfile(path).modelspace().query(f'*[layer=="{layer}"]'))


def test_header_says_millimetres_and_release_2010(tmp_path):
    document = ezdxf.readfile(drawn(tmp_path))
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.dxfversion == "AC1024"


def test_audit_finds_nothing(tmp_path):
    path = drawn(tmp_path, strokes=[[(0, 0), (5, 5)]], countersinks=[(-25, 0, 6, True)], grain_deg=45)
    auditor = ezdxf.readfile(path).audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


def test_loops_are_closed_polylines_with_bulges_and_holes_are_circles(tmp_path):
    path = drawn(tmp_path)
    (outside,), (slot,) = on_layer(path, "CUT_OUTSIDE"), on_layer(path, "CUT_INSIDE")
    for polyline, points in ((outside, PLATE.outer.vertices), (slot, PLATE.inner[0].vertices)):
        assert polyline.dxftype() == "LWPOLYLINE"
        assert polyline.closed
        assert list(polyline.get_points("xyb")) == list(points)
    holes = on_layer(path, "HOLES")
    assert [(c.dxftype(), c.dxf.center.x, c.dxf.radius) for c in holes] == [("CIRCLE", -25, 1.6), ("CIRCLE", 25, 1.6)]


def test_round_loops_become_circles(tmp_path):
    disc = Outline(circle_loop(Circle(0, 0, 20)), (circle_loop(Circle(3, 0, 4)),))
    path = drawn(tmp_path, disc)
    assert [e.dxf.radius for e in on_layer(path, "CUT_OUTSIDE")] == [pytest.approx(20)]
    assert [(e.dxf.radius, e.dxf.center.x) for e in on_layer(path, "HOLES")] == [(pytest.approx(4), pytest.approx(3))]


def test_note_names_part_material_thickness_quantity_and_lies_clear_of_the_outline(tmp_path):
    notes = on_layer(drawn(tmp_path, grain_deg=30), "NOTE")
    words = " ".join(e.dxf.text for e in notes if e.dxftype() == "TEXT")
    for word in ("deck", "Upper deck", "woven plate", "2.5 mm", "quantity 3", "revision B", "grain, 30 degrees"):
        assert word in words
    heights = [e.dxf.insert.y for e in notes if e.dxftype() == "TEXT"]
    heights += [y for e in notes if e.dxftype() == "LINE" for y in (e.dxf.start.y, e.dxf.end.y)]
    assert max(heights) < -15


def test_grain_arrow_points_along_the_grain(tmp_path):
    shaft = next(e for e in on_layer(drawn(tmp_path, grain_deg=30), "NOTE") if e.dxftype() == "LINE")
    along = shaft.dxf.end - shaft.dxf.start
    assert math.degrees(math.atan2(along.y, along.x)) == pytest.approx(30)


def test_marks_and_countersinks_have_layers_of_their_own(tmp_path):
    path = drawn(tmp_path, strokes=[[(0, 5), (3, 5), (3, 8)]], countersinks=[(-25, 0, 6, True), (25, 0, 6, False)])
    (mark,) = on_layer(path, "ENGRAVE")
    assert not mark.closed
    assert list(mark.get_points("xy")) == [(0, 5), (3, 5), (3, 8)]
    assert [e.dxf.center.x for e in on_layer(path, "COUNTERSINK_UPPER")] == [-25]
    assert [(e.dxf.center.x, e.dxf.radius) for e in on_layer(path, "COUNTERSINK_LOWER")] == [(25, 3)]
    assert any("COUNTERSINK_LOWER" in e.dxf.text for e in on_layer(path, "NOTE"))


def test_every_entity_is_on_a_named_layer(tmp_path):
    path = drawn(tmp_path, strokes=[[(0, 0), (1, 1)]], countersinks=[(0, 0, 6, True)], grain_deg=0)
    assert {e.dxf.layer for e in ezdxf.readfile(path).modelspace()} <= set(LAYERS)


def test_reading_our_own_file_gives_the_plate_without_its_marks(tmp_path):
    path = drawn(tmp_path, strokes=[[(0, 5), (3, 5)]], countersinks=[(-25, 0, 6, True)], grain_deg=0)
    (plate,) = read_loops_dxf(path)
    assert outline_area(plate) == pytest.approx(outline_area(PLATE), rel=1e-12)
    assert sorted((c.x, c.radius) for c in plate.circles) == [(-25, pytest.approx(1.6)), (25, pytest.approx(1.6))]


def test_same_part_gives_same_bytes_and_names_no_user_and_no_time():
    one, two = (part_dxf(PLATE, thickness_mm=2.5, quantity=3, **TEXT) for _ in range(2))
    assert one == two
    text = one.decode()
    assert "{00000000-0000-0000-0000-000000000000}" in text
    for name, code, value in (
        ("$TDCREATE", 40, 2451545.0),
        ("$TDUPDATE", 40, 2451545.0),
        ("$LASTSAVEDBY", 1, "platewright"),
    ):
        assert f"{name}\n{code:3d}\n{value}\n" in text


def test_library_is_left_as_it_was():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    part_dxf(PLATE, thickness_mm=2.5, quantity=3, **TEXT)
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_foreign_letters_and_line_breaks_in_a_title(tmp_path):
    path = tmp_path / "x.dxf"
    write_part_dxf(
        path, PLATE, part_id="d", title="Plåt\n100%%c", thickness_mm=2, material="m", quantity=1, revision=""
    )
    assert any("Plåt 100%c" in e.dxf.text for e in on_layer(path, "NOTE"))


def test_folder_that_does_not_exist_is_an_output_error(tmp_path):
    with pytest.raises(OutputError, match=r"deck\.dxf' cannot be written"):
        drawn(tmp_path / "none")
