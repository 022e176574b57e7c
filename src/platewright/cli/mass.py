"""`platewright mass`: masses, and what each parameter and screw material buys."""

from __future__ import annotations

from pathlib import Path

from rich.table import Table

from platewright.app.mass import MassStudy, mass_study
from platewright.cli.tables import new_table, screen

__all__ = ["mass"]


def mass(frame: Path, /, *, catalogue: Path | None = None) -> int:
    """Show what weighs how much: every contribution, grams per unit of each parameter, and other screw materials.

    Parameters
    ----------
    frame
        The design file.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    study = mass_study(frame, catalogue)
    console = screen()
    bare = study.mass.bare
    console.print(f"[bold]{study.frame}[/bold]: bare frame {bare.mass_g:.1f} g ({bare.low_g:.1f} to {bare.high_g:.1f})")
    console.print(_contributions(study))
    console.print(_parameters(study))
    console.print(_screws(study))
    return 0


def _contributions(study: MassStudy) -> Table:
    table = new_table("Bare frame", "what", "pieces", "mass g", "share %")
    for c in study.mass.heaviest:
        table.add_row(c.name, str(c.quantity), f"{c.mass_g:.2f}", f"{c.share_percent:.1f}")
    return table


def _parameters(study: MassStudy) -> Table:
    table = new_table("What a parameter costs", "parameter", "now", "bare g per unit", "whole build g per unit")
    for p in study.parameters:
        if p.bare_g_per_unit is None or p.build_g_per_unit is None:
            table.add_row(p.parameter, f"{p.value:g}", "cannot be moved", p.reason)
        else:
            table.add_row(p.parameter, f"{p.value:g}", f"{p.bare_g_per_unit:+.2f}", f"{p.build_g_per_unit:+.2f}")
    return table


def _screws(study: MassStudy) -> Table:
    names = list(study.screws[0].other_g) if study.screws else []
    table = new_table("Screws in other materials, g", "screw", "pieces", "bare frame", "now", *names)
    for s in study.screws:
        others = (f"{v:.2f}" for v in s.other_g.values())
        table.add_row(s.screw, str(s.quantity), "yes" if s.bare else "no", f"{s.mass_g:.2f}", *others)
    return table
