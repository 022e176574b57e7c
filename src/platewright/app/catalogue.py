"""List, search and show catalogue records as plain rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue import Record, load_catalogue, record_rows

__all__ = [
    "CatalogueEntry",
    "KindCount",
    "RecordSheet",
    "catalogue_kinds",
    "list_records",
    "search_records",
    "show_record",
]


@dataclass(frozen=True)
class KindCount:
    """A kind of record and how many there are."""

    kind: str
    count: int


@dataclass(frozen=True)
class CatalogueEntry:
    """One line of a listing."""

    kind: str
    id: str
    title: str
    provenance: str
    source: str
    origin: str


@dataclass(frozen=True)
class RecordSheet:
    """Everything about one record: (label, value with unit) pairs, its source among the last."""

    entry: CatalogueEntry
    rows: tuple[tuple[str, str], ...]


def catalogue_kinds(overlay: Path | None = None) -> tuple[KindCount, ...]:
    """Count the records of each kind.

    Parameters
    ----------
    overlay : Path or None
        A user's own folder of records, laid over the shipped ones.

    Examples
    --------
    >>> [k for k in catalogue_kinds() if k.kind == "board_pattern"]
    [KindCount(kind='board_pattern', count=4)]
    """
    catalogue = load_catalogue(overlay)
    return tuple(KindCount(kind, sum(1 for _ in catalogue.records(kind))) for kind in catalogue.kinds())


def list_records(kind: str | None = None, overlay: Path | None = None) -> tuple[CatalogueEntry, ...]:
    """List all records, or those of one kind.

    Parameters
    ----------
    kind : str or None
        Kind such as ``motor``; None for all.
    overlay : Path or None
        A user's own folder of records.

    Raises
    ------
    CatalogueError
        If there is no such kind.

    Examples
    --------
    >>> [entry.id for entry in list_records("motor_pattern")][:3]
    ['9x9', '12x12', '16x16']
    """
    return _entries(load_catalogue(overlay).records(kind))


def search_records(text: str, overlay: Path | None = None) -> tuple[CatalogueEntry, ...]:
    """List the records that hold every word of a text in their kind, id, title, standard, source or note.

    Parameters
    ----------
    text : str
        Words, in any case and order.
    overlay : Path or None
        A user's own folder of records.

    Examples
    --------
    >>> [entry.title for entry in search_records("m3 press nut")]
    ['M3 press nut, none (self-clinching kind)']
    """
    return _entries(load_catalogue(overlay).search(text))


def show_record(record_id: str, kind: str | None = None, overlay: Path | None = None) -> tuple[RecordSheet, ...]:
    """Show the records with an id; records of different kinds may share one.

    Parameters
    ----------
    record_id : str
        Id of the record.
    kind : str or None
        Only of this kind; None for any.
    overlay : Path or None
        A user's own folder of records.

    Raises
    ------
    CatalogueError
        If there is no such record; the message has the nearest names.

    Examples
    --------
    >>> dict(show_record("motor_2207")[0].rows)["seat height"]
    '18.5 mm'
    """
    catalogue = load_catalogue(overlay)
    found = catalogue.find(record_id)
    if kind is not None:
        of_kind = tuple(record for record in found if record.kind == kind)
        if not of_kind:
            kinds = " or ".join(record.kind for record in found)
            message = f"{record_id!r} must be shown as the kind it is, {kinds} (got {kind!r})."
            raise CatalogueError(message)
        found = of_kind
    return tuple(RecordSheet(_entry(record), tuple(record_rows(record))) for record in found)


def _entries(records: Iterable[Record]) -> tuple[CatalogueEntry, ...]:
    return tuple(_entry(record) for record in records)


def _entry(record: Record) -> CatalogueEntry:
    return CatalogueEntry(record.kind, record.id, record.title, record.provenance, record.source, record.origin)
