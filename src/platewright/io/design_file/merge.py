"""Files that include each other become one tree.

Included files come first, in their order; what a file says itself comes on top. Tables are merged key by key. Records
of lists are merged by `id`: a later record with a known id changes only the keys it gives, `drop = true` removes it.
`nodes` of a part are records with ids too and are merged in the same way, so that a variant may move one node; every
other list inside a record is replaced whole. A file included twice, by two ways, counts once.
"""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import Any

from platewright.foundation.errors import DesignFileError, Problem, nearest_names
from platewright.io.design_file.folder import FilePathError, inside_root, relative_name
from platewright.io.design_file.lines import Path
from platewright.io.design_file.source import SourceFile, read_source
from platewright.io.design_file.tree import DesignTree, key_path, one_line

__all__ = ["LISTS", "TABLES", "read_tree"]

LISTS = ("part", "place", "column", "equipment", "tab", "key", "load_case")
"""Lists of records, merged by id."""
TABLES = ("frame", "parameters", "rotors", "drive", "checks")
"""Tables, merged key by key."""
_ROTOR_WAYS = ({"fore_aft_mm", "lateral_mm"}, {"at_mm"}, {"follow"})
_FORMAT = 1
_MAX_FILES = 50


def read_tree(path: FilePath | str, root: FilePath | str | None = None) -> DesignTree:
    """Read a design file and all it includes.

    Parameters
    ----------
    path : path
        The top file.
    root : path or None
        Folder that no include and no drawing may leave; None for the folder of the top file.

    Raises
    ------
    DesignFileError
        With every problem of reading, including and merging.
    """
    top = FilePath(path)
    merger = _Merger(top.parent, FilePath(root) if root is not None else top.parent)
    try:
        merger.add(top, (), None)
    except DesignFileError as error:
        merger.problems.extend(error.problems)
    if merger.problems:
        raise DesignFileError(sorted(merger.problems, key=lambda p: (p.file, p.line or 0)))
    return DesignTree(top.parent, tuple(merger.files), merger.values, merger.origins())


