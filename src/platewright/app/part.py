"""One part alone: solve it, write its numbers as JSON and its pictures as SVG, PNG and GLB."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import numpy as np

from platewright.app.show import write_picture
from platewright.app.workspace import cache_folder
from platewright.assembly.sketches import own_sketch
from platewright.foundation.errors import CatalogueError, DesignFileError, GeometryError, OutputError, StructureError
from platewright.geometry.cache import OutlineCache
from platewright.io.deformed_glb import deformed_glb
from platewright.io.drawing.field import field_svg
from platewright.io.part_file import pierced, read_drawing, read_part_file
from platewright.model.catalogue import load_catalogue
from platewright.study.part_results import PartField, PartStudy
from platewright.study.strength_part import part_strength

__all__ = ["part_json", "study_part", "write_part_pictures"]

_DRAWN = 0.08  # largest drawn displacement, per length of the part [-]


def study_part(path: Path, records: Path | None = None, cache: Path | None = None) -> PartStudy:
    """Solve the part of a part file.

    Parameters
    ----------
    path : Path
        The part file.
    records : Path or None
        A folder of the user's own catalogue records.
    cache : Path or None
        Folder of the outline cache; the user's cache folder when None.

    Raises
    ------
    DesignFileError
        With every problem of the file.
    CatalogueError
        If the user's own records cannot be read.
    StructureError
        If the part cannot be modelled or its equations cannot be solved.
    """
    part = read_part_file(path)
    catalogue = load_catalogue(records)
    if part.file.part.material:
        try:
            catalogue.laminate(part.file.part.material)
        except CatalogueError as error:
            problem = part.problem(("part", "material"), "reference.catalogue", str(error))
            raise DesignFileError([problem]) from error
    if part.file.part.drawing is not None:
        outline = read_drawing(part)
    else:
        try:
            outline = OutlineCache(cache or cache_folder()).get_or_build(own_sketch(part.file.part))
        except GeometryError as error:
            text = f"holds a shape that cannot be cut: {error}"
            raise DesignFileError([part.problem(("part",), "part.outline", text)]) from error
    outline, holes = pierced(part, outline)
    try:
        return part_strength(part.file, outline, holes, catalogue)
    except StructureError as error:
        msg = f"{path.name}: {error}"
        raise StructureError(msg) from error


def part_json(study: PartStudy) -> str:
    """Return the numbers of a part as JSON, units in the names."""
    return json.dumps(dataclasses.asdict(study.strength), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def write_part_pictures(study: PartStudy, folder: Path) -> tuple[Path, ...]:
    """Write the part's numbers, and for each case and mode contour pictures (SVG, PNG) and a deformed shape (GLB).

    Parameters
    ----------
    study : PartStudy
        A solved part.
    folder : Path
        Where to; made if it is not there.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for field in study.fields:
            for path in (folder / f"{field.name}.svg", folder / f"{field.name}.png"):
                write_picture(contour(study, field), path)
                written.append(path)
            model = folder / f"{field.name}.glb"
            model.write_bytes(_deformed(study, field))
            written.append(model)
        for scalar in study.scalars:
            title = f"{study.strength.part}, {scalar.name}: {scalar.title}"
            mesh, decimals = study.mesh, 1 if scalar.unit == "MPa" else 3
            text = field_svg(study.outline, mesh.nodes, mesh.triangles, scalar.values, title, scalar.unit, decimals)
            for path in (folder / f"{scalar.name}.svg", folder / f"{scalar.name}.png"):
                write_picture(text, path)
                written.append(path)
        numbers = folder / "part.json"
        numbers.write_text(part_json(study), encoding="utf-8")
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        msg = f"'{folder}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error
    return (*written, numbers)


def contour(study: PartStudy, field: PartField) -> str:
    """Return the picture of a field as SVG: its component across the plate, or its size where that is larger."""
    across, size = field.displacements[:, 2], np.linalg.norm(field.displacements, axis=1)
    is_across = np.abs(across).max() > 0.7 * size.max()
    values, what = (across, "deflection across") if is_across else (size, "displacement")
    unit = "of the largest" if field.name.startswith("mode_") else "mm"
    decimals = 2 if unit != "mm" else max(2, 3 - int(np.floor(np.log10(max(size.max(), 1e-9)))))
    title = f"{study.strength.part}, {field.name}: {what}"
    return field_svg(study.outline, study.mesh.nodes, study.mesh.triangles, values, title, unit, decimals)


def _deformed(study: PartStudy, field: PartField) -> bytes:
    mesh = study.mesh
    extent = float(np.ptp(mesh.nodes, axis=0).max())
    largest = float(np.linalg.norm(field.displacements, axis=1).max())
    scale = _DRAWN * extent / largest if largest > 0 else 1.0
    thickness = study.strength.thickness_mm
    return deformed_glb(mesh.nodes, mesh.triangles, mesh.loops, field.displacements, thickness, scale, field.name)
