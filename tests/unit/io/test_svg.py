import io
import itertools
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image

from frames import assembled, column, equipment, plate, two_plates
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import OutputError
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Circle, Loop, Outline, bounding_box, outline_area, transform_outline
from platewright.io.drawing.canvas import Canvas
from platewright.io.drawing.dimensions import spread
from platewright.io.drawing.exploded import exploded, exploded_svg
from platewright.io.drawing.labels import Anchor, place_labels
from platewright.io.drawing.lines import lines_svg
from platewright.io.drawing.marks import mark_strokes
from platewright.io.drawing.openings import openings_of
from platewright.io.drawing.paths import Projection, outline_path
from platewright.io.drawing.relief import Extent, extents, painting_order
from platewright.io.drawing.silhouettes import FRONT, SIDE, TOP, figures
from platewright.io.drawing.template import template_tiles
from platewright.io.svg import part_svg, plan_svg, side_svg, stack_svg
from platewright.io.typesetting import svg_to_png
from platewright.model.outline import Mark

NS = "{http://www.w3.org/2000/svg}"
STACK = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")


@cache
def frame() -> Assembly:
    motors = equipment(
        "motor", {"motor": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "base", "motor.motor"]
    )
    props = equipment("prop", {"propeller": "prop_5in", "nut": "prop_nut_m5_right"}, at="rotors", on="motor")
    return assembled(plate("base", 4, (230, 230)), plate("deck", 2), column("post", *STACK), motors, props)


def parsed(svg: str) -> ET.Element:
    root = ET.fromstring(svg)
    width, height = root.attrib["width"], root.attrib["height"]
    assert root.attrib["viewBox"] == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
    return root


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in parsed(svg).iter(f"{NS}text")]


def area_of_path(path: str) -> float:
    """Area enclosed by a path of M, L, A and Z [mm^2], each closed run counted positive."""
    total, runs = [], path.split("M")[1:]
    for run in runs:
        numbers = [[float(v) for v in re.findall(r"-?[\d.]+", part)] for part in re.split(r"(?=[LA])", run)]
        points = [numbers[0], *(n[-2:] for n in numbers[1:])]
        area = 0.0
        for a, n in zip(points, numbers[1:], strict=False):
            b = n[-2:]
            area += (a[0] * b[1] - a[1] * b[0]) / 2
            if len(n) == 7:
                radius, large, sweep = n[0], n[3], n[4]
                chord = math.dist(a, b)
                angle = 2 * math.asin(min(1.0, chord / 2 / radius))
                angle = 2 * math.pi - angle if large else angle
                area += (1 if sweep else -1) * radius**2 / 2 * (angle - math.sin(angle))
        a, b = points[-1], points[0]
        area += (a[0] * b[1] - a[1] * b[0]) / 2
        total.append(abs(area))
    return total[0] - sum(total[1:])


ROUNDED = Outline(
    Loop(
        ((0.0, 0.0, 0.0), (30.0, 0.0, math.tan(math.pi / 8)), (40.0, 10.0, 0.0), (40.0, 20.0, -0.3), (0.0, 20.0, 1.5))
    ),
    (Loop(((5.0, 5.0, 0.0), (9.0, 5.0, 1.0), (9.0, 9.0, 0.0), (5.0, 9.0, 1.0))),),
    (Circle(20.0, 10.0, 1.6), Circle(30.0, 12.0, 2.5)),
)


@pytest.mark.parametrize("flip", [False, True])
@pytest.mark.parametrize("scale", [0.5, 1.0, 2.0])
def test_path_with_arcs_encloses_the_outline_s_area(flip: bool, scale: float) -> None:
    moved = transform_outline(ROUNDED, Isometry.from_turn(0.7, 3.0, -4.0, flip))
    path = outline_path(moved, Projection.upright(scale, 50.0, 60.0))
    assert path.count("A") == 1 + 1 + 3 + 2 * 2 + 2 * 4  # pieces of a quarter turn at most
    # coordinates are written to 1 um; over a boundary of 170 mm that is up to 0.09 of 830 mm^2, mostly far less
    assert area_of_path(path) == pytest.approx(outline_area(ROUNDED) * scale**2, rel=2e-4)


