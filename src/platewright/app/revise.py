"""Freeze a design as its next revision, and list the revisions with what is in stock of each."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from platewright import __version__
from platewright.app.compare import compared_designs
from platewright.app.load import Loaded, load
from platewright.app.stock import opened
from platewright.foundation.errors import PlatewrightError, RequestError
from platewright.io.drawing.difference import difference_svg
from platewright.io.ledger.revisions import RevisionStock, revision_stock
from platewright.io.revision_folder import (
    RECORDS,
    Revision,
    altered_files,
    file_sum,
    read_revisions,
    revisions_folder,
    write_revision,
)
from platewright.study.compare import outline_difference
from platewright.study.compare_words import change_sentences
from platewright.study.identity import identity_of, same_part
from platewright.study.stock_items import design_hash

__all__ = ["ListedRevision", "frozen_design", "list_revisions", "revise"]

_LONGEST = 500  # of a reason [characters]


@dataclass(frozen=True)
class ListedRevision:
    """A revision, files of it that were altered since, and what the ledger holds of it."""

    revision: Revision
    altered: tuple[str, ...]
    stock: tuple[RevisionStock, ...]


def revise(path: Path, why: str, on: datetime.date, records: Path | None = None) -> tuple[Revision, Path]:
    """Freeze a design as its next revision; return the revision and its folder.

    Parameters
    ----------
    path : Path
        The design file.
    why : str
        The reason, in the maker's words.
    on : date
        When.
    records : Path or None
        A folder of the user's own catalogue records, frozen with the design.

    Raises
    ------
    DesignFileError
        With every problem of the file.
    RequestError
        If there is no reason, nothing changed, or the last revision was altered after it was frozen.
    OutputError
        If the revision cannot be written.
    """
    reason = " ".join(why.split())
    if not reason or len(reason) > _LONGEST:
        msg = f"--why must say in 1 to {_LONGEST} characters why this is a new revision (got {len(reason)})."
        raise RequestError(msg)
    loaded = load(path, records)
    files = _files(loaded, records)
    assembly = loaded.assembly
    frame = assembly.design.frame
    number = 1
    changes: tuple[str, ...] = ("the first revision.",)
    pictures: dict[str, str] = {}
    parts = dict.fromkeys(assembly.parts, 1)
    design = files.top
    if known := read_revisions(path):
        last = known[-1]
        number = last.number + 1
        before = _intact(path, last)
        if design_hash(before.assembly) == design_hash(assembly) and _drawings_same(last, files.content, loaded):
            msg = f"'{path.name}' says the same as revision {last.number} of {last.on}; there is nothing to freeze."
            raise RequestError(msg)
        parts = {
            name: last.parts.get(name, number) if _same(before, loaded, name) else number for name in assembly.parts
        }
        compared = compared_designs(before.assembly, assembly)
        changes = change_sentences(compared.comparison) or ("only words or order of the design file changed.",)
        names = (f"revision {last.number}", f"revision {number}")
        for row in compared.comparison.parts:
            if row.state == "changed":
                one, other = before.assembly.parts[row.first].outline, assembly.parts[row.second].outline
                areas = outline_difference(one, other)
                svg = difference_svg(f"{row.second}: {names[0]} and {names[1]}", names, one, other, areas)
                pictures[f"difference_{row.second}.svg"] = svg
    digest = design_hash(assembly)
    made = Revision(number, frame.name, frame.revision, design, digest, on, reason, changes, parts, {}, __version__)
    _try(files.content, made, digest)
    return made, write_revision(path, made, files.content, pictures)


def list_revisions(path: Path, ledger: str | None = None) -> list[ListedRevision]:
    """Return the revisions of a design file, oldest first; with a ledger's address, what is in stock of each.

    Raises
    ------
    RequestError
        If one cannot be read.
    LedgerError
        If the ledger cannot be opened.
    """
    known = read_revisions(path)
    rows: list[RevisionStock] = []
    if ledger is not None and known:
        with opened(ledger) as book, book.read() as connection:
            rows = revision_stock(connection, [r.design_hash for r in known])
    return [
        ListedRevision(r, altered_files(path, r), tuple(row for row in rows if row.design_hash == r.design_hash))
        for r in known
    ]


def frozen_design(path: Path, revision: Revision) -> Loaded:
    """Load a revision of a design file as it was frozen.

    Raises
    ------
    DesignFileError
        If this version can no longer read it.
    """
    folder = revisions_folder(path) / str(revision.number)
    records = folder / RECORDS
    return load(folder / revision.design, records if records.is_dir() else None)


@dataclass(frozen=True)
class _Files:
    top: str
    content: Mapping[str, bytes]


def _files(loaded: Loaded, records: Path | None) -> _Files:
    """Return every file of a design by its name relative to the design's folder."""
    tree = loaded.tree
    content = {source.name: source.path.read_bytes() for source in tree.files}
    for part in loaded.assembly.design.part:
        if part.drawing is not None:
            content[part.drawing] = (tree.folder / part.drawing).read_bytes()
    if records is not None:
        for file in sorted(p for p in records.rglob("*") if p.is_file()):
            content[f"{RECORDS}/{file.relative_to(records).as_posix()}"] = file.read_bytes()
    return _Files(tree.files[-1].name, content)


def _intact(path: Path, revision: Revision) -> Loaded:
    if altered := altered_files(path, revision):
        msg = (
            f"revision {revision.number} was altered after it was frozen ({', '.join(altered)}); put its files back "
            "from a copy, so that it can be said what changed."
        )
        raise RequestError(msg)
    return frozen_design(path, revision)


def _drawings_same(revision: Revision, content: Mapping[str, bytes], loaded: Loaded) -> bool:
    drawings = [p.drawing for p in loaded.assembly.design.part if p.drawing is not None]
    return all(revision.files.get(name) == file_sum(content[name]) for name in drawings)


def _same(before: Loaded, after: Loaded, name: str) -> bool:
    old = before.assembly.parts.get(name)
    if old is None:
        return False
    return same_part(identity_of(old), identity_of(after.assembly.parts[name])) is not None


def _try(content: Mapping[str, bytes], revision: Revision, digest: str) -> None:
    """Load the files from elsewhere before they are called frozen: all that the design needs must be among them."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, data in content.items():
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            (folder / file).write_bytes(data)
        records = folder / RECORDS
        try:
            again = load(folder / revision.design, records if records.is_dir() else None)
        except PlatewrightError as error:
            msg = f"the design cannot be frozen: its copy cannot be read without other files: {error}"
            raise RequestError(msg) from error
        if design_hash(again.assembly) != digest:
            msg = "the design cannot be frozen: its copy, read alone, says something else; keep its files together."
            raise RequestError(msg)
