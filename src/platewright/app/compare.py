"""Compare two designs, or a variant with the design it includes: rows, JSON and pictures of changed parts."""

from __future__ import annotations

import json
import posixpath
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.app.load import load
from platewright.app.show import write_picture
from platewright.app.workspace import cache_folder
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RequestError
from platewright.io.design_file import read_tree
from platewright.io.drawing.difference import difference_svg
from platewright.io.files import make_folder
from platewright.study.check import check_assembly, with_flight, with_strength
from platewright.study.compare import compare_frames, outline_difference
from platewright.study.compare_results import Comparison
from platewright.study.results import CheckResult
from platewright.study.strength_parts import PartCache
from platewright.study.strength_store import StoredParts

__all__ = ["Compared", "compare", "compare_json", "compared_designs", "judged", "parent_of", "write_differences"]

_ADAPTER = TypeAdapter(Comparison)


@dataclass(frozen=True)
class Compared:
    """Two assembled designs and their comparison."""

    first: Assembly
    second: Assembly
    comparison: Comparison


def compare(
    first: Path, second: Path | None = None, records: Path | None = None, cache: Path | None = None
) -> Compared:
    """Compare two design files; one alone is a variant and is compared with its parent.

    Parameters
    ----------
    first, second : Path
        The design files. Without a second one, the first is the variant, and the second of the comparison.
    records : Path or None
        A folder of the user's own catalogue records.
    cache : Path or None
        Folder of outlines and reduced parts; the user's cache folder when None.

    Raises
    ------
    DesignFileError
        If a file is invalid.
    RequestError
        If a single file has no parent, or more than one.
    """
    if second is None:
        first, second = parent_of(first), first
    kept = StoredParts((cache or cache_folder()) / "reduced")
    one, other = (load(path, records, cache).assembly for path in (first, second))
    return compared_designs(one, other, kept)


def compared_designs(first: Assembly, second: Assembly, kept: PartCache | None = None) -> Compared:
    """Compare two assembled designs, both checked.

    Parameters
    ----------
    first, second : Assembly
        From `assemble`.
    kept : mutable mapping or None
        Keeps reduced parts; strength is left out when None.
    """
    return Compared(first, second, compare_frames(first, judged(first, kept), second, judged(second, kept)))


def judged(assembly: Assembly, kept: PartCache | None) -> CheckResult:
    """Return all that is compared about a design: its check, how it flies and, with `kept`, its strength."""
    checked = with_flight(check_assembly(assembly), assembly, in_time=True)
    return checked if kept is None else with_strength(checked, assembly, kept)


def parent_of(path: Path) -> Path:
    """Return the design that a variant includes: the one file of its `include` that has a `[frame]` with a name."""
    tree = read_tree(path)
    top = tree.files[-1]
    included = [posixpath.normpath(name) for name in top.values.get("include", ())]
    whole = [f for f in tree.files if f.name in included and "name" in _frame(f.values)]
    if len(whole) == 1:
        return whole[0].path
    found = ", ".join(f.name for f in whole)
    what = f"includes {len(whole)} designs with a [frame] ({found})" if whole else "includes no design with a [frame]"
    msg = f"'{path.name}' {what}, so it has no one parent; name the second design to compare with."
    raise RequestError(msg)


def compare_json(compared: Compared) -> str:
    """Return a comparison as JSON, differences of numbers included."""
    data: dict[str, Any] = _ADAPTER.dump_python(compared.comparison, mode="json")
    for name in ("parameters", "numbers", "hardware", "service", "hovering", "flying", "handling", "strength"):
        for change, row in zip(getattr(compared.comparison, name), data[name], strict=True):
            row["difference"] = change.difference
    for name in ("findings_gone", "findings_new"):
        for finding, row in zip(getattr(compared.comparison, name), data[name], strict=True):
            row["margin"] = finding.margin
    return json.dumps(data, indent=2, allow_nan=False)


def write_differences(compared: Compared, out: Path) -> tuple[Path, ...]:
    """Write a picture of each part that has changed into a folder.

    Raises
    ------
    OutputError
        If the folder or a picture cannot be written.
    """
    make_folder(out)
    written = []
    names = (compared.comparison.first, compared.comparison.second)
    for row in compared.comparison.parts:
        if row.state != "changed":
            continue
        one, other = compared.first.parts[row.first].outline, compared.second.parts[row.second].outline
        svg = difference_svg(
            f"{row.first}: {names[0]} and {names[1]}", names, one, other, outline_difference(one, other)
        )
        path = out / f"difference_{row.first}.svg"
        write_picture(svg, path)
        written.append(path)
    return tuple(written)


def _frame(values: Mapping[str, Any]) -> Mapping[str, Any]:
    frame = values.get("frame")
    return frame if isinstance(frame, dict) else {}
