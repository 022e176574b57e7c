"""Drawings of flat parts as DXF files for the cutter [mm].

A part is written as release R2010 in millimetres ($INSUNITS = 4): a CIRCLE for everything round, a closed LWPOLYLINE
with bulges for every other loop, each on a layer that says what is done there:

    CUT_OUTSIDE         the outer edge
    CUT_INSIDE          openings that are not round
    HOLES               round openings
    ENGRAVE             marks, as open lines
    COUNTERSINK_UPPER   largest circle of a countersink in the face that is seen
    COUNTERSINK_LOWER   the same in the other face
    NOTE                words and the grain arrow, outside the outline; never cut

The same part gives the same bytes: times and identifiers in the file are fixed, and no user is named.
"""

from __future__ import annotations

import contextlib
import io
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing

from platewright.foundation.errors import OutputError
from platewright.geometry.loops import Loop, Outline, bounding_box
from platewright.geometry.shapes import circle_of

__all__ = ["LAYERS", "Countersink", "add_cuts", "drawn", "part_dxf", "write_part_dxf"]

Point = tuple[float, float]
Countersink = tuple[float, float, float, bool]

# Layer names and their colour numbers of the format (7 is the background's opposite).
LAYERS = {
    "CUT_OUTSIDE": 7,
    "CUT_INSIDE": 3,
    "HOLES": 5,
    "ENGRAVE": 1,
    "COUNTERSINK_UPPER": 6,
    "COUNTERSINK_LOWER": 4,
    "NOTE": 8,
}
_TEXT_HEIGHT = 3.0  # [mm]
_LINE_PITCH = 5.0  # [mm]
_CLEAR = 8.0  # from the outline to the first line of the note [mm]
_ARROW = 20.0  # length of the grain arrow [mm]


def write_part_dxf(
    path: Path,
    outline: Outline,
    *,
    part_id: str,
    title: str,
    thickness_mm: float,
    material: str,
    quantity: int,
    revision: str,
    strokes: Iterable[Sequence[Point]] = (),
    countersinks: Iterable[Countersink] = (),
    grain_deg: float | None = None,
) -> None:
    """Write one part as a DXF file; the parameters are those of `part_dxf`.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    content = part_dxf(
        outline,
        part_id=part_id,
        title=title,
        thickness_mm=thickness_mm,
        material=material,
        quantity=quantity,
        revision=revision,
        strokes=strokes,
        countersinks=countersinks,
        grain_deg=grain_deg,
    )
    try:
        path.write_bytes(content)
    except OSError as error:
        msg = f"'{path}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error


def part_dxf(
    outline: Outline,
    *,
    part_id: str,
    title: str,
    thickness_mm: float,
    material: str,
    quantity: int,
    revision: str,
    strokes: Iterable[Sequence[Point]] = (),
    countersinks: Iterable[Countersink] = (),
    grain_deg: float | None = None,
) -> bytes:
    """Return the DXF file of one part.

    Parameters
    ----------
    outline : Outline
        The part with all its holes [mm].
    part_id, title : str
        What the part is called.
    thickness_mm : float
        Thickness of the sheet [mm].
    material : str
        What it is cut from.
    quantity : int
        Pieces for one frame [-].
    revision : str
        Revision of the design.
    strokes : iterable of sequences of (x, y)
        Engraved marks as open lines [mm].
    countersinks : iterable of (x, y, diameter, on_upper_face)
        Largest circle of each countersink [mm].
    grain_deg : float, optional
        Direction 1 of the sheet from the part's own +x; drawn as an arrow [deg].

    Examples
    --------
    >>> square = Outline(Loop(((0, 0, 0), (9, 0, 0), (9, 9, 0), (0, 9, 0))))
    >>> text = dict(part_id="pad", title="Pad", material="plate", revision="A")
    >>> part_dxf(square, thickness_mm=2, quantity=1, **text) == part_dxf(square, thickness_mm=2, quantity=1, **text)
    True
    """

    def draw(space: Any) -> None:
        lower = add_cuts(space, outline, strokes, countersinks)
        lines = [
            f"{part_id}: {title}",
            f"{material}, {thickness_mm:g} mm",
            f"quantity {quantity}, revision {revision}, dimensions in mm",
        ]
        if lower:
            lines.append("COUNTERSINK_LOWER is cut from the face away from the viewer")
        _add_note(space, outline, lines, grain_deg)

    return drawn(draw)


def drawn(draw: Callable[[Any], None]) -> bytes:
    """Return a drawing in millimetres with the layers above; `draw` is given its model space."""
    with _fixed_times_and_identifiers():
        document = ezdxf.new("R2010", units=units.MM)
        document.header["$LASTSAVEDBY"] = "platewright"
        for name, colour in LAYERS.items():
            document.layers.add(name, color=colour)
        draw(document.modelspace())
        _sort_classes(document)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode("utf-8", errors="dxfreplace")


def add_cuts(
    space: Any,
    outline: Outline,
    strokes: Iterable[Sequence[Point]] = (),
    countersinks: Iterable[Countersink] = (),
) -> bool:
    """Add everything that is cut in a part, the inside first; return whether its lower face is countersunk."""
    for circle in outline.circles:
        space.add_circle((circle.x, circle.y), circle.radius, {"layer": "HOLES"})
    for loop in outline.inner:
        _add_loop(space, loop, "CUT_INSIDE", "HOLES")
    _add_loop(space, outline.outer, "CUT_OUTSIDE", "CUT_OUTSIDE")
    for stroke in strokes:
        space.add_lwpolyline(list(stroke), format="xy", dxfattribs={"layer": "ENGRAVE"})
    lower = False
    for x, y, diameter, on_upper_face in countersinks:
        lower = lower or not on_upper_face
        layer = "COUNTERSINK_UPPER" if on_upper_face else "COUNTERSINK_LOWER"
        space.add_circle((x, y), diameter / 2, {"layer": layer})
    return lower


def _sort_classes(document: Drawing) -> None:
    """Give the CLASSES section one order: the library adds what a file needs in that of a set."""
    document.classes.add_required_classes(document.dxfversion)
    document.classes.classes = dict(sorted(document.classes.classes.items()))


@contextlib.contextmanager
def _fixed_times_and_identifiers() -> Iterator[None]:
    """Let the library write its constant dates, identifiers and version marks."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _add_loop(space: Any, loop: Loop, layer: str, layer_if_round: str) -> None:
    circle = circle_of(loop)
    if circle is None:
        space.add_lwpolyline(loop.vertices, format="xyb", close=True, dxfattribs={"layer": layer})
    else:
        space.add_circle((circle.x, circle.y), circle.radius, {"layer": layer_if_round})


