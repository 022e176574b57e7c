"""Read a foreign drawing: what it holds, what was recognised, what could not be explained; and what to make of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.app.read_notes import Note, instead_of_plates, notes_of
from platewright.foundation.errors import DrawingError, GeometryError, OutputError
from platewright.geometry.chain import Gap, LooseEdge
from platewright.geometry.loops import outline_area
from platewright.geometry.nesting import boxes_of
from platewright.geometry.recognise.hints import layer_hint, linetype_hint
from platewright.geometry.recognise.recognise import Recognised, recognise
from platewright.geometry.recognise.sheet import Sheet, SheetPlate, sort_sheet
from platewright.io.drawing.reading import reading_svg
from platewright.io.dxf import part_dxf
from platewright.io.foreign_drawing import (
    UNITS,
    Gathered,
    Source,
    collector_paused,
    gather,
    header_unit,
    open_document,
    settle_unit,
)
from platewright.io.foreign_drawing.stanza import PartFacts, part_text
from platewright.io.typesetting import svg_to_png
from platewright.model.catalogue import Catalogue, Laminate, load_catalogue

__all__ = ["Note", "PlateReading", "ReadOptions", "Reading", "picture", "read", "write_part"]

_SMALLEST, _LARGEST = 15.0, 3000.0  # extents of a drawing that may be plates [mm]


@dataclass(frozen=True)
class ReadOptions:
    """How a drawing is read.

    Parameters
    ----------
    units : str or None
        mm, cm, m or inch instead of what the header says.
    gap_tol_mm : float
        Loose ends nearer than this are joined [mm].
    tolerance_mm : float
        Largest distance of splines and ellipses from the arcs that stand for them [mm].
    cut, marks : tuple of str
        Layers whose lines are cuts, or are none, whatever their names say.
    border : bool
        Whether one rectangle round plates that have openings is the border of the sheet.
    """

    units: str | None = None
    gap_tol_mm: float = 0.02
    tolerance_mm: float = 0.001
    cut: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    border: bool = True


@dataclass(frozen=True)
class PlateReading:
    """A plate, its size [mm] and area [mm^2], and what was seen in it; None for one that is like an earlier one."""

    number: int
    plate: SheetPlate
    width_mm: float
    height_mm: float
    area_mm2: float
    seen: Recognised | None


@dataclass(frozen=True)
class Reading:
    """What a drawing holds.

    Parameters
    ----------
    name, release : str
        The file and the release of its format.
    unit : str
        Why the numbers are what they are.
    plates : tuple of PlateReading
        The largest first.
    notes : tuple of Note
        Everything else.
    smoothed : tuple of (str, str, float)
        Kind, layer and largest error of curves that arcs stand for [mm].
    gaps : tuple of Gap
        Gaps that were closed.
    doubles, merged, mended : int
        Edges drawn twice, edges that overlapped in part, mistakes of the file's structure.
    marks : tuple of LooseEdge
        Lines that are no cuts, for the picture.
    open_places : tuple of (float, float)
        Where lines begin that could not be explained [mm].
    """

    name: str
    release: str
    unit: str
    plates: tuple[PlateReading, ...]
    notes: tuple[Note, ...]
    smoothed: tuple[tuple[str, str, float], ...]
    gaps: tuple[Gap, ...]
    doubles: int
    merged: int
    mended: int
    marks: tuple[LooseEdge, ...]
    open_places: tuple[tuple[float, float], ...]


def read(path: Path, options: ReadOptions | None = None, catalogue: Catalogue | None = None) -> Reading:
    """Read a drawing.

    Parameters
    ----------
    path : Path
        A DXF file.
    options : ReadOptions, optional
        How to read it.
    catalogue : Catalogue, optional
        Where patterns are looked up; the shipped one when None.

    Raises
    ------
    DrawingError
        If the file cannot be read, nothing in it is a plate, its loops cross, or its units are not known.
    """
    options, catalogue = options or ReadOptions(), catalogue or load_catalogue()
    _check(options)
    with collector_paused():
        return _read(path, options, catalogue)


def picture(reading: Reading, form: str) -> bytes:
    """Draw what was read, as `svg` or `png`."""
    plates = [(p.number, p.plate, p.seen) for p in reading.plates]
    svg = reading_svg(reading.name, plates, reading.marks, reading.open_places)
    return svg_to_png(svg) if form == "png" else svg.encode("utf-8")


def write_part(
    reading: Reading,
    number: int | None,
    facts: PartFacts,
    drawing: Path,
    catalogue: Catalogue | None = None,
) -> tuple[str, tuple[str, ...]]:
    """Write the clean drawing of one plate; return its design file and what differs from the drawing that was read.

    Parameters
    ----------
    reading : Reading
        From `read`.
    number : int or None
        Number of the plate; None where there is one.
    facts : PartFacts
        What a drawing does not tell.
    drawing : Path
        The clean drawing.
    catalogue : Catalogue, optional
        Records that the design names; the shipped ones when None.

    Raises
    ------
    DrawingError
        If there are several plates and none was chosen, or the number is none of theirs.
    OutputError
        If the drawing cannot be written.
    """
    catalogue = catalogue or load_catalogue()
    catalogue.get(Laminate, facts.material)
    chosen = _chosen(reading, number)
    seen = recognise(chosen.plate, catalogue) if chosen.seen is None else chosen.seen
    made = part_text(chosen.plate, seen, catalogue, facts)
    content = part_dxf(
        made.outline,
        part_id=facts.id,
        title=f"read from {reading.name}, plate {chosen.number}",
        thickness_mm=facts.thickness_mm,
        material=facts.material,
        quantity=sum(1 for p in reading.plates if p.plate.like == chosen.plate.like),
        revision="A",
    )
    try:
        drawing.write_bytes(content)
    except OSError as error:
        msg = f"'{drawing}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error
    return made.toml, made.changes


def _read(path: Path, options: ReadOptions, catalogue: Catalogue) -> Reading:
    opened = open_document(path)
    stated = header_unit(opened.document)
    scale = UNITS[options.units] if options.units else stated.in_mm or 1.0
    found = gather(opened.document, path.name, scale, options.tolerance_mm)
    meanings = [_meaning(source, options) for source in found.sources]
    try:
        sheet = _sorted(found, meanings, options)
    except GeometryError as error:
        extent = _extent(found)
        if options.units is None and extent and (stated.in_mm is None or not _SMALLEST <= extent <= _LARGEST):
            settle_unit(path.name, stated, None, extent / scale)
        msg = f"'{path.name}' cannot be read as plates: {error}{instead_of_plates(found, meanings)}"
        raise DrawingError(msg) from error
    sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes_of([p.outline.outer for p in sheet.plates])]
    largest = max(map(max, sizes)) / scale
    _, why = settle_unit(path.name, stated, options.units, largest)
    return Reading(
        path.name,
        str(opened.document.acad_release),
        why,
        tuple(_plates(sheet, sizes, catalogue)),
        tuple(notes_of(found, meanings, sheet.remarks)),
        tuple((found.sources[k].kind, found.sources[k].layer, e) for k, e in sorted(found.smoothed.items())),
        sheet.gaps,
        sheet.doubles,
        sheet.merged,
        opened.mended,
        tuple(e for e, s in zip(found.edges, found.edge_sources, strict=True) if meanings[s]),
        tuple((r.x, r.y) for r in sheet.remarks if not r.explained),
    )


def _chosen(reading: Reading, number: int | None) -> PlateReading:
    count = len(reading.plates)
    if number is None and len({p.plate.like for p in reading.plates}) > 1:
        msg = f"'{reading.name}' holds {count} plates; say with --plate which is to be the part (1 to {count})."
        raise DrawingError(msg)
    if number is not None and not 1 <= number <= count:
        msg = f"--plate must be from 1 to {count}, the plates of '{reading.name}' (got {number})."
        raise DrawingError(msg)
    return reading.plates[(number or 1) - 1]


def _check(options: ReadOptions) -> None:
    if options.units is not None and options.units not in UNITS:
        msg = f"--units must be {' | '.join(UNITS)} (got {options.units!r})."
        raise DrawingError(msg)
    for name, value, most in (("gap", options.gap_tol_mm, 5.0), ("tolerance", options.tolerance_mm, 1.0)):
        if not 0 < value <= most:
            msg = f"the {name} must be greater than 0 and at most {most:g} mm (got {value:g})."
            raise DrawingError(msg)


def _meaning(source: Source, options: ReadOptions) -> str | None:
    """Return what the lines of a source are, or None for cuts."""
    layer = source.layer.lower()
    if layer in {name.lower() for name in options.cut}:
        return None
    if layer in {name.lower() for name in options.marks}:
        return "mark"
    return layer_hint(source.layer) or linetype_hint(source.linetype)


def _sorted(found: Gathered, meanings: Sequence[str | None], options: ReadOptions) -> Sheet:
    edges = [(e, s) for e, s in zip(found.edges, found.edge_sources, strict=True) if meanings[s] is None]
    circles = [(c, s) for c, s in zip(found.circles, found.circle_sources, strict=True) if meanings[s] is None]
    return sort_sheet(
        [e for e, _ in edges],
        [s for _, s in edges],
        [c for c, _ in circles],
        [s for _, s in circles],
        options.gap_tol_mm,
        border=options.border,
    )


def _extent(found: Gathered) -> float:
    """Largest dimension of everything that was gathered [mm]; 0 for nothing."""
    xs = [v for start, end, _ in found.edges for v in (start[0], end[0])]
    ys = [v for start, end, _ in found.edges for v in (start[1], end[1])]
    for c in found.circles:
        xs += [c.x - c.radius, c.x + c.radius]
        ys += [c.y - c.radius, c.y + c.radius]
    return max(max(xs) - min(xs), max(ys) - min(ys)) if xs else 0.0


def _plates(sheet: Sheet, sizes: Sequence[tuple[float, float]], catalogue: Catalogue) -> Iterator[PlateReading]:
    for n, (plate, (width, height)) in enumerate(zip(sheet.plates, sizes, strict=True)):
        seen = recognise(plate, catalogue) if plate.like == n else None
        yield PlateReading(n + 1, plate, width, height, outline_area(plate.outline), seen)
