"""`platewright show`: pictures of a design, in files or in the terminal."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from platewright.app.show import picture, terminal_plan, write_picture

__all__ = ["show"]


def show(
    frame: Path,
    /,
    *,
    view: str = "plan",
    out: Path | None = None,
    ppi: float = 144.0,
    columns: int = 0,
    catalogue: Path | None = None,
) -> int:
    """Show a design: the plan in the terminal, or any view in a file.

    Parameters
    ----------
    frame
        The design file.
    view
        plan, side, part:ID for a part, cutting:ID for how it is cut, column:ID for a column or stack in section, camera
        or camera:ID for what a camera sees of its own craft (camera:rectilinear for a pinhole's projection).
    out
        A file ending in .svg or .png; without it the plan is drawn in the terminal.
    ppi
        Pixels per inch of a PNG.
    columns
        Width of the drawing in the terminal; its own width when 0.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    if out is None and view != "plan":
        print("only the plan is drawn in the terminal; give --out FILE.svg or FILE.png for this view.", file=sys.stderr)
        return 1
    if out is not None:
        write_picture(picture(frame, view, catalogue), out, ppi)
        print(out)
        return 0
    width = columns or min(shutil.get_terminal_size((80, 24)).columns, 120)
    plain = "utf" not in (sys.stdout.encoding or "").lower()
    print(terminal_plan(frame, width, plain, catalogue))
    return 0
