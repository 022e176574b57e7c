"""From the merged tree to the design: names evaluated, records validated, references looked up, problems collected."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from platewright.foundation.errors import DesignFileError, Problem
from platewright.io.design_file.lines import Path
from platewright.io.design_file.mend import Mended, mend
from platewright.io.design_file.merge import read_tree
from platewright.io.design_file.names import Names
from platewright.io.design_file.sentences import Fault, faults
from platewright.io.design_file.stance_names import add_stance_names
from platewright.io.design_file.tree import DesignTree
from platewright.model.catalogue import Catalogue
from platewright.model.design import Design
from platewright.model.references import reference_problems

__all__ = ["read_design", "resolve"]


def read_design(
    path: FilePath | str,
    catalogue: Catalogue,
    levels: Mapping[str, float] | None = None,
    root: FilePath | str | None = None,
) -> Design:
    """Read a design file at once; see `read_tree` and `resolve`."""
    return resolve(read_tree(path, root), catalogue, levels)


def resolve(
    tree: DesignTree,
    catalogue: Catalogue,
    levels: Mapping[str, float] | None = None,
    parameters: Mapping[str, float] | None = None,
) -> Design:
    """Evaluate and validate a design.

    Parameters
    ----------
    tree : DesignTree
        The merged files.
    catalogue : Catalogue
        Where its hardware, materials and equipment are looked up.
    levels : mapping or None
        Value of each name `level.PLACE.bottom_mm` and `level.PLACE.top_mm` [mm]. None in the first pass: a level then
        stands in as 10, and nothing that follows from it is a problem.
    parameters : mapping or None
        Values that replace those of the file, for a study of their effect.

    Raises
    ------
    DesignFileError
        With every problem of every file, sorted by file and line.
    ValueError
        If `parameters` names one that the file does not have.
    """
    values = dict(tree.values)
    given = values.get("parameters", {})
    unknown = sorted(set(parameters or ()) - set(given))
    if unknown:
        msg = f"the design has no parameter {unknown[0]!r}"
        raise ValueError(msg)
    places = [record["id"] for record in values.get("place", ())]
    names = Names({**given, **(parameters or {})}, places, levels)
    names.evaluate_parameters(final=False)
    reports = add_stance_names(values, names)
    names.evaluate_parameters(final=True)
    reports = [*names.reports, *reports]
    if "parameters" in values:
        values["parameters"] = names.values()
    design, found, mended = _read(values, names)
    problems = [tree.problem(*report) for report in reports]
    problems += [tree.problem(fault.path, fault.code, fault.message) for fault in found]
    if mended is not None:
        problems += _reference_problems(tree, mended, catalogue, [*(r[0] for r in reports), *(f.path for f in found)])
    if design is None or problems:
        raise DesignFileError(sorted(problems, key=lambda p: (p.file, p.line or 0, p.path)))
    return design


def _read(values: dict[str, Any], names: Names) -> tuple[Design | None, list[Fault], Mended | None]:
    """Return the design, what is wrong with it, and what of it can be read all the same."""
    try:
        design = Design.model_validate(values, context={"lookup": names.lookup})
    except ValidationError as error:
        every = faults(error, values, names.lookup)
    else:
        return design, [], Mended(design, frozenset(), {})
    found = [fault for fault in every if not _follows_from_stand_in(fault, names)]
    mended = mend(values, every, names.lookup)
    if not found and mended is not None and not mended.left_out:
        return mended.design, [], mended
    return None, found or every, mended


def _follows_from_stand_in(fault: Fault, names: Names) -> bool:
    return fault.of_value and names.rests_on_stand_in(str(fault.written))


def _reference_problems(tree: DesignTree, mended: Mended, catalogue: Catalogue, reported: list[Path]) -> list[Problem]:
    """Problems of references, save those of a value that is reported already."""
    problems = []
    for path, code, message in reference_problems(mended.design, catalogue, mended.left_out):
        place = mended.path_in_tree(path)
        if not any(place == known or (known == place[: len(known)] and len(known) > 2) for known in reported):
            problems.append(tree.problem(place, code, message))
    return problems
