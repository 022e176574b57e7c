"""`platewright catalogue`: list, search and show records with their sources."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from platewright.app.catalogue import CatalogueEntry, catalogue_kinds, list_records, search_records, show_record
from platewright.cli.tables import screen

__all__ = ["catalogue"]


def catalogue(what: str = "", /, *, search: str = "", kind: str = "", catalogue: Path | None = None) -> int:
    """List the kinds of records, the records of a kind, or one record with its source.

    Parameters
    ----------
    what
        Nothing for the kinds, a kind for its records, or the id of a record to show.
    search
        Show the records that hold this text.
    kind
        Kind of the record to show, where its id is used by several.
    catalogue
        A folder of your own records, laid over the shipped ones.
    """
    console = screen()
    kinds = catalogue_kinds(catalogue)
    if search:
        _list(console, search_records(search, catalogue))
    elif not what:
        table = Table("kind", "records", title="Catalogue", title_justify="left", pad_edge=False)
        for row in kinds:
            table.add_row(row.kind, str(row.count))
        console.print(table)
    elif what in {k.kind for k in kinds} and not kind:
        _list(console, list_records(what, catalogue))
    else:
        for sheet in show_record(what, kind or None, catalogue):
            title = f"{sheet.entry.kind} {sheet.entry.id}"
            table = Table(title=title, title_justify="left", pad_edge=False, show_header=False)
            for label, value in sheet.rows:
                table.add_row(label, Text(value))
            console.print(table)
    return 0


def _list(console: Console, entries: Iterable[CatalogueEntry]) -> None:
    table = Table("kind", "id", "what", "provenance", "source", pad_edge=False)
    for e in entries:
        table.add_row(e.kind, e.id, e.title, e.provenance, Text(e.source))
    console.print(table)
