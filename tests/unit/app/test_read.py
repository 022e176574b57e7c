"""Reading drawings: every way in which one can be odd, and the part that comes of it."""

import math

import ezdxf
import pytest
from ezdxf import units

from platewright.app.load import load
from platewright.app.read import ReadOptions, picture, read, write_part
from platewright.foundation.errors import CatalogueError, DrawingError, OutputError
from platewright.geometry.loops import outline_area
from platewright.io.foreign_drawing import entities
from platewright.io.foreign_drawing.stanza import PartFacts

INCHES = "its largest outline would be 4.7 mm in mm, .* 119.4 mm in inch; say which with --units mm"


def square(space, size=60.0, x=0.0, y=0.0, **attributes):
    corners = [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]
    space.add_lwpolyline(corners, close=True, dxfattribs=attributes)


def drawing(tmp_path, draw, unit=units.MM, release="R2010"):
    document = ezdxf.new(release, units=unit)
    draw(document.modelspace())
    path = tmp_path / "given.dxf"
    document.saveas(path)
    return path


def rows(reading):
    return [(note.what, note.count, note.explained) for note in reading.notes]


@pytest.mark.parametrize(
    ("unit", "size", "words"),
    [
        (0, 4.7, INCHES),
        (
            units.M,
            120,
            "says m, and its largest outline would be 120000.0 mm, not from 15 to 800 mm; it would be 120.0",
        ),
        (units.MM, 4.7, "says mm, and its largest outline would be 4.7 mm"),
        (units.FT, 5, "states units that are not read"),
    ],
)
def test_units_are_never_guessed(tmp_path, unit, size, words):
    path = drawing(tmp_path, lambda space: square(space, size), unit)
    with pytest.raises(DrawingError, match=words):
        read(path)
    assert read(path, ReadOptions(units="inch")).plates[0].width_mm == pytest.approx(size * 25.4)


def test_units_asked_for_against_the_header_are_said(tmp_path):
    path = drawing(tmp_path, lambda space: square(space, 120), units.M)
    reading = read(path, ReadOptions(units="mm"))
    assert reading.unit == "mm, as asked (the header says m); the largest outline is 120.0 mm"
    odd = read(path, ReadOptions(units="inch"))
    assert odd.unit.endswith("3048.0 mm, an unusual size for a plate")


def test_open_drawing_without_units_is_asked_for_its_units_first(tmp_path):
    with pytest.raises(DrawingError, match="states no units"):
        read(drawing(tmp_path, lambda space: space.add_line((0, 0), (60, 0)), 0))


def test_everything_that_is_no_cut_is_listed(tmp_path):
    def draw(space):
        square(space)
        space.add_line((10, 10), (30, 10))
        space.add_line((0, 50), (60, 50))
        space.add_line((10, 20), (30, 20), {"layer": "Bend_up"})
        space.add_line((10, 25), (30, 25), {"linetype": "CENTER"})
        space.add_text("hello")
        space.add_line((0, 0, 0), (3, 3, 9))
        space.add_blockref("NOWHERE", (0, 0))
        space.add_3dface([(0, 0), (1, 0), (1, 1)])
        space.add_circle((30, 30), 0)
        space.doc.layers.add("OLD").off()
        space.add_line((1, 1), (2, 2), {"layer": "OLD"})

    reading = read(drawing(tmp_path, draw))
    assert len(reading.plates) == 1
    assert sorted(rows(reading)) == sorted(
        [
            ("engraving?", 1, False),
            ("bend line?", 1, False),
            ("bend line", 1, True),
            ("construction line", 1, True),
            ("text or dimension", 1, True),
            ("not flat", 1, False),
            ("missing block", 1, False),
            ("3-D body", 1, False),
            ("not read", 1, False),
            ("hidden", 1, True),
        ]
    )


