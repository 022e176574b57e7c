import math

import ezdxf
import pytest
from ezdxf import units

from platewright.foundation.errors import DrawingError
from platewright.geometry.loops import bounding_box, outline_area
from platewright.io.foreign_drawing import read_loops_dxf

# Written by hand, by no library: a 2 x 1 inch plate of two lines and two half-round ends, with one hole, in any order.
BY_HAND = """0|SECTION|2|HEADER|9|$ACADVER|1|AC1015|9|$INSUNITS|70|1|0|ENDSEC|0|SECTION|2|ENTITIES
0|LINE|8|0|10|0.0|20|0.0|11|2.0|21|0.0
0|CIRCLE|8|0|10|1.0|20|0.5|40|0.125
0|LINE|8|0|10|0.0|20|1.0|11|2.0|21|1.0
0|ARC|8|0|10|2.0|20|0.5|40|0.5|50|270.0|51|90.0
0|ARC|8|0|10|0.0|20|0.5|40|0.5|50|90.0|51|270.0
0|ENDSEC|0|EOF
"""


def drawing(tmp_path, *entities, unit=units.MM, before=None):
    document = ezdxf.new("R2010", units=unit)
    if before:
        before(document)
    space = document.modelspace()
    for kind, *args in entities:
        getattr(space, f"add_{kind}")(*args)
    path = tmp_path / "given.dxf"
    document.saveas(path)
    return path


def square(size=10.0, x=0.0, y=0.0):
    return ("lwpolyline", [(x, y), (x + size, y), (x + size, y + size), (x, y + size)], "xy")


def closed(tmp_path, *entities, **options):
    path = drawing(tmp_path, *entities, **options)
    document = ezdxf.readfile(path)
    for polyline in document.modelspace().query("LWPOLYLINE"):
        polyline.close(True)
    document.saveas(path)
    return path


def test_drawing_written_by_hand_in_inches(tmp_path):
    path = tmp_path / "hand.dxf"
    path.write_text(BY_HAND.replace("|", "\n"))
    (plate,) = read_loops_dxf(path)
    inch = 25.4
    assert outline_area(plate) == pytest.approx((2 + math.pi / 4 - math.pi / 64) * inch**2, rel=1e-12)
    assert bounding_box(plate) == pytest.approx((-0.5 * inch, 0, 2.5 * inch, inch))
    assert [(c.x, c.y, c.radius) for c in plate.circles] == [pytest.approx((inch, inch / 2, inch / 8))]


@pytest.mark.parametrize(("unit", "scale"), [(units.MM, 1), (units.CM, 10), (units.M, 1000), (units.IN, 25.4)])
def test_units_of_the_header_count(tmp_path, unit, scale):
    (plate,) = read_loops_dxf(closed(tmp_path, square(), unit=unit))
    assert outline_area(plate) == pytest.approx(100 * scale**2)


@pytest.mark.parametrize(("unit", "word"), [(0, "none"), (units.FT, "Feet|ft|foot")])
def test_other_units_are_asked_for(tmp_path, unit, word):
    with pytest.raises(DrawingError, match=rf"must state its units as mm, cm, m or inch \(got ({word})"):
        read_loops_dxf(closed(tmp_path, square(), unit=unit))


def test_loose_edges_within_the_tolerance_are_joined(tmp_path):
    path = drawing(
        tmp_path,
        ("line", (0, 0), (10, 0)),
        ("line", (10, 10), (10.01, 0)),
        ("line", (0, 10), (10, 10)),
        ("line", (0, 0), (0, 10.01)),
    )
    (plate,) = read_loops_dxf(path)
    assert outline_area(plate) == pytest.approx(100, rel=2e-3)
    with pytest.raises(DrawingError, match=r"must form closed loops"):
        read_loops_dxf(path, gap_tol=0.001)


def test_open_loop_names_its_place(tmp_path):
    path = drawing(tmp_path, ("line", (0, 0), (10, 0)), ("line", (10, 0), (10, 7.5)))
    with pytest.raises(
        DrawingError, match=r"given\.dxf' cannot be read as plates: .*\(0\.000, 0\.000\) mm.*12\.5000 mm"
    ):
        read_loops_dxf(path)


def test_open_polyline_joins_lines_and_keeps_its_bulges(tmp_path):
    path = drawing(
        tmp_path,
        ("lwpolyline", [(0, 0, 0), (10, 0, 1), (10, 10, 0), (0, 10, 0)], "xyb"),
        ("line", (0, 10), (0, 0)),
    )
    (plate,) = read_loops_dxf(path)
    assert outline_area(plate) == pytest.approx(100 + math.pi * 12.5)


def test_repeated_points_of_an_open_polyline_do_not_mix_up_its_bulges(tmp_path):
    points = [(0, 0, 0), (10, 0, 0), (10, 0, 1), (10, 10, 0), (0, 10, 0), (0, 0, 0)]
    (plate,) = read_loops_dxf(drawing(tmp_path, ("lwpolyline", points, "xyb")))
    assert outline_area(plate) == pytest.approx(100 + math.pi * 12.5)


def test_islands_and_openings_nest(tmp_path):
    path = closed(tmp_path, square(40), square(30, 5, 5), square(10, 15, 15), ("circle", (20, 20), 2))
    plates = sorted(read_loops_dxf(path), key=outline_area)
    assert [round(outline_area(p), 6) for p in plates] == [round(100 - 4 * math.pi, 6), 700]


