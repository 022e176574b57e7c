"""`platewright read`: another's drawing understood, as tables, a picture, and a part ready to paste."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter
from rich.console import Console
from rich.markup import escape
from rich.table import Table
from rich.text import Text

from platewright.app.read import PlateReading, Reading, ReadOptions, picture, write_part
from platewright.app.read import read as read_drawing
from platewright.cli.tables import new_table, plain, screen
from platewright.foundation.errors import OutputError
from platewright.geometry.loops import bounding_box
from platewright.io.foreign_drawing.stanza import PartFacts
from platewright.model.catalogue import load_catalogue

__all__ = ["read"]

_MOST_ROWS = 40
_ID = r"[a-z][a-z0-9_]{0,27}"  # of 40 letters of an id, what leaves room for the names of its equipment
_Words = Annotated[list[str] | None, Parameter(consume_multiple=True)]


def read(
    drawing_file: Path,
    /,
    *,
    units: Literal["mm", "cm", "m", "inch"] | None = None,
    gap_tol_mm: float = 0.02,
    tolerance_mm: float = 0.001,
    cut: _Words = None,
    marks: _Words = None,
    border: bool = True,
    picture_file: Annotated[Path | None, Parameter(name="--picture")] = None,
    part: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    drawing: Path | None = None,
    plate: int | None = None,
    part_id: Annotated[str | None, Parameter(name="--id")] = None,
    kind: Literal["arm", "base", "deck", "brace", "side", "camera", "other"] = "other",
    thickness_mm: float | None = None,
    material: str = "plate_woven_qi",
    catalogue: Path | None = None,
) -> int:
    """Read a drawing that others made: its plates, what is recognised in them, and what is not.

    Parameters
    ----------
    drawing_file
        A DXF file, of any release.
    units
        Unit of the drawing, where its header is silent or wrong.
    gap_tol_mm
        Loose ends nearer than this are joined.
    tolerance_mm
        Splines and ellipses become arcs within this distance.
    cut
        Layers whose lines are cuts, whatever their names say.
    marks
        Layers whose lines are no cuts.
    border
        One rectangle round plates that have openings is the border of the sheet, no plate.
    picture_file
        Draw what was read: FILE.svg or FILE.png.
    part
        Write a plate as a design file, FILE.toml, or to the terminal with "-"; a clean drawing is written beside it.
    drawing
        Name of the clean drawing, FILE.dxf.
    plate
        Which plate is the part, where the drawing holds several.
    part_id
        What the part is called; the drawing's name when it is not given.
    kind
        What the part is to the frame.
    thickness_mm
        Thickness of the plate; a drawing does not tell it.
    material
        Laminate of the catalogue.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    _check_names(drawing_file, picture_file, part, drawing, thickness_mm)
    name = part_id or _identifier(drawing_file.stem)
    if not re.fullmatch(_ID, name):
        msg = f"--id must be lower-case letters, digits and underscores, a letter first, at most 28 (got '{name}')."
        raise OutputError(msg)
    records = load_catalogue(catalogue)
    options = ReadOptions(units, gap_tol_mm, tolerance_mm, tuple(cut or ()), tuple(marks or ()), border)
    reading = read_drawing(drawing_file, options, records)
    console = screen(errors=part == "-")
    _print(reading, console)
    if picture_file is not None:
        _write(picture_file, picture(reading, picture_file.suffix.lower().lstrip(".")))
        console.print(f"Picture: {escape(str(picture_file))}")
    if part is not None and thickness_mm is not None:
        target = drawing or Path(part).with_suffix(".dxf")
        facts = PartFacts(name, kind, material, thickness_mm, target.name, drawing_file.name)
        text, changes = write_part(reading, plate, facts, target, records)
        for change in changes:
            console.print(f"Changed: {escape(change)}")
        if part == "-":
            print(text)
        else:
            _write(Path(part), text.encode("utf-8"))
            console.print(f"Part: {escape(part)}, with its drawing {escape(str(target))}")
    return 0


def _check_names(
    source: Path, picture_file: Path | None, part: str | None, drawing: Path | None, thickness_mm: float | None
) -> None:
    if picture_file is not None and picture_file.suffix.lower() not in (".svg", ".png"):
        msg = f"--picture must end in .svg or .png (got '{picture_file.name}')."
        raise OutputError(msg)
    if part is None:
        if drawing is not None:
            msg = "--drawing needs --part FILE.toml beside it, or --part - for the terminal."
            raise OutputError(msg)
        return
    if thickness_mm is None:
        msg = "--part needs --thickness-mm: a drawing does not tell how thick its plate is."
        raise OutputError(msg)
    if not 0.2 <= thickness_mm <= 20:
        msg = f"--thickness-mm must be from 0.2 to 20 mm (got {thickness_mm:g})."
        raise OutputError(msg)
    if part != "-" and Path(part).suffix.lower() != ".toml":
        msg = f"--part must end in .toml, or be - for the terminal (got '{part}')."
        raise OutputError(msg)
    if part == "-" and drawing is None:
        msg = "--part - needs --drawing FILE.dxf, the name of the clean drawing."
        raise OutputError(msg)
    target = drawing or Path(part).with_suffix(".dxf")
    if target.resolve() == source.resolve():
        msg = f"the clean drawing must not take the place of '{source.name}'; name another with --drawing FILE.dxf."
        raise OutputError(msg)
    if part != "-" and target.resolve().parent != Path(part).resolve().parent:
        msg = f"the clean drawing must lie in the folder of '{part}', which names it (got '{target}')."
        raise OutputError(msg)


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        msg = f"'{path}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error


