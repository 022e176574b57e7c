"""The file of one part alone, read with the sentences of the design file."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from platewright.foundation.errors import DesignFileError, DrawingError, GeometryError, Problem
from platewright.geometry.holes import pierce
from platewright.geometry.loops import Circle, Outline
from platewright.io.design_file.folder import FilePathError, inside_root
from platewright.io.design_file.lines import Path
from platewright.io.design_file.sentences import faults
from platewright.io.design_file.source import SourceFile, read_source
from platewright.io.design_file.tree import key_path, one_line
from platewright.io.foreign_drawing import read_loops_dxf
from platewright.model.part_file import Hole, PartFile, part_problems

__all__ = ["PartSource", "pierced", "read_drawing", "read_part_file"]

_NEAR = 0.1  # a named hole lies where the drawing has one, within this [mm]
_RECORDS = ("hole", "group", "case")


@dataclass(frozen=True)
class PartSource:
    """A part file with its text, so that problems found later can name their lines."""

    file: PartFile
    source: SourceFile

    def problem(self, path: Path, code: str, message: str) -> Problem:
        """Return a problem with its key path and line."""
        return _problem(self.source, path, code, message)


def read_part_file(path: FilePath) -> PartSource:
    """Read the file of one part.

    Parameters
    ----------
    path : pathlib.Path
        The file.

    Raises
    ------
    DesignFileError
        With every problem found.
    """
    source = read_source(path, path.name)
    values = source.values
    problems = list(_form(source))
    if problems:
        raise DesignFileError(problems)
    try:
        file = PartFile.model_validate(values)
    except ValidationError as error:
        found = faults(error, values, _no_names, PartFile)
        raise DesignFileError([_problem(source, f.path, f.code, f.message) for f in found]) from None
    problems = [_problem(source, *report) for report in part_problems(file)]
    if problems:
        raise DesignFileError(problems)
    return PartSource(file, source)


def read_drawing(part: PartSource) -> Outline:
    """Return the outline that a part's drawing holds.

    Parameters
    ----------
    part : PartSource
        A part with a drawing.

    Raises
    ------
    DesignFileError
        If the drawing cannot be read, or does not hold exactly one plate.
    """
    folder = part.source.path.parent
    try:
        target = inside_root(part.file.part.drawing, folder, folder)
    except FilePathError as error:
        raise DesignFileError([part.problem(("part", "drawing"), "drawing.path", str(error))]) from None
    try:
        plates = read_loops_dxf(target)
    except DrawingError as error:
        raise DesignFileError([part.problem(("part", "drawing"), "drawing.unreadable", str(error))]) from None
    if len(plates) != 1:
        text = f"must hold one plate in one piece (got {len(plates)}); keep one outline and its openings."
        raise DesignFileError([part.problem(("part", "drawing"), "drawing.unreadable", text)])
    return plates[0]


def pierced(part: PartSource, outline: Outline) -> tuple[Outline, dict[str, int]]:
    """Return the outline with its named holes, and which round hole of it each name is.

    Parameters
    ----------
    part : PartSource
        The part.
    outline : Outline
        Before its named holes are cut [mm].

    Raises
    ------
    DesignFileError
        If a hole is not wholly within the plate, or the drawing has none there.
    """
    new = [(n, h) for n, h in enumerate(part.file.hole) if h.diameter_mm is not None]
    try:
        made, touching = pierce(outline, [Circle(*h.at_mm, (h.diameter_mm or 0.0) / 2) for _, h in new])
    except GeometryError as error:
        raise DesignFileError([part.problem(("hole",), "part.outline", f"cannot be cut: {error}")]) from None
    problems = [
        part.problem(("hole", new[k][0]), "part.outline", "must lie within the plate, clear of edges and openings.")
        for k in touching
    ]
    names: dict[str, int] = {}
    for n, hole in enumerate(part.file.hole):
        number = _nearest(hole, made)
        if number is None and hole.diameter_mm is None:
            text = "names a hole that the outline does not have there; give it a diameter_mm, or its true centre."
            problems.append(part.problem(("hole", n), "part.hole", text))
        elif number is not None:
            names[hole.id] = number
    if problems:
        raise DesignFileError(problems)
    return made, names


def _nearest(hole: Hole, outline: Outline) -> int | None:
    away = [math.dist(hole.at_mm, (c.x, c.y)) for c in outline.circles]
    best = min(range(len(away)), key=away.__getitem__, default=None)
    return best if best is not None and away[best] < _NEAR else None


def _form(source: SourceFile) -> list[Problem]:
    """Return what is wrong before records can be read: the version, lists that are none, ids that are missing."""
    values: dict[str, Any] = source.values
    if values.get("format") != 1 or isinstance(values["format"], bool):
        text = f"must be 1, the only version of the part file (got {values.get('format', 'nothing')!r})."
        return [_problem(source, ("format",), "file.format", text)]
    problems = []
    for key in (*_RECORDS, "hold", "ply"):
        given = values.get(key, [])
        if not isinstance(given, list) or not all(isinstance(record, dict) for record in given):
            text = f"must be a list of records: write [[{key}]] above each."
            problems.append(_problem(source, (key,), "record.form", text))
        elif key in _RECORDS:
            for n, record in enumerate(given):
                if not isinstance(record.get("id"), str):
                    text = 'needs an id, a text of its own such as id = "tip".'
                    problems.append(_problem(source, (key, n), "record.id", text))
    if not isinstance(values.get("part", {}), dict):
        problems.append(_problem(source, ("part",), "record.form", "must be a table: write [part] above its keys."))
    return problems


def _problem(source: SourceFile, path: Path, code: str, message: str) -> Problem:
    return Problem(code, key_path(source.values, path), one_line(message), source.name, source.line(path))


def _no_names(name: str) -> float:
    raise KeyError(name)
