"""`platewright new`: a commented starting design from a brief."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter
from rich.console import Console
from rich.text import Text

from platewright.app.new import Brief, CameraClass, NewDesign, Style, write_new
from platewright.cli.tables import new_table, screen

__all__ = ["new"]


def new(
    frame: Path,
    /,
    *,
    propeller_in: float,
    fore_aft_mm: float | None = None,
    lateral_mm: float | None = None,
    style: Literal["freestyle", "long-range", "race", "cine"] = "freestyle",
    camera: Literal["nano", "micro", "mini", "standard"] | None = None,
    boards: Literal["20x20", "25.5x25.5", "30.5x30.5"] | None = None,
    cells: Annotated[Literal[3, 4, 6] | None, Parameter()] = None,
    name: str | None = None,
) -> int:
    """Write a complete, commented starting design from a brief.

    Parameters
    ----------
    frame
        The design file to write; it must not exist yet.
    propeller_in
        Size of the propellers in inches: 2.5, 3, 3.5, 4, 5, 6, 7 or 8.
    fore_aft_mm
        Between front and rear rotors; chosen by the rules of clearance when left out.
    lateral_mm
        Between left and right rotors; chosen by the rules of clearance when left out.
    style
        What the frame is flown for: sets stretch, arms, motor, battery and the camera's tilt.
    camera
        Size class of the flight camera; usual for the size when left out.
    boards
        Hole pattern of the boards; usual for the size when left out.
    cells
        Cells of the battery, in series; usual for the size when left out.
    name
        What the frame is called; from the file's name when left out.
    """
    brief = Brief(
        propeller_in,
        Style(style),
        fore_aft_mm,
        lateral_mm,
        CameraClass(camera) if camera else None,
        boards,
        cells,
        name if name is not None else frame.stem.replace("_", " ").replace("-", " ").capitalize(),
    )
    design = write_new(frame, brief)
    _print(frame, design, screen())
    return 0


def _print(frame: Path, design: NewDesign, console: Console) -> None:
    table = new_table(f"Chosen for {frame.name}", "what", "chosen", "why", left=3)
    for choice in design.choices:
        table.add_row(choice.what, Text(choice.chosen), Text(choice.reason))
    console.print(table)
    console.print(Text(f"Wrote {frame}. Next: platewright check {frame}"), soft_wrap=True)
