"""The drawing sheet of one part: dimensioned view, table of holes, title block, then its template at full size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import FinishedPart
from platewright.geometry.loops import bounding_box, cut_length, outline_area
from platewright.io.drawing.dimensions import millimetres
from platewright.io.drawing.lettering import wrapped
from platewright.io.drawing.openings import Opening, openings_of
from platewright.io.drawing.part import part_size, part_svg
from platewright.io.drawing.template import TILE_HEIGHT, TILE_WIDTH, template_tiles
from platewright.io.pdf.rows import PartFacts
from platewright.io.typesetting import Document, typeset

__all__ = ["Sheet", "part_document", "part_sheet_pdf", "sheet_for"]

_ROW, _TABLE_HEAD = 4.4, 12.0  # height of a row and of the table's head with its caption [mm]
_PURPOSE, _LETTERS = 33.0, 2.4  # width of the last column, size of its letters [mm]
_FIXED = 78.0  # head, notes and title block [mm]
_LEAST_VIEW = 45.0  # height below which the table moves to a page of its own [mm]
_ENLARGED = 80.0  # longest side of a part that is drawn at 2:1 [mm]


@dataclass(frozen=True)
class Sheet:
    """Paper and scale of a part's drawing.

    Parameters
    ----------
    paper : str
        A4 upright or A3 lying.
    width, height : float
        Of the paper [mm].
    scale : float
        Length on the page per length of the part, of ISO 5455 [-].
    columns : int
        Of the table of holes.
    table_apart : bool
        The table has a page of its own.
    """

    paper: str
    width: float
    height: float
    scale: float
    columns: int
    table_apart: bool

    @property
    def scale_text(self) -> str:
        """Scale as the title block prints it."""
        return f"{self.scale:g}:1" if self.scale >= 1 else f"1:{1 / self.scale:g}"


def part_sheet_pdf(finished: FinishedPart, facts: PartFacts) -> bytes:
    """Return the sheet of a part as PDF.

    Parameters
    ----------
    finished : FinishedPart
        The part as it is cut.
    facts : PartFacts
        What the title block says.
    """
    return typeset(part_document(finished, facts))


def part_document(finished: FinishedPart, facts: PartFacts) -> Document:
    """Return template, data and drawings of a part's sheet."""
    openings = openings_of(finished)
    sheet = sheet_for(finished, sum(_lines(opening) for opening in openings))
    tiles = template_tiles(finished)
    x0, y0, x1, y1 = bounding_box(finished.outline)
    width, height = part_size(finished, sheet.scale)
    part = finished.part
    data = {
        "title": f"{facts.frame} {part.id}",
        "frame": facts.frame,
        "part": part.id,
        "workshop": facts.workshop,
        "revision": facts.revision,
        "paper": {"name": sheet.paper, "width": sheet.width, "height": sheet.height},
        "scale": sheet.scale_text,
        "view": {"width": width, "height": height},
        "columns": sheet.columns,
        "table_apart": sheet.table_apart,
        "holes": [_row(o) for o in openings],
        "fields": [
            ["material", facts.material],
            ["thickness", f"{millimetres(float(part.thickness_mm))} ± {facts.thickness_tolerance_mm:.2f} mm"],
            ["quantity per frame", f"{finished.quantity}"],
            ["outline", f"{millimetres(x1 - x0)} × {millimetres(y1 - y0)} mm"],
            ["area", f"{outline_area(finished.outline) / 100:.2f} cm²"],
            ["length of all cuts", f"{cut_length(finished.outline):.0f} mm"],
            ["mass", f"{facts.mass_g:.2f}" + (f" ± {facts.mass_band_g:.2f}" if facts.mass_band_g else "") + " g"],
            ["grain", f"{millimetres(float(part.grain_deg))}° from x, along the 0° fibres of the sheet"],
        ],
        "extent": f"x from {millimetres(x0)} to {millimetres(x1)}, y from {millimetres(y0)} to {millimetres(y1)}",
        "places": ", ".join(facts.places),
        "notes": list(facts.notes),
        "tile": {"width": TILE_WIDTH, "height": TILE_HEIGHT},
        "tiles": [{"row": t.row, "column": t.column, "rows": t.rows, "columns": t.columns} for t in tiles],
    }
    drawings = {"view.svg": part_svg(finished, sheet.scale)}
    drawings |= {f"tile-{n}.svg": tile.svg for n, tile in enumerate(tiles, 1)}
    return Document("part_sheet", data, drawings)


def sheet_for(finished: FinishedPart, n_rows: int) -> Sheet:
    """Choose paper and scale: A4 at 2:1, 1:1 or 1:2, else A3, where view and table fit."""
    x0, y0, x1, y1 = bounding_box(finished.outline)
    scales = (2.0, 1.0, 0.5) if max(x1 - x0, y1 - y0) <= _ENLARGED else (1.0, 0.5)
    tried: list[Sheet] = []
    for paper, width, height, columns, ratios in (
        ("A4", 210.0, 297.0, 2, scales),
        ("A3", 420.0, 297.0, 4, (0.5, 0.2, 0.1, 0.05)),
    ):
        table = _TABLE_HEAD + _ROW * math.ceil(n_rows / columns) if n_rows else 0.0
        room = height - 20.0 - _FIXED
        for scale in ratios:
            w, h = part_size(finished, scale)
            apart = room - table < max(h, _LEAST_VIEW) and room - table < _LEAST_VIEW * 2
            sheet = Sheet(paper, width, height, scale, columns, apart)
            tried.append(sheet)
            if w <= width - 30.0 and h <= room - (0.0 if apart else table):
                return sheet
    return tried[-1]


def _lines(opening: Opening) -> int:
    """Count the lines of a row of the table."""
    return max(len(wrapped(_purpose(opening), _PURPOSE, _LETTERS)), 1)


def _purpose(opening: Opening) -> str:
    return "; ".join(t for t in (opening.purpose, opening.countersink) if t)


def _coordinate(value: float) -> str:
    """Write a coordinate with two decimals, without a negative zero."""
    return f"{round(value, 2) + 0.0:.2f}"


def _row(opening: Opening) -> Sequence[str]:
    return [
        opening.label,
        _coordinate(opening.x),
        _coordinate(opening.y),
        opening.size_text,
        _purpose(opening),
    ]
