"""Records found by kind and id, by class, or by the words in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from platewright.foundation.errors import CatalogueError, nearest_names
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.references import broken_references, doubled_names

__all__ = ["RecordStore", "missing"]

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class RecordStore:
    """Records with unique kind and id.

    A look-up that finds nothing raises `CatalogueError` with the nearest names.

    Parameters
    ----------
    all_records : tuple of Record
        In the order of a listing; kind and id together are unique.
    """

    all_records: tuple[Record, ...]
    _by_kind: Mapping[str, Mapping[str, Record]] = field(init=False, repr=False, compare=False)
    _by_id: Mapping[str, tuple[Record, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_kind: dict[str, dict[str, Record]] = {}
        by_id: dict[str, tuple[Record, ...]] = {}
        for record in self.all_records:
            by_kind.setdefault(record.kind, {})[record.id] = record
            by_id[record.id] = (*by_id.get(record.id, ()), record)
        object.__setattr__(self, "_by_kind", by_kind)
        object.__setattr__(self, "_by_id", by_id)

    def records(self, kind: str | None = None) -> Iterator[Record]:
        """Yield all records, or those of one kind.

        Raises
        ------
        CatalogueError
            If the catalogue has no record of this kind.
        """
        if kind is None:
            yield from self.all_records
        elif kind in self._by_kind:
            yield from self._by_kind[kind].values()
        else:
            raise missing("kind", kind, self._by_kind)

    def kinds(self) -> tuple[str, ...]:
        """Return the kinds that have records."""
        return tuple(self._by_kind)

    def get(self, record_type: type[R], record_id: str) -> R:
        """Return one record by its class and id.

        Examples
        --------
        >>> from platewright.model.catalogue import Motor, load_catalogue
        >>> load_catalogue().get(Motor, "motor_2207").patterns
        ('16x16',)
        """
        found = self._by_kind.get(record_type.kind, {}).get(record_id)
        if not isinstance(found, record_type):
            raise missing(record_type.kind.replace("_", " "), record_id, self._by_kind.get(record_type.kind, {}))
        return found

    def find(self, record_id: str) -> tuple[Record, ...]:
        """Return the records of any kind with this id; at least one."""
        if record_id not in self._by_id:
            raise missing("record", record_id, self._by_id)
        return self._by_id[record_id]

    def search(self, text: str) -> tuple[Record, ...]:
        """Return the records that hold every word of a text in their kind, id, title, standard, source or note."""
        words = text.lower().split()
        return tuple(r for r in self.all_records if all(word in _searchable(r) for word in words))

    def contradictions(self) -> list[str]:
        """Return a sentence for each name that means two records or none; empty for a sound catalogue."""
        return broken_references(self.all_records) + doubled_names(self.all_records)

    def of_class(self, record_type: type[R]) -> list[R]:
        """Return the records of one class."""
        return [r for r in self._by_kind.get(record_type.kind, {}).values() if isinstance(r, record_type)]

    def of_thread(
        self, record_type: type[R], thread: str, key: str = "", value: str = "", thread_key: str = "thread"
    ) -> R:
        """Return the record of a thread whose field `key` is `value`."""
        names = []
        for record in self.of_class(record_type):
            its_thread, its_value = getattr(record, thread_key), getattr(record, key) if key else ""
            if its_thread == thread and its_value == value:
                return record
            names.append(f"{its_thread} {its_value}".rstrip())
        same_thread = [name for name in names if name.split()[0] == thread]
        raise missing(record_type.kind.replace("_", " "), f"{thread} {value}".rstrip(), same_thread or names)


def missing(what: str, name: str, known: Iterable[str]) -> CatalogueError:
    """Return the error that a record is not there, with the nearest names or, of a few, all."""
    names = sorted(known)
    near = nearest_names(name, names)
    if near and len(names) > 4:
        hint = f"did you mean {' or '.join(near)}?"
    elif names:
        hint = f"known: {', '.join(names[:12])}{', ...' if len(names) > 12 else ''}."
    else:
        hint = "the catalogue has none of this kind."
    return CatalogueError(f"unknown {what} {name!r}; {hint}")


def _searchable(record: Record) -> str:
    standard = getattr(record, "standard", "")
    return f"{record.kind} {record.id} {record.title} {standard} {record.source} {record.note}".lower()