def test_path_seen_at_an_angle_is_drawn_as_chords() -> None:
    squeezed = Projection(1.0, 0.0, 0.0, -0.8)
    path = outline_path(ROUNDED, squeezed)
    assert "A" not in path
    assert area_of_path(path) == pytest.approx(outline_area(ROUNDED) * 0.8, rel=5e-3)


def test_part_drawing_has_one_closed_run_per_opening_and_labels_each() -> None:
    for finished in frame().parts.values():
        root = parsed(part_svg(finished))
        (outline,) = (p for p in root.iter(f"{NS}path") if p.attrib.get("fill-rule") == "evenodd")
        runs = outline.attrib["d"].count("M")
        assert runs == 1 + len(finished.outline.inner) + len(finished.outline.circles)
        assert area_of_path(outline.attrib["d"]) == pytest.approx(outline_area(finished.outline), rel=1e-4)
        labels = {o.label for o in openings_of(finished)}
        assert labels <= set(texts(part_svg(finished)))
        assert len(labels) == runs - 1


def test_part_drawing_states_its_overall_size() -> None:
    finished = frame().parts["deck"]
    x0, _, x1, _ = bounding_box(finished.outline)
    assert f"{x1 - x0:g}" in texts(part_svg(finished, 0.5))


def test_openings_carry_a_letter_per_diameter_and_say_what_for() -> None:
    openings = openings_of(frame().parts["base"])
    by_letter: dict[str, set[float]] = {}
    for o in openings:
        by_letter.setdefault(o.label[0], set()).add(round(o.width, 6))
    assert all(len(sizes) == 1 for sizes in by_letter.values())
    assert sum("post" in o.purpose for o in openings) == 4
    assert sum("motor" in o.purpose for o in openings) >= 16


def test_plan_shows_every_rotor_spacing_and_plate() -> None:
    written = texts(plan_svg(frame(), mass_g=123.4))
    assert {"1 cw", "2 ccw", "3 cw", "4 ccw"} <= set(written)
    assert written.count("200") == 2  # fore-aft and lateral, at their dimension lines
    assert "wheelbase 282.8" in written
    assert "123.4 g" in written
    assert {"deck, 2 mm", "base, 4 mm"} <= set(written)


def test_plan_draws_rotor_discs_at_their_place_and_size() -> None:
    root = parsed(plan_svg(frame()))
    discs = [c for c in root.iter(f"{NS}circle") if "stroke-dasharray" in c.attrib]
    assert len(discs) == 4
    xs = sorted(float(c.attrib["cx"]) for c in discs)
    radius = float(discs[0].attrib["r"])
    (diameter,) = (t for t in texts(plan_svg(frame())) if t.endswith(" mm") and t.startswith("129"))
    assert 2 * radius / (xs[-1] - xs[0]) == pytest.approx(float(diameter.split()[0]) / 200, rel=1e-3)


def test_plan_paints_higher_plates_later() -> None:
    classes = [p.attrib.get("class", "") for p in parsed(plan_svg(frame())).iter(f"{NS}path")]
    assert classes.index("plate base") < classes.index("plate deck")


def test_side_view_prints_heights_with_tolerance() -> None:
    assembly = frame()
    height = assembly.levels.level["deck"].at(0.0, 0.0)
    assert height.worst > 0
    assert f"{height.nominal:.2f} ± {height.worst:.2f}" in texts(side_svg(assembly))


def test_silhouette_of_a_plate_seen_edge_on_is_its_thickness() -> None:
    for view in (SIDE, FRONT):
        (deck,) = (f for f in figures(frame().bodies, view) if f.body.name == "deck")
        x0, y0, x1, y1 = deck.box
        assert (x1 - x0, y1 - y0) == pytest.approx((60.0, 2.0))
    (seen,) = (f for f in figures(frame().bodies, TOP) if f.body.name == "deck")
    assert seen.polygon(64).area == pytest.approx(outline_area(frame().parts["deck"].outline), rel=1e-3)


