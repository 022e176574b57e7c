"""Load a design: files read once, resolved, its levels found, resolved again where expressions use them, assembled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from platewright.app.workspace import cache_folder
from platewright.assembly.assemble import Assembly, Skeleton, assemble, level_names, skeleton
from platewright.assembly.heights import LevelError
from platewright.assembly.load_places import load_place_problems
from platewright.foundation.errors import DesignFileError, DrawingError, GeometryError
from platewright.geometry.cache import OutlineCache
from platewright.geometry.loops import Outline
from platewright.io.design_file import DesignTree, read_tree, resolve
from platewright.io.foreign_drawing import read_loops_dxf
from platewright.model.catalogue import Catalogue, load_catalogue
from platewright.model.design import Design

__all__ = ["Loaded", "assemble_tree", "load", "reassemble"]

_SETTLED = 1e-6  # heights that move less than this between two passes have settled [mm]


@dataclass(frozen=True)
class Loaded:
    """A design with everything that follows from it, and what is needed to try it with other parameters."""

    assembly: Assembly
    tree: DesignTree
    catalogue: Catalogue
    outlines: OutlineCache


def load(path: Path, records: Path | None = None, cache: Path | None = None) -> Loaded:
    """Load and assemble a design file.

    Parameters
    ----------
    path : Path
        The design file.
    records : Path or None
        A folder of the user's own catalogue records.
    cache : Path or None
        Folder of the outline cache; the user's cache folder when None.

    Raises
    ------
    DesignFileError
        With every problem found.
    CatalogueError
        If the user's own records cannot be read.
    """
    catalogue = load_catalogue(records)
    outlines = OutlineCache(cache or cache_folder())
    tree = read_tree(path)
    return Loaded(assemble_tree(tree, catalogue, outlines), tree, catalogue, outlines)


def assemble_tree(
    tree: DesignTree, catalogue: Catalogue, outlines: OutlineCache, parameters: Mapping[str, float] | None = None
) -> Assembly:
    """Assemble a read design, with some of its parameters replaced.

    Raises
    ------
    DesignFileError
        With every problem found.
    """
    design = resolve(tree, catalogue, None, parameters)
    bones = _skeleton(tree, design, catalogue)
    if tree.uses_levels:
        names = level_names(bones)
        design = resolve(tree, catalogue, names, parameters)
        bones = _skeleton(tree, design, catalogue)
        moved = {n for n, v in level_names(bones).items() if abs(v - names[n]) > _SETTLED}
        if moved:
            text = f"depends on a level that depends on it ({', '.join(sorted(moved))}); use a parameter there."
            raise DesignFileError([tree.problem(("column",), "level.circular", text)])
    try:
        made = assemble(design, catalogue, outlines.get_or_build, _drawings(tree, design), bones)
    except GeometryError as error:
        raise DesignFileError(
            [tree.problem(("part",), "part.outline", f"holds a shape that cannot be cut: {error}")]
        ) from error
    if problems := [tree.problem(*found) for found in load_place_problems(made)]:
        raise DesignFileError(problems)
    return made


def reassemble(loaded: Loaded, design: Design) -> Assembly:
    """Assemble a loaded design of which some records were replaced, its expressions as they were.

    Raises
    ------
    DesignFileError
        If it cannot be built so.
    """
    bones = _skeleton(loaded.tree, design, loaded.catalogue)
    drawings = _drawings(loaded.tree, design)
    try:
        return assemble(design, loaded.catalogue, loaded.outlines.get_or_build, drawings, bones)
    except GeometryError as error:
        text = f"holds a shape that cannot be cut: {error}"
        raise DesignFileError([loaded.tree.problem(("part",), "part.outline", text)]) from error


def _skeleton(tree: DesignTree, design: Design, catalogue: Catalogue) -> Skeleton:
    try:
        return skeleton(design, catalogue)
    except LevelError as error:
        ids = [p.id for p in design.place]
        where = ("place", ids.index(error.place)) if error.place in ids else ("column",)
        raise DesignFileError([tree.problem(where, "level.unknown", str(error))]) from error


def _drawings(tree: DesignTree, design: Design) -> dict[str, Outline]:
    """Read the drawings of parts that have one of their own: one plate each, in the part's own axes."""
    found, problems = {}, []
    for n, part in enumerate(design.part):
        if part.drawing is None:
            continue
        try:
            plates = read_loops_dxf(tree.folder / part.drawing)
        except DrawingError as error:
            problems.append(tree.problem(("part", n, "drawing"), "drawing.unreadable", str(error)))
            continue
        if len(plates) != 1:
            text = f"must hold one plate (got {len(plates)} in '{part.drawing}'); keep one outline and its openings."
            problems.append(tree.problem(("part", n, "drawing"), "drawing.unreadable", text))
        else:
            found[part.id] = plates[0]
    if problems:
        raise DesignFileError(problems)
    return found