def test_layers_can_be_told_to_be_cuts_or_marks(tmp_path):
    def draw(space):
        square(space, layer="TEXT")
        space.add_circle((30, 30), 5, {"layer": "A"})

    path = drawing(tmp_path, draw)
    assert len(read(path, ReadOptions(cut=("text",))).plates[0].plate.openings) == 1
    assert rows(read(path, ReadOptions(cut=("TEXT",), marks=("a",)))) == [("mark", 1, True)]
    with pytest.raises(DrawingError, match=r"largest outline would be 10\.0 mm"):
        read(path)


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (lambda s: s.add_mtext("only words"), r"nothing in it can be cut; .* It holds 1 MTEXT \(text or dimension\)"),
        (lambda s: s.add_3dface([(0, 0), (1, 0), (1, 1)]), r"It holds 1 3DFACE \(3-D body\)"),
        (lambda s: None, "It holds nothing at all"),
        (lambda s: square(s, layer="ENGRAVE"), r"no cuts by the name of their layer, 'ENGRAVE' \(--cut takes"),
        (
            lambda s: s.add_lwpolyline([(0, 0), (60, 40), (60, 0), (0, 40)], close=True),
            r"cross itself.*\(30\.000, 20\.000\)",
        ),
        (lambda s: (square(s), square(s, 60, 30, 30)), "must not cross or touch"),
        (
            lambda s: (s.add_lwpolyline([(0, 0), (60, 0), (60, 60), (0, 60), (0, 1)]), square(s, 5, 9, 9)),
            "is open; .* 1.0000",
        ),
    ],
)
def test_what_is_no_plate_is_said_in_a_sentence(tmp_path, draw, words):
    with pytest.raises(DrawingError, match=words) as caught:
        read(drawing(tmp_path, draw))
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "it is empty"),
        (b"  \r\n ", "it is empty"),
        (b"AC1032\0\0\0", "a DWG drawing"),
        (b"%PDF-1.7", "a PDF"),
        ("0\nSECTION\n".encode("utf-16"), "text in UTF-16"),
        (b"\0\1\2\3" * 99, "none, or is damaged or cut short"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n", "cut short"),
        (b"hello, world\n", "none, or is damaged or cut short"),
    ],
)
def test_what_is_no_dxf_is_named(tmp_path, content, words):
    path = tmp_path / "given.dxf"
    path.write_bytes(content)
    with pytest.raises(DrawingError, match=f"must be a complete DXF drawing; it is .*{words}|{words}"):
        read(path)


def test_binary_dxf_and_other_encodings_are_read(tmp_path):
    def draw(space):
        square(space, layer="Außenkontur")
        space.add_circle((30, 30), 4)
        space.add_line((5, 5), (9, 5), {"layer": "Maße"})

    path = drawing(tmp_path, draw, release="R2000")
    document = ezdxf.readfile(path)
    document.saveas(path, fmt="bin")
    assert rows(read(path)) == [("dimension", 1, True)]
    document.encoding = "cp1252"
    document.saveas(path, encoding="cp1252")
    assert rows(read(path)) == [("dimension", 1, True)]


def half_with_blocks(space):
    """Half a plate, with a pad of holes in a block in a block, and its mirror image; an array of four holes."""
    blocks = space.doc.blocks
    blocks.new("HOLE").add_circle((0, 0), 1.6)
    pad = blocks.new("PAD")
    for x, y in ((8, 0), (0, 8), (-8, 0), (0, -8)):
        pad.add_blockref("HOLE", (x, y))
    pad.add_circle((0, 0), 3)
    half = blocks.new("HALF")
    half.add_line((0, -20), (60, -20))
    half.add_arc((60, 0), 20, -90, 90)
    half.add_line((60, 20), (0, 20))
    half.add_blockref("PAD", (60, 0), {"rotation": 45})
    space.add_blockref("HALF", (0, 0))
    space.add_blockref("HALF", (0, 0), {"xscale": -1})
    array = space.add_blockref("HOLE", (-15.25, -15.25))
    array.dxf.column_count = array.dxf.row_count = 2
    array.dxf.column_spacing = array.dxf.row_spacing = 30.5


def test_blocks_nested_mirrored_and_in_arrays(tmp_path):
    (plate,) = read(drawing(tmp_path, half_with_blocks)).plates
    holes = 12 * math.pi * 1.6**2 + 2 * math.pi * 9
    assert plate.area_mm2 == pytest.approx(120 * 40 + math.pi * 400 - holes)
    assert [p.record for p in plate.seen.patterns] == ["16x16", "16x16", "30.5x30.5"]


def test_blocks_that_multiply_without_end_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(entities, "_MOST_ENTITIES", 5000)

    def draw(space):
        square(space)
        space.doc.blocks.new("B0")
        for n in range(1, 8):
            array = space.doc.blocks.new(f"B{n}").add_blockref(f"B{n - 1}", (0, 0))
            array.dxf.column_count = array.dxf.row_count = 100
            array.dxf.column_spacing = array.dxf.row_spacing = 1
        space.add_blockref("B7", (0, 0))

    with pytest.raises(DrawingError, match="must not hold more than 5000 entities"):
        read(drawing(tmp_path, draw))


FACTS = PartFacts("plate", "base", "plate_woven_qi", 4.0, "plate.dxf", "given.dxf")


def built(tmp_path, draw, number=None):
    reading = read(drawing(tmp_path, draw))
    text, changes = write_part(reading, number, FACTS, tmp_path / "plate.dxf")
    (tmp_path / "plate.toml").write_text(text, encoding="utf-8")
    finished = load(tmp_path / "plate.toml", cache=tmp_path / "cache").assembly.parts["plate"]
    return reading, finished, changes


def places(circles, origin=(0.0, 0.0)):
    return sorted(
        (round(c.x - origin[0], 4) + 0.0, round(c.y - origin[1], 4) + 0.0, round(c.radius, 4)) for c in circles
    )


