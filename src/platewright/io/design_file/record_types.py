"""Which record and which limits belong to a path of the design file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args, get_origin

from annotated_types import Ge, Gt, Le, Lt
from pydantic.fields import FieldInfo

from platewright.io.design_file.lines import Path
from platewright.model.base import Record
from platewright.model.design import Design

__all__ = ["Bounds", "bounds_of", "field_at", "records_of", "unit_of"]

_UNITS = {"mm": "mm", "deg": "deg", "g": "g", "mpa": "MPa", "n": "N", "diameters": "diameters", "pitches": "pitches"}


@dataclass(frozen=True)
class Bounds:
    """Limits of a number; a limit that is `open` is itself excluded."""

    low: float | None = None
    high: float | None = None
    low_open: bool = False
    high_open: bool = False

    @property
    def inside(self) -> float:
        """Some number that keeps the limits: 10 where it does, else the middle."""
        low = -math.inf if self.low is None else self.low
        high = math.inf if self.high is None else self.high
        return 10.0 if low < 10.0 < high else (low + high) / 2


def field_at(values: object, path: Path, root: type[Record] = Design) -> tuple[type[Record], str]:
    """Record class and field that a path leads to, from the record of the whole file.

    Examples
    --------
    >>> record, field = field_at({}, ("part", 2, "nodes", 0, "at_mm", 1))
    >>> record.__name__, field
    ('Node', 'at_mm')
    """
    record = root
    field = ""
    for key in path:
        if isinstance(key, str):
            if field:
                info = record.model_fields.get(field)
                nested = records_of(info.annotation) if info is not None else ()
                if not nested:
                    return record, field
                record = _chosen(nested, values)
            field = key
        values = _step(values, key)
    return record, field


def records_of(annotation: object) -> tuple[type[Record], ...]:
    """Record classes inside an annotation, in order."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return (annotation,)
    return tuple(record for inner in get_args(annotation) for record in records_of(inner))


@cache
def bounds_of(record: type[Record], field: str) -> Bounds | None:
    """Limits of the numbers of a field; None without any."""
    info = record.model_fields.get(field)
    if info is None:
        return None
    found: dict[str, Any] = {}
    for mark in _marks(info):
        if isinstance(mark, Ge | Gt):
            found |= {"low": mark.ge if isinstance(mark, Ge) else mark.gt, "low_open": isinstance(mark, Gt)}
        elif isinstance(mark, Le | Lt):
            found |= {"high": mark.le if isinstance(mark, Le) else mark.lt, "high_open": isinstance(mark, Lt)}
    return Bounds(**found) if found else None


def unit_of(field: str) -> str:
    """Return the unit that a key's name ends in; empty for none."""
    return "N mm" if field.endswith("_n_mm") else _UNITS.get(field.rpartition("_")[2], "")


def _marks(info: FieldInfo) -> Iterator[object]:
    yield from info.metadata
    yield from _inner_marks(info.annotation)


def _inner_marks(annotation: object) -> Iterator[object]:
    if get_origin(annotation) is Literal:
        return
    for inner in get_args(annotation):
        if isinstance(inner, FieldInfo):
            yield from inner.metadata
        elif isinstance(inner, Ge | Gt | Le | Lt):
            yield inner
        else:
            yield from _inner_marks(inner)
    for mark in getattr(annotation, "__metadata__", ()):
        yield from mark.metadata if isinstance(mark, FieldInfo) else (mark,)


def _step(values: object, key: str | int) -> object:
    if isinstance(values, dict):
        return values.get(key)
    if isinstance(values, list) and isinstance(key, int) and key < len(values):
        return values[key]
    return None


def _chosen(nested: tuple[type[Record], ...], values: object) -> type[Record]:
    """Of several shapes the one that a record names."""
    shape = values.get("shape") if isinstance(values, dict) else None
    for record in nested:
        info = record.model_fields.get("shape")
        if info is not None and shape in get_args(info.annotation):
            return record
    return nested[0]
