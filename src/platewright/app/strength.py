"""The structure of a frame: solve it, write its numbers as JSON and its pictures as SVG, PNG and GLB."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from platewright.app.load import load
from platewright.app.show import write_picture
from platewright.app.workspace import cache_folder
from platewright.foundation.errors import OutputError
from platewright.io.deformed_glb import deformed_frame_glb, deformed_glb
from platewright.io.drawing.failure import failure_svg
from platewright.io.drawing.field import field_svg
from platewright.io.drawing.speeds import speeds_svg
from platewright.study.strength import frame_strength
from platewright.study.strength_beliefs import belief_rows
from platewright.study.strength_failures import failure_map, weakest_case
from platewright.study.strength_parts import PartCache
from platewright.study.strength_results import FrameStrength, StrengthStudy
from platewright.study.strength_store import StoredParts

__all__ = ["strength_json", "strength_study", "write_strength_pictures"]

Floats = NDArray[np.float64]

_DRAWN_MODES = 12
_DRAWN = 0.08  # largest drawn displacement, per length of the part [-]


def strength_study(
    path: Path,
    records: Path | None = None,
    thrust_ratio: float | None = None,
    folder: Path | None = None,
    in_time: bool = False,
    kept: PartCache | None = None,
) -> StrengthStudy:
    """Solve the frame of a design file.

    Parameters
    ----------
    path : Path
        The design file.
    records : Path or None
        A folder of the user's own catalogue records.
    thrust_ratio : float or None
        Full static thrust by weight; that of the motor's class when None [-].
    folder : Path or None
        Of outlines and reduced parts; the user's cache folder when None.
    in_time : bool
        Whether hits are stepped in time as well.
    kept : mutable mapping or None
        Reduced parts, kept between calls; those in the folder when None.

    Raises
    ------
    DesignFileError
        With every problem of the file.
    StructureError
        If a plate cannot be modelled, or something hangs together by nothing.
    """
    parts = StoredParts((folder or cache_folder()) / "reduced") if kept is None else kept
    assembly = load(path, records, folder).assembly
    study = frame_strength(assembly, thrust_ratio, parts, in_time)
    choices, beliefs = belief_rows(assembly, parts)
    return dataclasses.replace(
        study, strength=dataclasses.replace(study.strength, screw_choices=choices, beliefs=beliefs)
    )


def strength_json(strength: FrameStrength) -> str:
    """Return the numbers of a frame as JSON, units in the names."""
    return json.dumps(dataclasses.asdict(strength), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def write_strength_pictures(study: StrengthStudy, folder: Path) -> tuple[Path, ...]:
    """Write the numbers, and for each case the plate that fails first and where, for each mode the one that moves most.

    `first_failure` is that of the hit that takes the least energy; without hits, of the least margin.

    Parameters
    ----------
    study : StrengthStudy
        A solved frame.
    folder : Path
        Where to; made if it is not there.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    written: list[Path] = []
    weakest = weakest_case(study.strength.cases)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for n, row in enumerate(study.strength.cases):
            name = row.case.replace(" ", "_")
            worst = next((w for w in (row.first_failure, row.next_failure) if w.startswith("plate ")), None)
            plate = worst.removeprefix("plate ") if worst else _largest(study, study.freedoms[n])
            written += _pictures(study, study.freedoms[n], plate, name, folder, row.case)
            written.append(_whole(study, study.freedoms[n], name, folder))
            names = [f"{name}_failure", *(["first_failure"] if n == weakest else [])]
            picture = failure_svg(failure_map(study, n))
            for path in (folder / f"{name}.{ending}" for name in names for ending in ("svg", "png")):
                write_picture(picture, path)
                written.append(path)
        for n, mode in enumerate(study.strength.modes[:_DRAWN_MODES]):
            shape = study.shapes[n]
            title = f"mode {n + 1}, {mode.frequency_hz:.0f} Hz"
            written += _pictures(study, shape, _largest(study, shape), f"mode_{n + 1}", folder, title)
            written.append(_whole(study, shape, f"mode_{n + 1}", folder))
        for ending in ("svg", "png"):
            written.append(folder / f"speeds.{ending}")
            write_picture(speeds_svg(study.strength), written[-1])
        numbers = folder / "strength.json"
        numbers.write_text(strength_json(study.strength), encoding="utf-8")
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        msg = f"'{folder}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error
    return (*written, numbers)


def _displacements(study: StrengthStudy, freedoms: Floats, plate: str) -> Floats:
    """Return u, v, w of a plate's nodes in the part's own axes, (n_nodes, 3)."""
    frame, number = study.model.frame, study.model.plates[plate]
    own = freedoms[int(frame.starts[number]) : int(frame.starts[number + 1])]
    found: Floats = frame.plates[number].reduced.displacements(own[None])[0, :, :3]
    return found


def _largest(study: StrengthStudy, freedoms: Floats) -> str:
    return max(study.model.plates, key=lambda p: float(np.abs(_displacements(study, freedoms, p)).max()))


def _pictures(study: StrengthStudy, freedoms: Floats, plate: str, name: str, folder: Path, title: str) -> list[Path]:
    moved = _displacements(study, freedoms, plate)
    largest = float(np.linalg.norm(moved, axis=1).max())
    moved = moved / largest if largest > 0 else moved
    number = study.model.plates[plate]
    reduced = study.model.frame.plates[number].reduced
    part = next(p for p in study.model.parts.values() if p.reduced is reduced)
    across = float(np.abs(moved[:, 2]).max()) > 0.7
    values, what = (moved[:, 2], "deflection across") if across else (np.linalg.norm(moved, axis=1), "displacement")
    text = f"{title}, {plate}: {what}"
    picture = field_svg(part.outline, reduced.mesh.nodes, reduced.mesh.triangles, values, text, "of the largest", 2)
    paths = [folder / f"{name}.svg", folder / f"{name}.png", folder / f"{name}.glb"]
    for path in paths[:2]:
        write_picture(picture, path)
    scale = _DRAWN * float(np.ptp(reduced.mesh.nodes, axis=0).max())
    mesh = reduced.mesh
    solid = deformed_glb(mesh.nodes, mesh.triangles, mesh.loops, moved, part.laminate.thickness, scale, name)
    paths[2].write_bytes(solid)
    return paths


def _whole(study: StrengthStudy, freedoms: Floats, name: str, folder: Path) -> Path:
    """Write all plates of the frame, deformed, as one model."""
    plates, largest, size = [], 0.0, 0.0
    for place, number in study.model.plates.items():
        placed = study.model.frame.plates[number]
        mesh, moved = placed.reduced.mesh, _displacements(study, freedoms, place)
        part = next(p for p in study.model.parts.values() if p.reduced is placed.reduced)
        plates.append(
            (mesh.nodes, mesh.triangles, mesh.loops, moved, part.laminate.thickness, placed.origin, placed.axes)
        )
        largest = max(largest, float(np.linalg.norm(moved, axis=1).max()))
        size = max(size, float(np.ptp(mesh.nodes, axis=0).max()))
    path = folder / f"{name}_frame.glb"
    path.write_bytes(deformed_frame_glb(plates, _DRAWN * size / (largest or 1.0), name))
    return path