def test_part_that_was_written_builds_the_plate_that_was_read(tmp_path):
    reading, finished, changes = built(tmp_path, half_with_blocks)
    (plate,) = reading.plates
    assert changes == ()
    assert places(finished.outline.circles) == places(plate.plate.outline.circles)
    assert outline_area(finished.outline) == pytest.approx(plate.area_mm2, rel=1e-9)
    assert outline_area(finished.blank) == pytest.approx(120 * 40 + math.pi * 400)


def test_motors_turned_alike_round_a_shifted_middle(tmp_path):
    def draw(space):
        square(space, 200, 100, 50)
        for n in range(4):
            middle = complex(200, 150) + 80 * complex(*((1, 1), (-1, 1), (-1, -1), (1, -1))[n])
            bearing = math.atan2((middle.imag - 150), (middle.real - 200))
            for k in range(4):
                turn = bearing + (1 if n % 2 == 0 else -1) * math.radians(20) + k * math.pi / 2
                space.add_circle((middle.real + 8 * math.cos(turn), middle.imag + 8 * math.sin(turn)), 1.6)
            space.add_circle((middle.real, middle.imag), 2)
        space.add_lwpolyline([(190, 140), (210, 140), (210, 160), (190, 160)], close=True)

    reading, finished, changes = built(tmp_path, draw)
    assert len(changes) == 4  # middle holes of 4 mm become those under the motors' shafts
    drawn = [c for c in reading.plates[0].plate.outline.circles if c.radius < 1.9]
    made = [c for c in finished.outline.circles if c.radius < 1.9]
    assert places(made) == places(drawn, (200.0, 150.0))
    assert len(finished.outline.inner) == 1


def test_motors_that_are_not_turned_alike_stay_in_the_drawing(tmp_path):
    def draw(space):
        square(space, 160, -80, -80)
        for x, y, start in ((50, 50, 0), (-50, 50, 0), (-50, -50, 10), (50, -50, 0)):
            for k in range(4):
                turn = math.radians(start) + k * math.pi / 2
                space.add_circle((x + 8 * math.cos(turn), y + 8 * math.sin(turn)), 1.6)

    reading, finished, changes = built(tmp_path, draw)
    assert changes == ("the motors are not turned alike, so their holes stay in the drawing",)
    assert places(finished.blank.circles) == places(reading.plates[0].plate.outline.circles)


def test_straps_pairs_and_odd_holes(tmp_path):
    def draw(space):
        square(space, 100, -50, -50)
        for y in (-14, 14):
            space.add_lwpolyline(
                [(-9.25, y - 1.5, 0), (9.25, y - 1.5, 1), (9.25, y + 1.5, 0), (-9.25, y + 1.5, 1)], "xyb", close=True
            )
            space.add_circle((40, y), 1.6)
        space.add_circle((-40, 0), 3.25)
        space.add_circle((-40, 20), 5.55)

    reading, finished, changes = built(tmp_path, draw)
    assert [p.kind for p in reading.plates[0].seen.patterns] == ["standoff pair", "strap", "antenna"]
    assert changes == ()
    assert outline_area(finished.outline) == pytest.approx(reading.plates[0].area_mm2, rel=1e-9)
    assert len(finished.blank.circles) == 1  # the hole of 11.1 mm stays in the drawing


def test_one_of_several_plates_must_be_chosen(tmp_path):
    def draw(space):
        square(space)
        square(space, 40, 100)

    with pytest.raises(DrawingError, match=r"holds 2 plates; say with --plate"):
        built(tmp_path, draw)
    with pytest.raises(DrawingError, match=r"--plate must be from 1 to 2.*\(got 3\)"):
        built(tmp_path, draw, 3)
    _, finished, _ = built(tmp_path, draw, 2)
    assert outline_area(finished.outline) == pytest.approx(1600)


def test_part_needs_a_known_material_and_a_folder(tmp_path):
    reading = read(drawing(tmp_path, square))
    with pytest.raises(CatalogueError):
        write_part(reading, None, PartFacts("p", "base", "cheese", 2, "p.dxf", "x"), tmp_path / "p.dxf")
    with pytest.raises(OutputError, match="cannot be written"):
        write_part(reading, None, FACTS, tmp_path / "nowhere" / "p.dxf")


def test_picture_shows_what_was_seen(tmp_path):
    reading = read(drawing(tmp_path, half_with_blocks))
    svg = picture(reading, "svg").decode()
    assert all(word in svg for word in (">M1<", ">M2<", ">B1<", "motor 16x16, confidence 1.00"))
    assert svg == picture(reading, "svg").decode()
    assert picture(reading, "png").startswith(b"\x89PNG")


def test_options_out_of_range_are_refused(tmp_path):
    path = drawing(tmp_path, square)
    with pytest.raises(DrawingError, match="gap must be greater than 0"):
        read(path, ReadOptions(gap_tol_mm=0))
    with pytest.raises(DrawingError, match="--units must be mm"):
        read(path, ReadOptions(units="furlong"))
