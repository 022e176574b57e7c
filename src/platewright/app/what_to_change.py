"""What to change: each number of a design moved a step, and what that does to mass, stiffness, vibration, hits."""

from __future__ import annotations

import dataclasses
import json
import re
from collections import ChainMap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from platewright.app.load import Loaded, assemble_tree, load, reassemble
from platewright.app.workspace import cache_folder
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import DesignFileError, RequestError, StructureError, nearest_names
from platewright.study.strength_change import ChangeRow, FrameNumbers, change_row, failed_row, frame_numbers
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_model import frame_model
from platewright.study.strength_parts import ModelPart, PartCache
from platewright.study.strength_store import StoredParts

__all__ = ["ChangeStudy", "change_json", "what_to_change"]

_SHARE, _LEAST, _MOST = 0.05, 0.5, 2.0  # a step is this share of the number, within these bounds in its own unit
_THICKNESS_STEP = 0.5  # [mm]
_OTHER_MESH = 0.9  # size by the usual one, to see what the mesh does [-]


@dataclass
class ChangeStudy:
    """What has been found so far; `left` names what was not reached."""

    frame: str
    now: FrameNumbers
    other_mesh: FrameNumbers
    rows: list[ChangeRow] = field(default_factory=list)
    left: list[str] = field(default_factory=list)


def what_to_change(
    path: Path,
    records: Path | None = None,
    cache: Path | None = None,
    only: Iterable[str] = (),
    progress: Callable[[int, int, str], None] | None = None,
) -> Iterator[ChangeStudy]:
    """Yield the study after each number, so that a caller may stop at any time.

    Parameters
    ----------
    path, records, cache
        As in `load`; reduced parts are kept beside the outlines.
    only : iterable of str
        Names of numbers; all when empty.
    progress : callable or None
        Told how many are done, of how many, and the next one's name.

    Raises
    ------
    DesignFileError
        If the file is invalid.
    StructureError
        If the frame cannot be solved.
    RequestError
        If a name is not one of the design, or the design has no rotors on its plates.
    """
    loaded = load(path, records, cache)
    kept = StoredParts((cache or cache_folder()) / "reduced")
    numbers = _numbers(loaded)
    wanted = _wanted(numbers, tuple(only))
    tell = progress or (lambda done, count, name: None)
    tell(0, len(wanted), "the frame as it is")
    model, otherwise = (frame_model(loaded.assembly, TYPICAL, kept, size) for size in (1.0, _OTHER_MESH))
    now, other = (frame_numbers(loaded.assembly, m) for m in (model, otherwise))
    if now is None or other is None:
        msg = f"{path.name} has no rotor on a plate, so no tip to push; give it [rotors] with motors on its arms."
        raise RequestError(msg)
    study = ChangeStudy(loaded.assembly.design.frame.name, now, other, [], list(wanted))
    yield study
    for n, name in enumerate(wanted):
        tell(n, len(wanted), name)
        tried: PartCache = ChainMap({}, kept)  # what is tried is not worth a file, nor memory for longer
        study.rows.append(_row(loaded, name, numbers[name], study, model.parts, tried))
        study.left.remove(name)
        yield study


def change_json(study: ChangeStudy) -> str:
    """Return a study as JSON, units in the names."""
    return json.dumps(dataclasses.asdict(study), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _numbers(loaded: Loaded) -> dict[str, float]:
    """Return thicknesses and parameters; those that follow from other parameters are left out."""
    design = loaded.assembly.design
    used = {i.part.id for i in loaded.assembly.instances.values()}
    found = {f"{part.id}.thickness_mm": part.thickness_mm for part in design.part if part.id in used}
    raw = loaded.tree.values.get("parameters", {})
    for name, value in design.parameters.items():
        words = set(re.findall(r"[a-z_][a-z_0-9]*", str(raw.get(name, ""))))
        if not words & set(design.parameters):
            found[name] = float(value)
    return found


def _wanted(numbers: dict[str, float], only: tuple[str, ...]) -> list[str]:
    for name in only:
        if name not in numbers:
            near = nearest_names(name, set(numbers)) or sorted(numbers)[:6]
            msg = f"the design has no number '{name}' of its own; did you mean {' or '.join(near)}?"
            raise RequestError(msg)
    return list(dict.fromkeys(only)) or list(numbers)


def _row(
    loaded: Loaded, name: str, value: float, study: ChangeStudy, like: Mapping[str, ModelPart], kept: PartCache
) -> ChangeRow:
    is_thickness = name.endswith(".thickness_mm")
    step = _THICKNESS_STEP if is_thickness else min(max(_SHARE * abs(value), _LEAST), _MOST)
    ends: list[FrameNumbers | None] = []
    reason = ""
    for sign in (-1, 1):
        try:
            changed = _changed(loaded, name, value + sign * step)
            ends.append(frame_numbers(changed, frame_model(changed, TYPICAL, kept, like=like), like))
        except DesignFileError as error:
            ends.append(None)
            reason = error.problems[0].message
        except StructureError as error:
            ends.append(None)
            reason = str(error)
    if ends == [None, None]:
        return failed_row(name, value, reason)
    return change_row(name, value, step, study.now, study.other_mesh, (ends[0], ends[1]))


def _changed(loaded: Loaded, name: str, value: float) -> Assembly:
    part, _, key = name.rpartition(".")
    if not key or not part:
        return assemble_tree(loaded.tree, loaded.catalogue, loaded.outlines, {name: value})
    design = loaded.assembly.design
    parts = tuple(p.model_copy(update={"thickness_mm": value}) if p.id == part else p for p in design.part)
    return reassemble(loaded, design.model_copy(update={"part": parts}))
