"""`platewright order`: the package for a supplier."""

from __future__ import annotations

import datetime
from pathlib import Path

from platewright.app.order import mark_sent
from platewright.app.order import order as run_order
from platewright.cli.numbers import Kits
from platewright.cli.tables import new_table, screen

__all__ = ["order"]


def order(
    *frames: Path,
    out: Path,
    quantity: Kits = None,
    sent: bool = False,
    despite_fails: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Write the package for a supplier: DXF by thickness, drawings, order as CSV, a page for the cutter, checksums.

    Parameters
    ----------
    frames
        Design files; none with --sent alone.
    out
        The folder; a package there that was sent is never written over.
    quantity
        Kits, given once for all frames or again for each in their order; 1 where left out.
    sent
        Mark the package as sent today: one just written, or, without a design file, the one in the folder.
    despite_fails
        Order a design that fails its check; the page for the cutter says so.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    terminal = screen(errors=True)
    if not frames and not sent:
        terminal.print("name at least one design file, or --sent for the package that lies in the folder.")
        return 1
    if frames:
        with terminal.status("writing the order") as status:
            lines = run_order(frames, quantity or [1], out, despite_fails, catalogue, progress=status.update)
        table = new_table("", "part", "material", "mm", "pieces", "cut mm each", left=2)
        for line in lines:
            table.add_row(
                line.name, line.material, f"{line.thickness_mm:g}", str(line.quantity), f"{line.cut_length_mm:.0f}"
            )
        screen().print(table)
        terminal.print(f"written into {out}", markup=False, soft_wrap=True)
    if sent:
        day = datetime.date.today()
        terminal.print(f"order {mark_sent(out, day)} marked as sent on {day}", markup=False, soft_wrap=True)
    return 0