def _add_note(space: Any, outline: Outline, lines: Sequence[str], grain_deg: float | None) -> None:
    """Write the lines below the outline, and the grain arrow below them; record the extents of the whole."""
    left, bottom, right, top = bounding_box(outline)
    y = bottom - _CLEAR
    for text in lines:
        plain = " ".join(text.split()).replace("%%", "%")  # two per cent signs begin a control code
        space.add_text(plain, height=_TEXT_HEIGHT, dxfattribs={"layer": "NOTE", "insert": (left, y - _TEXT_HEIGHT)})
        y -= _LINE_PITCH
    if grain_deg is not None:
        y -= _ARROW / 2 + 2 * _TEXT_HEIGHT
        _add_arrow(space, complex(left + _ARROW / 2, y), math.radians(grain_deg))
        words = {"layer": "NOTE", "insert": (left + _ARROW + _CLEAR, y - _TEXT_HEIGHT / 2)}
        space.add_text(f"grain, {grain_deg:g} degrees from x", height=_TEXT_HEIGHT, dxfattribs=words)
        y -= _ARROW / 2
    width = max(len(text) for text in lines) * _TEXT_HEIGHT  # letters are narrower than they are high
    space.reset_extents((left, y, 0), (max(right, left + width), top, 0))
    space.reset_limits((left, y), (max(right, left + width), top))


def _add_arrow(space: Any, middle: complex, turn: float) -> None:
    along = complex(math.cos(turn), math.sin(turn))
    tip, tail = middle + along * _ARROW / 2, middle - along * _ARROW / 2
    barbs = [tip + along * complex(-3, side) for side in (1.2, -1.2)]
    for start, end in ((tail, tip), (barbs[0], tip), (barbs[1], tip)):
        space.add_line((start.real, start.imag), (end.real, end.imag), {"layer": "NOTE"})
