"""`platewright build`: cut files, drawings, models, parts list and manifest in one folder."""

from __future__ import annotations

from pathlib import Path

from platewright.app.build import build as run_build
from platewright.cli.tables import screen
from platewright.foundation.findings import Severity

__all__ = ["build"]


def build(frame: Path, /, *, out: Path, catalogue: Path | None = None) -> int:
    """Build a design: a DXF and a drawing sheet per part, assembly drawing, STEP, GLB, parts list, manifest.

    Parameters
    ----------
    frame
        The design file.
    out
        The folder to write; an earlier build there is replaced when the new one is whole.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    terminal = screen(errors=True)
    with terminal.status("building") as status:
        result = run_build(frame, out, catalogue, progress=lambda what: status.update(f"building: {what}"))
    console = screen()
    for path in sorted(p for p in out.rglob("*") if p.is_file()):
        console.print(f"{path.stat().st_size:>10,} bytes  {path}", soft_wrap=True)
    for finding in result.findings:
        if finding.severity is Severity.FAIL:
            terminal.print(f"fail: {finding.where} {finding.message} [{finding.code}]", markup=False, soft_wrap=True)
    if result.status == "fails":
        terminal.print("The folder is whole, but this design fails its check: do not cut it.")
    return 1 if result.status == "fails" else 0
