"""Reads catalogue folders: the shipped one, and a user's own laid over it.

Two file forms: a TOML file holds arrays of tables, ``[[motor]]``, of any kinds; a CSV file holds one kind, named by the
file, its columns the record's fields, lists separated by ``;`` and an empty cell for none. A user's record with a known
kind and id replaces the shipped one whole, a new id adds one.
"""

from __future__ import annotations

import csv
import functools
import tomllib
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from platewright.foundation.errors import CatalogueError, nearest_names
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.kinds import KINDS
from platewright.model.catalogue.store import Catalogue

__all__ = ["load_catalogue"]

_SEPARATOR = ";"


def load_catalogue(overlay: Path | None = None) -> Catalogue:
    """Read the shipped catalogue, with a user's folder of records over it.

    Parameters
    ----------
    overlay : Path or None
        Folder of ``*.toml`` and ``*.csv`` files in the forms above; None for the shipped records alone.

    Returns
    -------
    Catalogue
        Every record; the shipped catalogue is read once in a process.

    Raises
    ------
    CatalogueError
        If the folder cannot be read or any record is wrong; the message has a line for each problem.

    Examples
    --------
    >>> load_catalogue().nut("M3", "insert").height_max_mm
    4.0
    """
    return _shipped() if overlay is None else _overlaid(_shipped(), Path(overlay))


@functools.cache
def _shipped() -> Catalogue:
    with resources.as_file(resources.files("platewright.catalogue")) as folder:
        return _assembled(*_read_folder(folder, "shipped/"))


def _overlaid(shipped: Catalogue, folder: Path) -> Catalogue:
    if not folder.is_dir():
        message = f"{folder} must be a folder of catalogue records (it is not a folder); give an existing one."
        raise CatalogueError(message)
    records, problems = _read_folder(folder, f"{folder.name}/")
    merged = {(record.kind, record.id): record for record in shipped.records()}
    merged.update(records)
    return _assembled(merged, problems)


def _assembled(records: dict[tuple[str, str], Record], problems: list[str]) -> Catalogue:
    catalogue = Catalogue(tuple(records.values()))
    problems = problems or catalogue.contradictions()
    if problems:
        raise CatalogueError("\n".join(problems))
    return catalogue


def _read_folder(folder: Path, prefix: str) -> tuple[dict[tuple[str, str], Record], list[str]]:
    records: dict[tuple[str, str], Record] = {}
    problems: list[str] = []
    for path in sorted(folder.iterdir()):
        origin = prefix + path.name
        try:
            tables = list(_tables(path))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, csv.Error) as error:
            problems.append(f"{origin}: cannot be read ({error}).")
            continue
        for kind, position, table in tables:
            record = _record(kind, position, table, origin, problems)
            if record is None:
                continue
            key = (kind, record.id)
            if key in records:
                other = records[key].origin
                problems.append(f"{origin}: {kind} {record.id}: id must be given once (also in {other}); rename one.")
            records[key] = record
    return records, problems


def _tables(path: Path) -> Iterator[tuple[str, int, Any]]:
    """Yield kind, position in the file and raw fields of each record."""
    if path.suffix == ".toml":
        for kind, tables in tomllib.loads(path.read_text(encoding="utf-8")).items():
            for position, table in enumerate(tables if isinstance(tables, list) else [tables]):
                yield kind, position, table
    elif path.suffix == ".csv":
        with path.open(encoding="utf-8", newline="") as file:
            for position, row in enumerate(csv.DictReader(file, strict=True)):
                yield path.stem, position, _cells(path.stem, row)


def _cells(kind: str, row: dict[Any, Any]) -> dict[str, Any]:
    """Turn a CSV row into fields: empty cells left out, lists split where the record wants a list."""
    lists = _list_fields(kind)
    fields: dict[str, Any] = {}
    for name, cell in row.items():
        if name is None:
            fields["(cells beyond the header)"] = cell
        elif cell:
            fields[name] = [part.strip() for part in cell.split(_SEPARATOR)] if name in lists else cell
    return fields


@functools.cache
def _list_fields(kind: str) -> frozenset[str]:
    fields = KINDS[kind].model_fields if kind in KINDS else {}
    return frozenset(name for name, field in fields.items() if "tuple" in str(field.annotation))


def _record(kind: str, position: int, table: Any, origin: str, problems: list[str]) -> Record | None:
    if kind not in KINDS:
        near = nearest_names(kind, KINDS) or sorted(KINDS)
        problem = f"{origin}: unknown kind {kind!r}; known kinds are like {', '.join(near)}."
        if problem not in problems:
            problems.append(problem)
        return None
    if not isinstance(table, dict):
        problems.append(f"{origin}: {kind} must be an array of tables, [[{kind}]] (got {table!r}).")
        return None
    name = table.get("id", f"number {position + 1}")
    if "origin" in table:
        problems.append(f"{origin}: {kind} {name}: origin must not be given; it is the file's name.")
        return None
    try:
        return KINDS[kind].model_validate({**table, "origin": origin})
    except ValidationError as error:
        problems.extend(f"{origin}: {kind} {name}: {_sentence(kind, details)}" for details in error.errors())
        return None


def _sentence(kind: str, details: Any) -> str:
    key = ".".join(str(part) for part in details["loc"])
    if details["type"] == "extra_forbidden":
        near = nearest_names(key, KINDS[kind].model_fields)
        return f"{key} is not a key of a {kind} record" + (f"; did you mean {' or '.join(near)}?" if near else ".")
    if details["type"] == "missing":
        return f"{key} must be given."
    reason = details["msg"].removeprefix("Value error, ")
    return f"{key or 'record'}: {reason[0].lower()}{reason[1:]} (got {details['input']!r})." if key else f"{reason}."
