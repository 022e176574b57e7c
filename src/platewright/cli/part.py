"""`platewright part`: one part alone under loads, as tables, JSON and pictures."""

from __future__ import annotations

from pathlib import Path

from rich import box
from rich.console import Console
from rich.table import Table

from platewright.app.part import part_json, study_part, write_part_pictures
from platewright.study.part_results import CaseResult, PartStrength

__all__ = ["part"]


def part(file: Path, /, *, json: bool = False, out: Path | None = None, catalogue: Path | None = None) -> int:
    """Solve one part alone: displacements, reactions of each hole, ply stresses and frequencies.

    Parameters
    ----------
    file
        The part file: an outline or a DXF, what it is made of, what holds it, loads and masses.
    json
        Print JSON instead of tables.
    out
        A folder for JSON, contour pictures (SVG, PNG) and deformed shapes (GLB) of each case and mode.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    study = study_part(file, catalogue)
    if out is not None:
        write_part_pictures(study, out)
    if json:
        print(part_json(study), end="")
        return 0
    console = Console(highlight=False)
    _head(console, study.strength)
    for case in study.strength.cases:
        _case(console, case)
    if study.strength.cases:
        console.print("Ply stresses at rims of held holes grow with the mesh; margins are judged 1.016 mm off them.")
    if study.strength.modes:
        console.print(_modes(study.strength))
    return 0


def _head(console: Console, result: PartStrength) -> None:
    console.print(
        f"[bold]{result.part}[/bold]: {result.material}, {result.thickness_mm:g} mm in {result.n_plies} plies, "
        f"{result.mass_g:.2f} g; {result.n_triangles} triangles, least angle {result.least_angle_deg:.0f} deg, "
        f"condition {result.condition:.0e}"
    )


def _table(title: str, *names: str) -> Table:
    table = Table(title=title, title_justify="left", pad_edge=False, box=box.SIMPLE_HEAD)
    for n, name in enumerate(names):
        table.add_column(name, justify="left" if n == 0 else "right")
    return table


def _case(console: Console, case: CaseResult) -> None:
    band = case.largest_displacement_band_mm
    ends = f" ({band[0]:.4g} to {band[1]:.4g} with the laminate's stiffness)" if band else ""
    x, y = case.largest_at_mm
    console.print(
        f"Case [bold]{case.case}[/bold]: largest displacement {case.largest_displacement_mm:.4g} mm{ends} "
        f"at ({x:.1f}, {y:.1f})"
    )
    if case.groups:
        table = _table("Groups", "group", "x mm", "y mm", "z mm", "about x deg", "about y deg", "about z deg")
        for g in case.groups:
            table.add_row(g.group, *_numbers(g.displacement_mm), *_numbers(g.rotation_deg))
        console.print(table)
    reactions = _table("Reactions on the part", "hole", "x N", "y N", "z N", "about x N mm", "about y", "about z")
    for r in case.reactions:
        reactions.add_row(r.hole, *(f"{v:.3f}" for v in (*r.force_n, *r.moment_n_mm)))
    console.print(reactions)
    stresses = _table(
        "Largest ply stresses (at rims of held holes they grow with the mesh)", "stress", "MPa", "ply", "at"
    )
    for s in case.stresses:
        stresses.add_row(s.component, f"{s.largest_mpa:.1f}", str(s.ply), f"({s.x_mm:.1f}, {s.y_mm:.1f})")
    console.print(stresses)
    if case.margins:
        margins = _table("Until the first ply fails", "criterion", "times the load", "band", "ply", "at x, y mm")
        for m in case.margins:
            reach = f"{m.band[0]:.3g} to {m.band[1]:.3g}" if m.band else ""
            margins.add_row(m.criterion, f"{m.strength_ratio:.3g}", reach, str(m.ply), f"({m.x_mm:.1f}, {m.y_mm:.1f})")
        console.print(margins)


def _numbers(values: tuple[float, float, float]) -> list[str]:
    """Write three numbers to four figures; what is a millionth of the largest is rounding."""
    size = max(abs(v) for v in values)
    return [f"{v:.4g}" if abs(v) > 1e-5 * size else "0" for v in values]


def _modes(result: PartStrength) -> Table:
    table = _table("Frequencies", "mode", "Hz", "low to high stiffness", "moves")
    for n, mode in enumerate(result.modes):
        band = f"{mode.band_hz[0]:.1f} to {mode.band_hz[1]:.1f}" if mode.band_hz else ""
        table.add_row(str(n + 1), f"{mode.frequency_hz:.2f}", band, mode.kind)
    return table
