import io
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from frames import assembled, column, plate
from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.geometry.loops import Circle, Loop, Outline, bounding_box
from platewright.io.drawing.template import TILE_HEIGHT, TILE_WIDTH, template_tiles
from platewright.io.pdf import FrameFacts, HardwareRow, PartFacts, StackRow, StepRow, frame_sheet_pdf, part_sheet_pdf
from platewright.io.pdf.frame_sheet import frame_document
from platewright.io.pdf.part_sheet import part_document, sheet_for
from platewright.io.typesetting import Document, typeset, typeset_png

PPI = 127.0  # 5 pixels to the millimetre
PER_MM = 5
FACTS = PartFacts("Loom & Plate", "Sample", "A", "woven carbon", 0.1, 12.3, 0.4, ("deck",), ("Mind the grain.",))
A4, A3 = (210, 297), (420, 297)


@cache
def frame() -> Assembly:
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    return assembled(plate("base", 4), plate("deck", 2), column("post", *stack))


def sized(width: float, height: float, n_holes: int = 4) -> FinishedPart:
    """Return a plate of a size with holes in rows."""
    corners = Loop(((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, height, 0.0), (0.0, height, 0.0)))
    holes = tuple(
        Circle(8 + (k % 10) * (width - 16) / 9, 8 + (k // 10) * (height - 16) / max(1, (n_holes - 1) // 10), 1.6)
        for k in range(n_holes)
    )
    outline = Outline(corners, (), holes)
    return replace(frame().parts["deck"], outline=outline, blank=outline)


def pages(document: Document) -> list[NDArray[np.uint8]]:
    return [np.asarray(Image.open(io.BytesIO(p)).convert("L")) for p in typeset_png(document, PPI)]


def sizes_mm(document: Document) -> list[tuple[int, int]]:
    boxes = re.findall(rb"/MediaBox\[0 0 ([\d.]+) ([\d.]+)\]", typeset(document))
    return [(round(float(w) / 72 * 25.4), round(float(h) / 72 * 25.4)) for w, h in boxes]


def frame_facts() -> FrameFacts:
    return FrameFacts(
        "Loom & Plate",
        "Sample",
        "B",
        45.6,
        (StepRow(1, "base", "4 × M3 × 8 socket", "hex 2.5", "0.9 N m"),),
        (StackRow("post", 4, "base + deck", "26", "M3 × 8", "4.0", "3 to 6"),),
        (HardwareRow("screw M3 × 8", 8, 1, "post 8"),),
        ("hex key 2.5",),
    )


def test_part_sheet_has_a_drawing_and_a_template() -> None:
    assert sizes_mm(part_document(frame().parts["deck"], FACTS)) == [A4, A4]


def test_bar_of_the_template_measures_100_mm() -> None:
    page = pages(part_document(frame().parts["deck"], FACTS))[1]
    head = page[10 * PER_MM : 13 * PER_MM, 90 * PER_MM :]
    bar = np.flatnonzero((head < 215).all(axis=0) | (head[head.shape[0] // 2] < 215))
    assert abs((bar[-1] - bar[0] + 1) - 100 * PER_MM) <= 1


@pytest.mark.parametrize("size", [(100.0, 60.0), (180.0, 40.0), (40.0, 200.0)])
def test_template_is_full_size(size: tuple[float, float]) -> None:
    page = pages(part_document(sized(*size), FACTS))[-1]
    body = page[30 * PER_MM : 262 * PER_MM]
    rows, columns = np.flatnonzero((body < 250).any(axis=1)), np.flatnonzero((body < 250).any(axis=0))
    width, height = len(range(columns[0], columns[-1] + 1)), len(range(rows[0], rows[-1] + 1))
    assert (width / PER_MM, height / PER_MM) == pytest.approx(size, abs=0.5)  # a pixel each side and half a line


def test_large_part_is_tiled_and_tiles_cover_it() -> None:
    part = sized(300.0, 250.0)
    tiles = template_tiles(part)
    assert {(t.row, t.column) for t in tiles} == {(1, 1), (1, 2), (2, 1), (2, 2)}
    assert 2 * TILE_WIDTH - 10 >= 300
    assert 2 * TILE_HEIGHT - 10 >= 250
    assert all("cut here and join" in t.svg for t in tiles)
    assert sizes_mm(part_document(part, FACTS)) == [A4] * 5  # drawn at 1:2


def test_neighbouring_tiles_show_the_same_strip() -> None:
    left, right = (t for t in template_tiles(sized(300.0, 100.0)) if t.row == 1)

    def centres(svg: str) -> list[float]:
        outline = re.search(r'fill-rule="evenodd"', svg)
        assert outline
        (path,) = re.findall(r'<path d="([^"]+)"', svg)
        return [float(run.split()[0]) for run in path.split("M")[1:]]

    shifts = {round(a - b, 3) for a, b in zip(centres(left.svg), centres(right.svg), strict=True)}
    assert shifts == {TILE_WIDTH - 10.0}


def test_template_turns_a_part_that_then_needs_fewer_pages() -> None:
    assert len(template_tiles(sized(225.0, 40.0))) == 1


@pytest.mark.parametrize(
    ("size", "paper", "scale"),
    [
        ((40.0, 20.0), "A4", "2:1"),
        ((120.0, 80.0), "A4", "1:1"),
        ((220.0, 60.0), "A4", "1:2"),
        ((500.0, 200.0), "A3", "1:2"),
        ((900.0, 500.0), "A3", "1:5"),
    ],
)
def test_paper_and_scale_follow_the_size_of_the_part(size: tuple[float, float], paper: str, scale: str) -> None:
    sheet = sheet_for(sized(*size), 4)
    assert (sheet.paper, sheet.scale_text) == (paper, scale)


def test_long_table_of_holes_has_a_page_of_its_own() -> None:
    part = sized(120.0, 100.0, 100)
    assert sizes_mm(part_document(part, FACTS)) == [A4, A4, A4]
    assert sheet_for(part, 100).table_apart


@pytest.mark.parametrize("n_holes", [1, 9, 30, 45, 60])
@pytest.mark.parametrize("size", [(60.0, 50.0), (130.0, 120.0), (150.0, 150.0)])
def test_a_sheet_never_runs_over_its_page(size: tuple[float, float], n_holes: int) -> None:
    part = sized(*size, n_holes)
    apart = sheet_for(part, n_holes).table_apart
    assert len(sizes_mm(part_document(part, FACTS))) == 2 + apart


def test_sheet_data_state_holes_in_the_part_s_own_axes() -> None:
    finished = frame().parts["deck"]
    holes = part_document(finished, FACTS).data["holes"]
    assert isinstance(holes, list)
    assert {(float(h[1]), float(h[2])) for h in holes} == {(20, 20), (-20, 20), (20, -20), (-20, -20)}
    assert all("post" in h[4] for h in holes)
    x0, _, x1, _ = bounding_box(finished.outline)
    fields = part_document(finished, FACTS).data["fields"]
    assert isinstance(fields, list)
    assert ["outline", f"{x1 - x0:g} × {x1 - x0:g} mm"] in fields


def test_coordinates_have_no_negative_zero() -> None:
    outline = Outline(sized(40.0, 40.0).outline.outer, (), (Circle(-1e-12, -1e-9, 1.0),))
    document = part_document(replace(frame().parts["deck"], outline=outline), FACTS)
    assert isinstance(document.data["holes"], list)
    assert document.data["holes"][0][1:3] == ["0.00", "0.00"]


def test_frame_sheets_are_a4_and_six() -> None:
    assert sizes_mm(frame_document(frame(), frame_facts())) == [A4[::-1]] * 6


def test_pictures_of_the_frame_sheet_are_not_scaled() -> None:
    document = frame_document(frame(), frame_facts())
    widths = {float(re.search(r'width="([\d.]+)mm"', s).group(1)) for s in document.drawings.values()}  # type: ignore[union-attr]
    assert max(widths) <= 267.0  # A4 lying less 20 and 10 mm of margin


def test_pdf_has_no_date_and_is_the_same_each_time() -> None:
    part, whole = part_sheet_pdf(frame().parts["base"], FACTS), frame_sheet_pdf(frame(), frame_facts())
    assert part == part_sheet_pdf(frame().parts["base"], FACTS)
    assert whole == frame_sheet_pdf(frame(), frame_facts())
    for made in (part, whole):
        assert made.startswith(b"%PDF-")
        assert b"CreationDate" not in made
        assert b"CreateDate" not in made


def test_names_with_typst_signs_are_printed_as_they_are() -> None:
    facts = replace(FACTS, workshop="Loom #1 & *Plate* $x$", notes=("Use #set and [brackets] \\ as written.",))
    assert len(part_sheet_pdf(frame().parts["deck"], facts)) > 1000


def test_hardware_list_of_a_usual_kit_fits_one_sheet() -> None:
    rows = tuple(HardwareRow(f"screw M3 × {n} socket 12.9", 8, 1, "deck_short 4, deck_long 4") for n in range(44))
    assert len(sizes_mm(frame_document(frame(), replace(frame_facts(), hardware=rows)))) == 6