def test_column_is_drawn_with_names_heights_and_engagement() -> None:
    assembly = frame()
    svg = stack_svg(assembly, "post")
    written = " ".join(texts(svg))
    for words in ("base  4 ±", "standoff M3x20", "deck  2 ±", "M3 × ", "in the standoff", "wanted at least 3"):
        assert words in written
    screw = next(s for s in assembly.screws if s.line.name == "post.1")
    assert f"{screw.engagement.nominal:.2f} ± {screw.engagement.worst:.2f}" in written


def test_air_in_a_column_is_hatched() -> None:
    gapped = assembled(
        plate("base", 4),
        plate("deck", 2),
        column("post", *STACK, sets_level=["deck"]),
        column("tie", "screw M3 socket 12.9", "base", "standoff M3x18", "gap", "deck", at=((10, 10),)),
    )
    svg = stack_svg(gapped, "tie")
    assert "url(#air)" in svg
    assert "air 2.00" in texts(svg)
    assert "url(#air)" not in stack_svg(gapped, "post")


def test_unknown_column_is_refused_with_near_names() -> None:
    with pytest.raises(KeyError, match=r"near: post\."):
        stack_svg(frame(), "pots")


def test_pictures_are_the_same_each_time() -> None:
    again = assembled(*two_plates(*STACK))
    first = assembled(*two_plates(*STACK))
    for draw in (plan_svg, side_svg, exploded_svg):
        assert draw(first) == draw(again)
    assert svg_to_png(side_svg(first), 72) == svg_to_png(side_svg(again), 72)


@pytest.mark.parametrize("ppi", [60, 110, 130, 254])
@pytest.mark.parametrize("size", [(289.0, 202.0), (289.0, 112.3), (97.13, 55.9)])
def test_png_keeps_every_row_of_pixels(ppi: float, size: tuple[float, float]) -> None:
    pixel = 25.4 / ppi
    canvas = Canvas(*size, "rows")
    rows = int(size[1] / pixel)
    for k in range(0, rows, 2):
        canvas.rectangle(0.0, round(k * pixel, 3), size[0], round(pixel, 3), fill="#000000")
    picture = np.asarray(Image.open(io.BytesIO(svg_to_png(canvas.svg(), ppi))).convert("L"))
    assert ((picture[:rows, 5] < 128) == (np.arange(rows) % 2 == 0)).all()


def test_png_of_a_hundred_millimetres_has_the_right_width() -> None:
    canvas = Canvas(120.0, 20.0, "bar")
    canvas.rectangle(10.0, 5.0, 100.0, 5.0, fill="#000000")
    picture = np.asarray(Image.open(io.BytesIO(svg_to_png(canvas.svg(), 254.0))).convert("L"))
    dark = np.flatnonzero(picture[75] < 128)
    assert abs(len(dark) - 1000) <= 1
    assert abs(dark[0] - 100) <= 1


@pytest.mark.parametrize("ppi", [0, 19, 1201, math.inf])
def test_png_resolution_out_of_range_is_refused(ppi: float) -> None:
    with pytest.raises(OutputError, match="from 20 to 1200"):
        svg_to_png(Canvas(10.0, 10.0, "x").svg(), ppi)


def test_png_of_a_foreign_svg_is_refused() -> None:
    with pytest.raises(OutputError, match="width and height in mm"):
        svg_to_png("<svg/>")


def test_names_in_a_drawing_are_escaped() -> None:
    canvas = Canvas(10.0, 10.0, "a < b & c")
    canvas.text(1.0, 1.0, '"<&>')
    root = parsed(canvas.svg())
    assert root.find(f"{NS}title").text == "a < b & c"  # type: ignore[union-attr]
    assert texts(canvas.svg()) == ['"<&>']


