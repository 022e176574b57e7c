"""The shop file, read with the sentences of the design file."""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from platewright.foundation.errors import DesignFileError, Problem, RequestError, nearest_names
from platewright.io.design_file.lines import Path
from platewright.io.design_file.sentences import faults
from platewright.io.design_file.source import SourceFile, read_source
from platewright.io.design_file.tree import key_path, one_line
from platewright.model.catalogue import Catalogue
from platewright.model.shop import ShopFile, shop_problems

__all__ = ["find_shop_file", "read_shop_file"]

_NAMES = ("shop.toml", "shop/shop.toml")
_TABLES = ("machine", "labour", "customs")
_LISTS = ("cutter", "sheet", "offcut", "hardware", "packing", "kit", "carton", "carrier")


def read_shop_file(path: FilePath, catalogue: Catalogue) -> ShopFile:
    """Read a shop file.

    Parameters
    ----------
    path : pathlib.Path
        The file.
    catalogue : Catalogue
        Must have the cutters and materials that it names.

    Raises
    ------
    DesignFileError
        With every problem found.
    """
    source = read_source(path, path.name)
    problems = _form(source)
    if problems:
        raise DesignFileError(problems)
    try:
        file = ShopFile.model_validate(source.values)
    except ValidationError as error:
        found = faults(error, source.values, _no_names, ShopFile)
        raise DesignFileError([_problem(source, f.path, f.code, f.message) for f in found]) from None
    problems = [_problem(source, *report) for report in shop_problems(file)]
    problems += _unknown(source, file, catalogue)
    if problems:
        raise DesignFileError(problems)
    return file


def find_shop_file(design: FilePath, given: FilePath | None) -> FilePath:
    """Return the shop file of a design: the one given, or `shop.toml` or `shop/shop.toml` beside the design.

    Raises
    ------
    RequestError
        If there is none.
    """
    if given is not None:
        return given
    found = next((path for name in _NAMES if (path := design.absolute().parent / name).is_file()), None)
    if found is None:
        msg = (
            f"there is no shop.toml beside '{design.name}'; write one (docs/reference/shop_file.md) or name it: --shop."
        )
        raise RequestError(msg)
    return found


def _form(source: SourceFile) -> list[Problem]:
    """Return what is wrong before records can be read: the version, and tables that are none."""
    values: dict[str, Any] = source.values
    if values.get("format") != 1 or isinstance(values["format"], bool):
        text = f"must be 1, the only version of the shop file (got {values.get('format', 'nothing')!r})."
        return [_problem(source, ("format",), "file.format", text)]
    problems = []
    for key in _TABLES:
        if not isinstance(values.get(key, {}), dict):
            text = f"must be a table: write [{key}] above its keys."
            problems.append(_problem(source, (key,), "record.form", text))
    for key in _LISTS:
        given = values.get(key, [])
        if not isinstance(given, list) or not all(isinstance(record, dict) for record in given):
            text = f"must be a list of records: write [[{key}]] above each."
            problems.append(_problem(source, (key,), "record.form", text))
    return problems


def _unknown(source: SourceFile, file: ShopFile, catalogue: Catalogue) -> list[Problem]:
    cutters = [c.id for c in catalogue.cutters()]
    laminates = [r.id for r in catalogue.records("laminate")]
    named: list[tuple[Path, str, str, list[str]]] = [
        (("cutter", n, "id"), "cutter", c.id, cutters) for n, c in enumerate(file.cutter)
    ]
    named += [(("sheet", n, "material"), "laminate", r.material, laminates) for n, r in enumerate(file.sheet)]
    named += [(("offcut", n, "material"), "laminate", r.material, laminates) for n, r in enumerate(file.offcut)]
    return [
        _problem(source, path, "reference.catalogue", f"names the unknown {what} '{name}'{_near(name, known)}")
        for path, what, name, known in named
        if name not in known
    ]


def _near(name: str, known: list[str]) -> str:
    near = nearest_names(name, known)
    return f"; did you mean {' or '.join(repr(n) for n in near)}?" if near else f"; there is {', '.join(known)}."


def _problem(source: SourceFile, path: Path, code: str, message: str) -> Problem:
    return Problem(code, key_path(source.values, path), one_line(message), source.name, source.line(path))


def _no_names(name: str) -> float:
    raise KeyError(name)