def test_blocks_are_opened_where_they_are_inserted(tmp_path):
    def with_block(document):
        block = document.blocks.new("HOLE")
        block.add_circle((0, 0), 1.5)
        outer = document.blocks.new("PAIR")
        outer.add_blockref("HOLE", (-3, 0))
        outer.add_blockref("HOLE", (3, 0))

    path = closed(tmp_path, square(20), ("blockref", "PAIR", (10, 10)), before=with_block)
    (plate,) = read_loops_dxf(path)
    assert sorted((round(c.x, 9), round(c.y, 9)) for c in plate.circles) == [(7, 10), (13, 10)]


def test_block_within_itself_is_refused(tmp_path):
    def with_block(document):
        document.blocks.new("LOOP").add_blockref("LOOP", (1, 0))

    path = drawing(tmp_path, ("blockref", "LOOP", (0, 0)), before=with_block)
    with pytest.raises(DrawingError, match="nests block 'LOOP' in itself"):
        read_loops_dxf(path)


def test_mirrored_block_keeps_its_arcs_bulging_outwards(tmp_path):
    def with_block(document):
        block = document.blocks.new("D")
        block.add_line((0, 0), (0, 10))
        block.add_arc((0, 5), 5, -90, 90)

    def area(x_scale):
        path = drawing(tmp_path, ("blockref", "D", (0, 0), {"xscale": x_scale}), before=with_block)
        (plate,) = read_loops_dxf(path)
        return outline_area(plate), bounding_box(plate)

    assert area(1) == (pytest.approx(12.5 * math.pi), pytest.approx((0, 0, 5, 10)))
    assert area(-1) == (pytest.approx(12.5 * math.pi), pytest.approx((-5, 0, 0, 10)))


@pytest.mark.parametrize("direction", [1, -1])
def test_entities_seen_from_below_are_turned_over(tmp_path, direction):
    path = drawing(
        tmp_path,
        ("arc", (0, 5), 5, -90, 90, True, {"extrusion": (0, 0, direction)}),
        ("line", (0, 0), (0, 10)),
    )
    (plate,) = read_loops_dxf(path)
    x0, _, x1, _ = bounding_box(plate)
    assert (x0, x1) == pytest.approx((0, 5) if direction > 0 else (-5, 0))


def test_old_polylines_are_read(tmp_path):
    path = drawing(tmp_path, ("polyline2d", [(0, 0, 0), (10, 0, 1), (10, 10, 0), (0, 10, 0), (0, 0, 0)], "xyb"))
    (plate,) = read_loops_dxf(path)
    assert outline_area(plate) == pytest.approx(100 + 12.5 * math.pi)


@pytest.mark.parametrize(
    ("entity", "word"),
    [
        (("spline", [(0, 0), (5, 5), (10, 0)]), "holds splines, on layer '0'"),
        (("ellipse", (0, 0), (10, 0), 0.5), "holds ellipses"),
        (("3dface", [(0, 0), (1, 0), (1, 1), (0, 1)]), "holds entities of type 3DFACE"),
        (("line", (0, 0, 0), (5, 0, 3)), "must be flat"),
        (("circle", (0, 0), 3, {"extrusion": (0, 1, 0)}), "must be flat"),
    ],
)
def test_what_cannot_be_cut_exactly_is_refused(tmp_path, entity, word):
    with pytest.raises(DrawingError, match=word):
        read_loops_dxf(closed(tmp_path, square(), entity))


def test_words_and_hidden_layers_are_passed_over(tmp_path):
    def with_layers(document):
        document.layers.add("OLD").off()
        document.layers.add("ICE").freeze()
        document.layers.add("AID", plot=False)

    path = closed(
        tmp_path,
        square(),
        ("mtext", "cut me", {"insert": (0, -5)}),
        ("line", (1, 1), (2, 2), {"layer": "OLD"}),
        ("line", (1, 1), (2, 2), {"layer": "ICE"}),
        ("line", (1, 1), (2, 2), {"layer": "AID"}),
        ("spline", [(0, 0), (5, 5), (10, 0)], 3, {"layer": "engrave"}),
        before=with_layers,
    )
    assert [outline_area(p) for p in read_loops_dxf(path)] == [pytest.approx(100)]


@pytest.mark.parametrize(
    ("entities", "word"),
    [
        ([square(10), square(10, 5, 5)], "must not cross or touch"),
        ([square(10), square(10)], "remove double lines there"),
        ([("lwpolyline", [(0, 0), (10, 10), (10, 0), (0, 10.5)], "xy")], "crosses itself"),
        ([("mtext", "nothing here")], "at least one closed loop"),
    ],
)
def test_loops_that_are_no_plates_are_refused(tmp_path, entities, word):
    with pytest.raises(DrawingError, match=word):
        read_loops_dxf(closed(tmp_path, *entities))


@pytest.mark.parametrize("content", [b"", b"hello\n", b"\0\1\2" * 40, b"0\nSECTION\n", b"AutoCAD Binary DXF\r\n\x1a\0"])
def test_what_is_no_drawing_is_said_to_be_none(tmp_path, content):
    path = tmp_path / "given.dxf"
    path.write_bytes(content)
    with pytest.raises(DrawingError, match=r"'given\.dxf' must be a complete DXF drawing") as caught:
        read_loops_dxf(path)
    assert str(tmp_path) not in str(caught.value)


def test_missing_drawing_is_named(tmp_path):
    with pytest.raises(DrawingError, match=r"'none\.dxf' does not exist"):
        read_loops_dxf(tmp_path / "none.dxf")


@pytest.mark.parametrize("share", [0.1, 0.35, 0.6, 0.8, 0.99, 0.9999])
def test_drawing_cut_short_is_refused(tmp_path, share):
    path = closed(tmp_path, square(20), ("circle", (10, 10), 3))
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * share)])
    with pytest.raises(DrawingError, match="cut short"):
        read_loops_dxf(path)
