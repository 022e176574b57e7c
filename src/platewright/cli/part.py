"""`platewright part`: one part alone under loads, as tables, JSON and pictures."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from rich.console import Console
from rich.table import Table

from platewright.app.part import part_json, study_part, write_part_pictures
from platewright.cli.tables import new_table, screen
from platewright.study.part_results import CaseResult, HoleMargin, PartStrength

__all__ = ["part", "print_part"]

_MODES = {"characteristic distance": "ply off rim"}
Changes = dict[tuple[str, str, str], str]  # of a quantity in a case, on a finer mesh


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
    console = screen()
    print_part(console, study.strength)
    return 0


def print_part(console: Console, result: PartStrength) -> None:
    """Print what was computed of a part.

    Parameters
    ----------
    console : Console
        Where to.
    result : PartStrength
        The part.
    """
    changes = {(r.case, r.quantity, r.of): f"{r.change_pct:.1f} %" for r in result.meshes}
    _head(console, result)
    for case in result.cases:
        _case(console, case, changes)
    if result.cases:
        console.print(
            "Ply stresses at rims of held holes grow with the mesh; margins are judged 1.016 mm off them. Net tension, "
            "shear-out and pull-through are means over a section, within a quarter to a half of tests."
        )
    if result.modes:
        console.print(_modes(result, changes))


def _head(console: Console, result: PartStrength) -> None:
    console.print(
        f"[bold]{result.part}[/bold]: {result.material}, {result.thickness_mm:g} mm in {result.n_plies} plies, "
        f"{result.mass_g:.2f} g; {result.n_triangles} triangles, least angle {result.least_angle_deg:.0f} deg, "
        f"condition {result.condition:.0e}; 'finer' is the change on a mesh of {result.n_triangles_of_finer_mesh}"
    )


def _case(console: Console, case: CaseResult, changes: Changes) -> None:
    def finer(quantity: str, of: str) -> str:
        return changes.get((case.case, quantity, of), "")

    band = case.largest_displacement_band_mm
    ends = f" ({band[0]:.4g} to {band[1]:.4g} with the laminate's stiffness)" if band else ""
    x, y = (round(v, 1) + 0.0 for v in case.largest_at_mm)
    console.print(
        f"Case [bold]{case.case}[/bold]: largest displacement {case.largest_displacement_mm:.4g} mm{ends} "
        f"at ({x:.1f}, {y:.1f}); finer {finer('largest displacement', 'part')}"
    )
    if case.is_beyond_small:
        console.print(
            "That is more than a tenth of the part's length: beyond small displacements, so the real ones differ."
        )
    if case.groups:
        table = new_table(
            "Groups", "group", "x mm", "y mm", "z mm", "finer", "about x deg", "about y", "about z", "finer"
        )
        for g in case.groups:
            moved, turned = finer("displacement", g.group), finer("rotation", g.group)
            table.add_row(
                g.group,
                *_numbers(g.displacement_mm, case.largest_displacement_mm),
                moved,
                *_numbers(g.rotation_deg),
                turned,
            )
        console.print(table)
    held = {r.hole for r in case.reactions}
    forces = new_table(
        "Forces on the part at its holes", "hole", "", "x N", "y N", "z N", "finer", "about x N mm", "y", "z", "finer"
    )
    for r in case.hole_forces:
        three, turns = (
            [f"{v + 0.0:.3f}".replace("-0.000", "0.000") for v in six] for six in (r.force_n, r.moment_n_mm)
        )
        what = "held" if r.hole in held else "loaded"
        forces.add_row(r.hole, what, *three, finer("force", r.hole), *turns, finer("moment", r.hole))
    console.print(forces)
    stresses = new_table(
        "Largest ply stresses (at rims of held holes they grow with the mesh)", "stress", "MPa", "ply", "at", "finer"
    )
    for s in case.stresses:
        place = f"({s.x_mm:.1f}, {s.y_mm:.1f})"
        stresses.add_row(s.component, f"{s.largest_mpa:.1f}", str(s.ply), place, finer("stress", s.component))
    console.print(stresses)
    if case.margins:
        table = new_table(
            "Until the first ply fails", "criterion", "times the load", "band", "ply", "at x, y mm", "finer"
        )
        for m in case.margins:
            place = f"({m.x_mm:.1f}, {m.y_mm:.1f})"
            change = finer("strength ratio", m.criterion)
            table.add_row(m.criterion, f"{m.strength_ratio:.3g}", _band(m.band), str(m.ply), place, change)
        console.print(table)
    if case.hole_margins:
        console.print(_holes(case.hole_margins, finer))


def _holes(margins: tuple[HoleMargin, ...], finer: Callable[[str, str], str]) -> Table:
    table = new_table("Until a hole fails", "hole", "by", "MPa", "of", "times load", "band", "finer")
    for m in sorted(margins, key=lambda m: m.strength_ratio):
        stress, strength = (f"{v:.3g}" if v is not None else "" for v in (m.stress_mpa, m.strength_mpa))
        row = (
            m.hole,
            _MODES.get(m.mode, m.mode),
            stress,
            strength,
            f"{m.strength_ratio:.3g}",
            _band(m.band),
            finer(m.mode, m.hole),
        )
        table.add_row(*row)
    return table


def _band(band: tuple[float, float] | None) -> str:
    return f"{band[0]:.3g} to {band[1]:.3g}" if band else ""


def _numbers(values: tuple[float, float, float], beside: float = 0.0) -> list[str]:
    """Write three numbers to four figures; what is a millionth of the largest, or of another number, is rounding."""
    size = max(beside, *(abs(v) for v in values))
    return [f"{v:.4g}" if abs(v) > 1e-5 * size else "0" for v in values]


def _modes(result: PartStrength, changes: Changes) -> Table:
    table = new_table("Frequencies", "mode", "Hz", "low to high stiffness", "moves", "finer")
    for n, mode in enumerate(result.modes):
        band = f"{mode.band_hz[0]:.1f} to {mode.band_hz[1]:.1f}" if mode.band_hz else ""
        change = changes.get(("", "frequency", f"mode {n + 1}"), "")
        table.add_row(str(n + 1), f"{mode.frequency_hz:.2f}", band, mode.kind, change)
    return table
