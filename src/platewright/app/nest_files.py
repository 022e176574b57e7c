"""The files of a nest: sheets as DXF and pictures, pieces and rests as CSV, everything as JSON, a manifest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import shapely

from platewright.assembly.assemble import FinishedPart
from platewright.foundation.cautions import CAUTIONS
from platewright.geometry.loops import Isometry, Outline, to_shapely, transform_outline
from platewright.io.drawing.marks import mark_strokes
from platewright.io.drawing.sheet import sheet_svg
from platewright.io.dxf import Countersink
from platewright.io.folder import write_manifest
from platewright.io.nest_tables import pieces_csv, rests_csv
from platewright.io.sheet_dxf import SheetPiece, sheet_dxf
from platewright.study.nest_results import NestedPiece, NestReport
from platewright.study.nesting import NestJob

__all__ = ["NEST_FILE", "countersinks_of", "write_nest"]

NEST_FILE = "nest.json"
_CHORDS = 8  # in a quarter circle, for where a name stands
_ABOUT = 0.5  # how exactly that is found [mm]


def write_nest(folder: Path, report: NestReport, jobs: Sequence[NestJob], text: str) -> None:
    """Write the files of a nest into an empty folder; `text` is the report as JSON."""
    for row, job in zip(report.groups, jobs, strict=True):
        for number, sheet in enumerate(row.sheets, 1):
            pieces = [_piece(job, piece) for piece in sheet.pieces]
            clamps = [(*c.at_mm, *c.size_mm) for c in job.records[sheet.stock].clamps]
            title = f"{row.thickness_mm:g} mm {row.material}, sheet {number} of {len(row.sheets)}"
            if sheet.is_offcut:
                title += f", offcut {sheet.stock}"
            content = sheet_dxf(title, sheet.length_mm, sheet.width_mm, clamps, pieces)
            (folder / f"{sheet.id}.dxf").write_bytes(content)
            (folder / f"{sheet.id}.svg").write_bytes(sheet_svg(sheet, title, clamps, pieces).encode())
    (folder / NEST_FILE).write_bytes(f"{text}\n".encode())
    (folder / "pieces.csv").write_bytes(pieces_csv(report).encode())
    (folder / "rests.csv").write_bytes(rests_csv(report).encode())
    facts = {
        "kits": {k.frame: k.kits for k in report.kits},
        "sheets": report.sheets,
        "cautions": list(CAUTIONS[:1]),
    }
    write_manifest(folder, facts)


def countersinks_of(finished: FinishedPart) -> list[Countersink]:
    """Return the countersinks of a part: x, y, diameter [mm], and whether in its upper face."""
    return [
        (hole.x, hole.y, sink.diameter, sink.on_upper_face)
        for hole in finished.holes.holes
        for sink in hole.countersinks
    ]


def _piece(job: NestJob, row: NestedPiece) -> SheetPiece:
    """Return a piece as it lies, with its marks and countersinks."""
    _, finished = job.finished[f"{row.frame}/{row.part}"]
    motion = Isometry.from_turn(math.radians(row.turn_deg), row.x_mm, row.y_mm, False)
    outline = transform_outline(finished.outline, motion)
    strokes = tuple(
        tuple(motion.apply(x, y) for x, y in stroke) for mark in finished.part.marks for stroke in mark_strokes(mark)
    )
    sinks = tuple((*motion.apply(x, y), d, upper) for x, y, d, upper in countersinks_of(finished))
    return SheetPiece(outline, f"{row.number} {row.frame}/{row.part}", _widest(outline), strokes, sinks)


def _widest(outline: Outline) -> tuple[float, float]:
    """Return the middle of the widest place of a piece [mm]."""
    line = shapely.maximum_inscribed_circle(to_shapely(outline, _CHORDS), tolerance=_ABOUT)
    x, y = line.coords[0]
    return float(x), float(y)