def _identifier(stem: str) -> str:
    """Return a file's name as an id of a design."""
    text = re.sub(r"[^a-z0-9]+", "_", stem.lower()).strip("_")
    return (text if text and text[0].isalpha() else f"plate_{text}")[:28].strip("_")


def _print(reading: Reading, console: Console) -> None:
    console.print(f"[bold]{escape(reading.name)}[/bold], DXF {reading.release}; units: {escape(reading.unit)}.")
    for sentence in _sentences(reading):
        console.print(escape(sentence))
    console.print(_plates(reading.plates))
    seen = [(p.number, p.seen) for p in reading.plates if p.seen is not None]
    if any(s.patterns for _, s in seen):
        console.print(_recognised(reading.plates))
    if any(n.explained for n in reading.notes):
        console.print(_explained(reading))
    rows = _unexplained(reading)
    if rows:
        table = new_table("Not explained", "what", "count", "where", "why", left=3, last=True)
        for row in rows[:_MOST_ROWS]:
            table.add_row(*map(Text, row))
        console.print(table)
        if len(rows) > _MOST_ROWS:
            console.print(f"and {len(rows) - _MOST_ROWS} more rows")
    else:
        console.print("Everything in the drawing is explained.")


def _sentences(reading: Reading) -> list[str]:
    made = [
        f"{kind.capitalize()}s on layer '{layer}' as arcs, at most {max(error, 1e-6):.2g} mm off."
        for kind, layer, error in reading.smoothed
    ]
    if reading.gaps:
        widest = max(reading.gaps, key=lambda g: g.width)
        made.append(
            f"{len(reading.gaps)} gaps closed, the widest {widest.width:.4f} mm at ({widest.x:.2f}, {widest.y:.2f}) mm."
        )
    if reading.doubles or reading.merged:
        made.append(f"{reading.doubles} doubled edges left out, {reading.merged} overlapping ones joined.")
    if reading.mended:
        made.append(f"{reading.mended} mistakes in the structure of the file were mended while reading.")
    return made


def _plates(plates: tuple[PlateReading, ...]) -> Table:
    table = new_table("Plates", "", "size mm", "area mm²", "openings", "round", "same as", left=2, last=True)
    for p in plates[:_MOST_ROWS]:
        rounds = sum(1 for o in p.plate.openings if o.circle is not None)
        chords = sum(1 for o in p.plate.openings if o.chords)
        table.add_row(
            str(p.number),
            f"{p.width_mm:.2f} x {p.height_mm:.2f}",
            f"{p.area_mm2:.2f}",
            str(len(p.plate.openings)),
            f"{rounds}" + (f" ({chords} of chords)" if chords else ""),
            "" if p.seen is not None else f"plate {p.plate.like + 1}",
        )
    if len(plates) > _MOST_ROWS:
        table.add_row("", f"and {len(plates) - _MOST_ROWS} more plates", "", "", "", "")
    return table


def _recognised(plates: tuple[PlateReading, ...]) -> Table:
    table = new_table("Recognised", "plate", "what", "at mm", "turn", "confidence", "evidence", left=3, last=True)
    rows = [(p, s) for p in plates if p.seen is not None for s in p.seen.patterns]
    for p, s in rows[:_MOST_ROWS]:
        table.add_row(
            str(p.number),
            f"{s.kind} {s.record}",
            _point(s.x, s.y),
            f"{plain(math.degrees(s.turn), 1)}°",
            f"{s.confidence:.2f}" + ("" if s.is_sure else " ?"),
            Text("; ".join(s.evidence)),
        )
    if len(rows) > _MOST_ROWS:
        table.add_row("", f"and {len(rows) - _MOST_ROWS} more", "", "", "", "")
    return table


def _explained(reading: Reading) -> Table:
    table = new_table("Not cut", "what", "count", "where", "told by", left=3, last=True)
    rows = [n for n in reading.notes if n.explained]
    for n in rows[:_MOST_ROWS]:
        table.add_row(n.what, str(n.count), Text(n.where), Text(n.why))
    if len(rows) > _MOST_ROWS:
        table.add_row(f"and {len(rows) - _MOST_ROWS} more", "", "", "")
    return table


def _unexplained(reading: Reading) -> list[tuple[str, str, str, str]]:
    rows = [(n.what, str(n.count), n.where, n.why) for n in reading.notes if not n.explained]
    for p in reading.plates:
        if p.seen is None:
            continue
        where = f"plate {p.number}"
        if not p.seen.looked:
            rows.append(("patterns", str(len(p.plate.openings)), where, "too many holes to look for patterns"))
            continue
        for k in p.seen.left:
            o = p.plate.openings[k]
            x0, y0, x1, y1 = bounding_box(o.loop)
            size = (
                f"round, {2 * o.circle.radius:.2f} mm" if o.circle is not None else f"{x1 - x0:.2f} x {y1 - y0:.2f} mm"
            )
            at = f"{where}, ({_point((x0 + x1) / 2, (y0 + y1) / 2)})"
            rows.append((f"opening {size}", "1", at, "cut as drawn; no pattern has it"))
        for s in p.seen.patterns:
            if not s.is_sure:
                what = f"{s.kind} {s.record}?"
                rows.append((what, str(len(s.openings)), f"{where}, ({_point(s.x, s.y)})", "; ".join(s.evidence)))
        rows += [("doubt", str(len(d.openings)), f"{where}, ({_point(d.x, d.y)})", d.what) for d in p.seen.doubts]
    return rows


def _point(x: float, y: float) -> str:
    return f"{plain(x, 2)}, {plain(y, 2)}"
