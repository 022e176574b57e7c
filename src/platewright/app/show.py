"""Pictures of a design: plan, side views, parts and columns, as SVG, PNG or lines of text."""

from __future__ import annotations

from pathlib import Path

from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.fit.interference import prisms_of
from platewright.fit.view import PROJECTIONS, eyes_of, seen_by
from platewright.foundation.errors import OutputError, RequestError, nearest_names
from platewright.io.drawing.cutting import cutting_svg
from platewright.io.drawing.part import part_svg
from platewright.io.drawing.plan import plan_svg
from platewright.io.drawing.side import side_svg
from platewright.io.drawing.stack import stack_svg
from platewright.io.drawing.view import view_svg
from platewright.io.files import write_whole
from platewright.io.terminal import plan_text
from platewright.io.typesetting import svg_to_png
from platewright.study.check import mass_report
from platewright.study.cut_places import part_cutting

__all__ = ["picture", "terminal_plan", "write_picture"]

_RAYS = 360  # in a row of a camera's picture


def picture(path: Path, view: str, records: Path | None = None) -> str:
    """Return a picture of a design as SVG.

    Parameters
    ----------
    path : Path
        The design file.
    view : str
        plan, side, `part:ID`, `cutting:ID` for how it is cut, `column:ID` for a column or stack in section, `camera` or
        `camera:ID` for what one sees; a projection may follow, as in `camera:ID:rectilinear`.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    RequestError
        If there is no such view; the message names the nearest.
    """
    return _svg(load(path, records).assembly, view)


def terminal_plan(path: Path, columns: int, ascii_only: bool, records: Path | None = None) -> str:
    """Return the plan of a design as lines of text, `columns` wide."""
    return plan_text(load(path, records).assembly, columns, ascii_only)


def write_picture(svg: str, path: Path, ppi: float = 144.0) -> None:
    """Write a picture as SVG or PNG, by the ending of its name, whole or not at all.

    Raises
    ------
    OutputError
        If the name ends otherwise, or cannot be written.
    """
    if path.suffix not in (".svg", ".png"):
        msg = f"'{path.name}' must end in .svg or .png (got '{path.suffix}')."
        raise OutputError(msg)
    content = svg.encode() if path.suffix == ".svg" else svg_to_png(svg, ppi)
    try:
        write_whole(path, content)
    except OSError as error:
        msg = f"'{path.name}' cannot be written: {error.strerror or error}."
        raise OutputError(msg) from error


def _svg(assembly: Assembly, view: str) -> str:
    if view == "plan":
        return plan_svg(assembly, mass_report(assembly).bare.mass_g)
    if view == "side":
        return side_svg(assembly)
    kind, _, name = view.partition(":")
    if kind == "part" and name in assembly.parts:
        return part_svg(assembly.parts[name])
    if kind == "cutting" and name in assembly.parts:
        return cutting_svg(assembly.parts[name], part_cutting(assembly, assembly.parts[name]))
    owners = {line.owner: line.name for line in assembly.lines if line.fitted}
    if kind == "column" and name in owners:
        return stack_svg(assembly, owners[name])
    if kind == "camera" and (svg := _view(assembly, name)) is not None:
        return svg
    cameras = ["camera", *(f"camera:{e.camera.partition('.')[0]}" for e in eyes_of(assembly))]
    parts = [f"{v}:{p}" for v in ("part", "cutting") for p in assembly.parts]
    known = ["plan", "side", *parts, *(f"column:{o}" for o in owners), *cameras]
    near = nearest_names(view, known) or known
    msg = f"unknown view '{view}'; did you mean {' or '.join(repr(n) for n in near)}?"
    raise RequestError(msg)


def _view(assembly: Assembly, name: str) -> str | None:
    """Return what a camera sees: the one of that equipment, or the first; its own projection, or the one named."""
    owner, _, projection = name.partition(":")
    if owner in PROJECTIONS:
        owner, projection = "", owner
    eye = next((e for e in eyes_of(assembly) if owner in ("", e.camera.partition(".")[0])), None)
    if eye is None or projection not in ("", *PROJECTIONS):
        return None
    chosen = eye.as_seen(projection) if projection else eye
    return view_svg(assembly, seen_by(assembly, prisms_of(assembly), chosen, _RAYS))