class _Merger:
    """The tree under construction; `entries` remembers where each merged key came from."""

    def __init__(self, folder: FilePath, root: FilePath) -> None:
        self.folder = folder
        self.root = root
        self.values: dict[str, Any] = {}
        self.entries: dict[int, dict[str | int, tuple[SourceFile, Path]]] = {}
        self.whole: dict[str, tuple[SourceFile, Path]] = {}
        self.files: list[SourceFile] = []
        self.seen: set[FilePath] = set()
        self.problems: list[Problem] = []

    def add(self, path: FilePath, chain: tuple[tuple[FilePath, str], ...], asked: Problem | None) -> None:
        """Merge one file after what it includes; `asked` is the place of the include, for a file that is missing."""
        name = relative_name(path, self.folder)
        real = path.resolve()
        self.seen.add(real)
        try:
            source = read_source(path, name)
        except DesignFileError as error:
            if asked is None or error.problems[0].line is not None:
                raise
            problem = error.problems[0]
            raise DesignFileError(
                [
                    Problem(
                        problem.code,
                        asked.path,
                        f"names a file that cannot be included: {problem.message}",
                        asked.file,
                        asked.line,
                    )
                ]
            ) from None
        self.check_format(source)
        for index, entry in enumerate(self.included(source)):
            try:
                self.include(source, index, entry, (*chain, (real, name)))
            except DesignFileError as error:
                self.problems.extend(error.problems)
        self.files.append(source)
        self.merge(source)

    def check_format(self, source: SourceFile) -> None:
        given = source.values.get("format")
        if "format" not in source.values:
            message = f"is missing in {source.name}: begin the file with format = {_FORMAT}."
            self.problems.append(Problem("file.format", "format", message, source.name, 1))
        elif type(given) is not int or given != _FORMAT:
            message = f"must be {_FORMAT}, the only version of the design file (got {given!r})."
            self.problems.append(Problem("file.format", "format", message, source.name, source.line(("format",))))

    def included(self, source: SourceFile) -> list[object]:
        entries = source.values.get("include", [])
        if isinstance(entries, list):
            return entries
        self.report(source, ("include",), "include.path", 'must be a list of file names, such as ["common/base.toml"].')
        return []

    def include(self, source: SourceFile, index: int, entry: object, chain: tuple[tuple[FilePath, str], ...]) -> None:
        path: Path = ("include", index)
        try:
            target = inside_root(entry, source.path.parent, self.root)
        except FilePathError as error:
            self.report(source, path, "include.path", str(error))
            return
        real = target.resolve()
        names = [name for _, name in chain]
        files = [file for file, _ in chain]
        if real in files:
            circle = " -> ".join([*names[files.index(real) :], names[files.index(real)]])
            self.report(source, path, "include.cycle", f"closes a circle of includes: {circle}; take one of them out.")
        elif real not in self.seen:
            if len(self.seen) >= _MAX_FILES:
                self.report(source, path, "include.path", f"is one file too many: a design has at most {_MAX_FILES}.")
                return
            self.add(target, chain, Problem("", key_path(source.values, path), "", source.name, source.line(path)))

    def merge(self, source: SourceFile) -> None:
        for key, value in source.values.items():
            if key in LISTS:
                self.merge_list(source, key, value)
            elif key in TABLES:
                self.merge_table(source, key, value)
            else:
                self.values[key] = value
                self.whole[key] = (source, (key,))

    def merge_table(self, source: SourceFile, key: str, given: object) -> None:
        if not isinstance(given, dict):
            self.report(source, (key,), "record.form", f"must be a table: write [{key}] above its keys.")
            return
        table: dict[str, Any] = self.values.setdefault(key, {})
        self.whole.setdefault(key, (source, (key,)))
        if key == "rotors":
            for ways in _ROTOR_WAYS:
                if ways.isdisjoint(given) and any(way & given.keys() for way in _ROTOR_WAYS):
                    for name in ways:
                        table.pop(name, None)
        self.take(source, table, given, (key,))

    def merge_list(self, source: SourceFile, key: str, given: object) -> None:
        if not isinstance(given, list) or not all(isinstance(record, dict) for record in given):
            self.report(source, (key,), "record.form", f"must be a list of records: write [[{key}]] above each.")
            return
        records: list[dict[str, Any]] = self.values.setdefault(key, [])
        self.whole.setdefault(key, (source, (key,)))
        self.merge_records(source, records, given, (key,))

    def merge_records(self, source: SourceFile, records: list[dict[str, Any]], given: list[Any], base: Path) -> None:
        """Merge records by id into `records`; `base` is the path of the list in the file."""
        known = {record["id"]: record for record in records}
        own: set[str] = set()
        for index, record in enumerate(given):
            path = (*base, index)
            name = record.get("id")
            if not isinstance(name, str):
                self.report(source, path, "record.id", 'needs an id, a text of its own such as id = "arm".')
                continue
            if name in own:
                message = f"has the id '{name}' a second time in this file; give it another."
                self.report(source, (*path, "id"), "record.duplicate", message)
                continue
            own.add(name)
            if "drop" in record and not self.keeps(source, record, known, path):
                if name in known:
                    records.remove(known.pop(name))
                continue
            if name not in known:
                known[name] = {}
                records.append(known[name])
                self.entries[id(known[name])] = {}
            self.take(source, known[name], record, path)

    def keeps(self, source: SourceFile, record: dict[str, Any], known: dict[str, Any], path: Path) -> bool:
        """Whether a record with the key `drop` stays; a `drop` that cannot be obeyed is reported."""
        drop, name = record["drop"], record["id"]
        if not isinstance(drop, bool):
            self.report(source, (*path, "drop"), "value.type", f"must be true or false (got {drop!r}).")
        elif drop and name not in known:
            near = nearest_names(name, known)
            hint = f"did you mean {' or '.join(repr(n) for n in near)}?" if near else "no included file has it."
            self.report(source, (*path, "drop"), "record.drop", f"cannot drop '{name}', which is not there; {hint}")
        elif drop and record.keys() - {"id", "drop"}:
            keys = ", ".join(sorted(record.keys() - {"id", "drop"}))
            self.report(
                source, (*path, "drop"), "record.drop", f"must stand alone with the id (found {keys} beside it)."
            )
        return drop is False

    def take(self, source: SourceFile, record: dict[str, Any], given: dict[str, Any], path: Path) -> None:
        """Let a record or table take the keys given."""
        places = self.entries.setdefault(id(record), {})
        for key, value in given.items():
            if key == "drop" and len(path) > 1:
                continue
            here = (*path, key)
            if key == "nodes" and path[0] == "part" and _are_records(value):
                nodes = record.setdefault("nodes", [])
                if _are_records(nodes):
                    self.merge_records(source, nodes, value, here)
                    places.setdefault(key, (source, here))
                    continue
            record[key] = self.drawing(source, value, here) if key == "drawing" and path[0] == "part" else value
            places[key] = (source, here)
        if path[-1:] and isinstance(path[-1], int):
            places.setdefault("", (source, path))

    def drawing(self, source: SourceFile, value: object, path: Path) -> object:
        """Path of a drawing relative to the folder of the design, whichever file names it."""
        if not isinstance(value, str):
            return value
        try:
            target = inside_root(value, source.path.parent, self.root)
        except FilePathError as error:
            self.report(source, path, "drawing.path", str(error))
            return value
        if not target.is_file():
            self.report(source, path, "drawing.path", f"names the drawing '{value}', which does not exist.")
        return relative_name(target, self.folder)

    def report(self, source: SourceFile, path: Path, code: str, message: str) -> None:
        problem = Problem(code, key_path(source.values, path), one_line(message), source.name, source.line(path))
        self.problems.append(problem)

    def origins(self) -> dict[Path, tuple[SourceFile, Path]]:
        """Origin of each record and key of the merged tree."""
        found: dict[Path, tuple[SourceFile, Path]] = {(key,): place for key, place in self.whole.items()}
        for name in TABLES:
            if name in self.values:
                self.collect(self.values[name], (name,), found)
        for name in LISTS:
            for index, record in enumerate(self.values.get(name, ())):
                self.collect(record, (name, index), found)
                nodes = record.get("nodes")
                for position, node in enumerate(nodes if _are_records(nodes) else ()):
                    self.collect(node, (name, index, "nodes", position), found)
        return found

    def collect(self, record: dict[str, Any], path: Path, found: dict[Path, tuple[SourceFile, Path]]) -> None:
        for key, place in self.entries.get(id(record), {}).items():
            found[path if key == "" else (*path, key)] = place


def _are_records(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, dict) for item in value)