def test_labels_do_not_cover_one_another() -> None:
    anchors = [Anchor(f"A{n}", 10.0 + 4.0 * (n % 6), 10.0 + 4.0 * (n // 6), 1.6, 1.6) for n in range(24)]
    placed = place_labels(anchors, [], 2.2)
    for n, a in enumerate(placed):
        for b in placed[n + 1 :]:
            apart_x = abs(a.x - b.x) >= (a.width + b.width) / 2 - 1e-9
            apart_y = abs(a.y - b.y) >= (a.height + b.height) / 2 - 1e-9
            assert apart_x or apart_y


def test_spread_keeps_distance_order_and_bounds() -> None:
    places = spread([3.0, 3.1, 3.2, 9.8, 9.9], 1.5, 0.0, 10.0)
    assert places == sorted(places)
    assert all(b - a >= 1.5 - 1e-9 for a, b in itertools.pairwise(places))
    assert places[0] >= 0.0
    assert places[-1] <= 10.0


def test_exploded_bodies_keep_their_order_and_stand_apart() -> None:
    assembly = frame()
    moved = {b.name: extents(b) for b in exploded(assembly, 30.0)}
    assert moved["deck"].low[2] - moved["base"].high[2] > 30.0
    bottom = moved["post.1#1"]
    top = moved["post.1#5"]
    assert bottom.high[2] < moved["base"].low[2] + 4.0
    assert top.low[2] > moved["deck"].high[2] - 2.0
    assert moved["base"].high[2] < moved["post.1#3"].low[2] < moved["post.1#3"].high[2] < moved["deck"].low[2]


def test_painting_order_puts_covered_boxes_first() -> None:
    low = Extent((0.0, 0.0, 0.0), (50.0, 50.0, 2.0))
    high = Extent((-5.0, -5.0, 10.0), (5.0, 5.0, 12.0))
    left = Extent((0.0, 20.0, 4.0), (5.0, 25.0, 8.0))
    right = Extent((0.0, -30.0, 4.0), (5.0, -25.0, 8.0))
    order = painting_order([high, right, left, low], (1.0, -1.3, 1.0))
    assert order.index(3) < order.index(0)
    assert order.index(2) < order.index(1)


def test_lines_are_fitted_to_their_picture() -> None:
    class View:
        visible = (((0.0, 0.0), (100.0, 50.0)),)
        hidden = (((0.0, 50.0), (100.0, 0.0)),)

    svg = lines_svg(View(), (208.0, 100.0), "view", show_hidden=True)
    paths = [p.attrib for p in parsed(svg).iter(f"{NS}path")]
    assert len(paths) == 2
    assert "stroke-dasharray" in paths[0]
    assert paths[1]["d"] == "M12 96 L196 4"


@pytest.mark.parametrize("turn", [0.0, 90.0, -30.0])
def test_mark_lies_about_its_middle(turn: float) -> None:
    mark = Mark(text="H", at_mm=(12.0, -7.0), height_mm=6.0, turn_deg=turn)
    points = [p for stroke in mark_strokes(mark) for p in stroke]
    middle = sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
    assert middle == pytest.approx((12.0, -7.0), abs=0.1)
    assert max(math.dist(p, middle) for p in points) == pytest.approx(math.hypot(3.0, 2.0), abs=0.1)


def test_marks_are_drawn_on_the_part_and_on_its_template() -> None:
    finished = frame().parts["deck"]
    mark = Mark(text="L", at_mm=(0, 0), height_mm=5)
    marked = replace(finished, part=finished.part.model_copy(update={"marks": (mark,)}))
    for draw in (part_svg, lambda f: template_tiles(f)[0].svg):
        plain, drawn = (len(list(parsed(draw(f)).iter(f"{NS}polyline"))) for f in (finished, marked))
        assert drawn == plain + 1


def test_countersunk_head_is_drawn_as_a_cone_within_the_plate() -> None:
    sunk = assembled(*two_plates("screw M3 countersunk 10.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9"))
    cones = [p for p in parsed(stack_svg(sunk, "post")).iter(f"{NS}polygon") if p.attrib.get("stroke")]
    assert len(cones) == 1
    assert not [p for p in parsed(stack_svg(frame(), "post")).iter(f"{NS}polygon") if p.attrib.get("stroke")]


def test_rotors_without_propellers_keep_their_numbers() -> None:
    bare = assembled(*two_plates(*STACK), rotors="fore_aft_mm = 200\nlateral_mm = 200\ncoaxial = true")
    numbered = [t for t in texts(plan_svg(bare)) if re.fullmatch(r"\d c?cw( below)?", t)]
    assert sorted(int(t[0]) for t in numbered) == list(range(1, 9))
    assert sum("below" in t for t in numbered) == 4


def test_a_frame_without_anything_still_draws() -> None:
    empty = assembled()
    for draw in (plan_svg, side_svg, exploded_svg):
        parsed(draw(empty))
