"""Build a design: cut files, drawings, models, parts list and manifest, in one folder written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from platewright.app.check import check_json, check_loaded
from platewright.app.load import Loaded, load
from platewright.app.sheets import frame_facts, part_facts
from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.bill import bill_of_materials, tools_needed
from platewright.foundation.cautions import CAUTIONS
from platewright.io.drawing.exploded import exploded_svg
from platewright.io.drawing.lines import lines_svg
from platewright.io.drawing.marks import mark_strokes
from platewright.io.drawing.part import part_svg
from platewright.io.drawing.plan import plan_svg
from platewright.io.drawing.side import side_svg
from platewright.io.dxf import write_part_dxf
from platewright.io.folder import replaced_folder, write_manifest
from platewright.io.glb import write_glb
from platewright.io.hidden_lines import VIEWS, project
from platewright.io.parts_list import parts_list_csv, parts_list_text
from platewright.io.pdf.frame_sheet import frame_sheet_pdf
from platewright.io.pdf.part_sheet import part_sheet_pdf
from platewright.io.solids import ShapeStore, write_step
from platewright.study.results import CheckResult

__all__ = ["build"]

Progress = Callable[[str], None]

_SHEET = (277.0, 190.0)  # of a picture on A4 lying [mm]


def build(
    path: Path, out: Path, records: Path | None = None, cache: Path | None = None, progress: Progress | None = None
) -> CheckResult:
    """Build a design file into a folder.

    Parameters
    ----------
    path : Path
        The design file.
    out : Path
        The folder; an earlier build there is replaced when the new one is whole.
    records, cache
        As in `load`.
    progress : callable or None
        Told what is being written.

    Returns
    -------
    CheckResult
        The check of the design; a failing finding does not stop the build, the caller decides.

    Raises
    ------
    DesignFileError
        If the file is invalid; nothing is written.
    OutputError
        If the folder cannot be written; an earlier build is left as it was.

    Notes
    -----
    The same input gives the same bytes.
    """
    say = progress or (lambda _: None)
    say("reading and assembling")
    loaded = load(path, records, cache)
    result = check_loaded(loaded)
    with replaced_folder(out) as folder:
        _write(loaded, result, folder, say)
    return result


def _write(loaded: Loaded, result: CheckResult, folder: Path, say: Progress) -> None:
    assembly = loaded.assembly
    for name in ("cut", "drawings", "model", "pictures"):
        (folder / name).mkdir()
    for finished in assembly.parts.values():
        say(f"part {finished.part.id}")
        _write_part(assembly, finished, folder)
    say("parts list")
    bill = bill_of_materials(assembly)
    frame = assembly.design.frame
    _write_text(folder / "parts_list.csv", parts_list_csv(bill))
    _write_text(folder / "parts_list.txt", parts_list_text(frame.name, frame.revision, bill, tools_needed(assembly)))
    _write_text(folder / "check.json", check_json(result) + "\n")
    say("pictures")
    pictures = folder / "pictures"
    _write_text(pictures / "plan.svg", plan_svg(assembly, result.mass.bare.mass_g))
    _write_text(pictures / "side.svg", side_svg(assembly))
    _write_text(pictures / "exploded.svg", exploded_svg(assembly))
    say("assembly drawing")
    pdf = frame_sheet_pdf(assembly, frame_facts(assembly, result, bill))
    (folder / "drawings" / "assembly.pdf").write_bytes(pdf)
    say("three-dimensional models")
    store = ShapeStore()
    write_step(folder / "model" / "frame.step", assembly.bodies, name=frame.name, store=store)
    write_glb(folder / "model" / "frame.glb", assembly.bodies, name=frame.name)
    solid = [body for body in assembly.bodies if body.role != "propeller"]
    for name in ("isometric", "side"):
        say(f"{name} view, hidden lines removed")
        view = project(solid, *VIEWS[name], store)
        _write_text(pictures / f"lines_{name}.svg", lines_svg(view, _SHEET, f"{frame.name}: {name} view"))
    write_manifest(folder, _facts(loaded, result))


def _write_part(assembly: Assembly, finished: FinishedPart, folder: Path) -> None:
    part, frame = finished.part, assembly.design.frame
    laminate = assembly.catalogue.laminate(part.material)
    strokes = [stroke for mark in part.marks for stroke in mark_strokes(mark)]
    sinks = [
        (hole.x, hole.y, sink.diameter, sink.on_upper_face)
        for hole in finished.holes.holes
        for sink in hole.countersinks
    ]
    write_part_dxf(
        folder / "cut" / f"{part.id}_{part.thickness_mm:g}mm_x{finished.quantity}.dxf",
        finished.outline,
        part_id=part.id,
        title=f"{frame.name} {part.id}",
        thickness_mm=part.thickness_mm,
        material=laminate.name,
        quantity=finished.quantity,
        revision=frame.revision,
        strokes=strokes,
        countersinks=sinks,
        grain_deg=part.grain_deg,
    )
    (folder / "drawings" / f"{part.id}.pdf").write_bytes(part_sheet_pdf(finished, part_facts(assembly, finished)))
    _write_text(folder / "pictures" / f"{part.id}.svg", part_svg(finished))


def _write_text(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8"))


def _facts(loaded: Loaded, result: CheckResult) -> dict[str, object]:
    frame = loaded.assembly.design.frame
    return {
        "frame": frame.name,
        "revision": frame.revision,
        "status": result.status,
        "design_files": [source.name for source in loaded.tree.files],
        "cautions": list(CAUTIONS),
    }
