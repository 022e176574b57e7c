"""Closed loops of a part's own drawing, strictly: what cannot be cut exactly, or does not close, is refused.

Layers that are off or frozen, layers that do not plot, and our own layers of marks and notes are passed over, and so
are texts, dimensions and hatches. A drawing that is refused here may still be understood by `platewright read`.
"""

from __future__ import annotations

from pathlib import Path

from platewright.foundation.errors import DrawingError, GeometryError
from platewright.geometry.chain import chain_edges
from platewright.geometry.loops import Loop, Outline, circle_loop
from platewright.geometry.nesting import nest_loops, rings_of, self_crossing
from platewright.io.foreign_drawing.document import open_document
from platewright.io.foreign_drawing.entities import gather
from platewright.io.foreign_drawing.gathered import Gathered
from platewright.io.foreign_drawing.scale import header_unit

__all__ = ["read_loops_dxf"]

_NOT_CUT = {"ENGRAVE", "COUNTERSINK_UPPER", "COUNTERSINK_LOWER", "NOTE", "DEFPOINTS"}
_SMOOTH = {"SPLINE": "splines", "ELLIPSE": "ellipses"}


def read_loops_dxf(path: Path, gap_tol: float = 0.02) -> list[Outline]:
    """Return the plates that the closed loops of a drawing form.

    Parameters
    ----------
    path : Path
        A DXF file that states its units: mm, cm, m or inch.
    gap_tol : float
        Ends of loose edges nearer than this are one point [mm].

    Raises
    ------
    DrawingError
        If the file is no DXF or is cut short, states no units, holds nothing to cut, holds curves that are not read,
        or if its edges do not form closed loops apart from one another.
    """
    document, name = open_document(path).document, path.name
    unit = header_unit(document)
    if unit.in_mm is None:
        msg = (
            f"'{name}' must state its units as mm, cm, m or inch (got {unit.word}); set them in the drawing "
            "($INSUNITS) and save it again."
        )
        raise DrawingError(msg)
    found = gather(document, name, unit.in_mm, 0.01)
    cut = [source.layer.upper() not in _NOT_CUT for source in found.sources]
    _check_exact(found, name, cut)
    circles = [circle_loop(c) for c, s in zip(found.circles, found.circle_sources, strict=True) if cut[s]]
    edges = [e for e, s in zip(found.edges, found.edge_sources, strict=True) if cut[s]]
    try:
        loops = circles + chain_edges(edges, gap_tol)
        _check_simple(name, loops)
        plates = nest_loops(loops)
    except GeometryError as error:
        msg = f"'{name}' cannot be read as plates: {error}"
        raise DrawingError(msg) from error
    if not plates:
        msg = f"'{name}' must hold at least one closed loop of lines, arcs, circles or polylines (got none)."
        raise DrawingError(msg)
    return plates


def _check_simple(name: str, loops: list[Loop]) -> None:
    for ring in rings_of(loops):
        point = self_crossing(ring)
        if point is not None:
            msg = f"'{name}' has a loop that crosses itself, at ({point[0]:.3f}, {point[1]:.3f}) mm; untangle it."
            raise DrawingError(msg)


def _check_exact(found: Gathered, name: str, cut: list[bool]) -> None:
    for number, source in enumerate(found.sources):
        if cut[number] and source.kind in _SMOOTH:
            raise DrawingError(_refused(name, _SMOOTH[source.kind], source.layer))
    for passed in found.passed:
        if passed.layer.upper() in _NOT_CUT or passed.reason in ("words", "fill", "hidden"):
            continue
        if passed.reason == "tilted":
            msg = (
                f"'{name}' must be flat; an entity of type {passed.kind} on layer '{passed.layer}' leaves the plane of "
                "x and y; draw the part in that plane."
            )
            raise DrawingError(msg)
        raise DrawingError(_refused(name, f"entities of type {passed.kind}", passed.layer))


def _refused(name: str, words: str, layer: str) -> str:
    return (
        f"'{name}' holds {words}, on layer '{layer}', and a part's own drawing must be of lines, arcs, circles and "
        "polylines; let `platewright read` make such a drawing of it, or move them to a frozen layer."
    )
