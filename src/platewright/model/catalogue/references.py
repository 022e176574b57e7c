"""Checks between records: what one names must exist, and no name may mean two."""

from __future__ import annotations

from collections.abc import Iterable

from platewright.foundation.errors import nearest_names
from platewright.model.catalogue.base import Record

__all__ = ["broken_references", "doubled_names"]

_NAMES_A = {
    "thread": "thread",
    "screw": "thread",
    "base_thread": "thread",
    "shaft_thread": "thread",
    "mount_thread": "thread",
    "patterns": "motor_pattern",
    "pattern": "board_pattern",
    "board_patterns": "board_pattern",
    "view": "camera_view",
    "typical_class": "propeller_class",
}
_MATERIAL_KINDS = ("standoff", "spacer")
_OWN_THREADS = ("antenna",)  # coaxial threads are no metric threads
_FOUND_BY = {
    "screw": ("thread", "style"),
    "nut": ("thread", "style"),
    "washer": ("thread", "style"),
    "clearance_hole": ("thread", "fit"),
    "screw_lengths": ("thread",),
    "prevailing_torque": ("thread",),
    "standoff": ("thread", "style"),
    "grommet": ("screw",),
}


def broken_references(records: Iterable[Record]) -> list[str]:
    """Return a sentence for each name of another record that no record has."""
    ids: dict[str, set[str]] = {}
    records = tuple(records)
    for record in records:
        ids.setdefault(record.kind, set()).add(record.id)
    problems = []
    for record in records:
        for key, kind, name in _references(record):
            if name not in ids.get(kind, set()):
                near = nearest_names(name, ids.get(kind, set()))
                hint = f"did you mean {' or '.join(near)}?" if near else "add that record."
                what = f"{key} names the unknown {kind.replace('_', ' ')} {name!r}"
                problems.append(f"{record.origin}: {record.kind} {record.id}: {what}; {hint}")
    return problems


def doubled_names(records: Iterable[Record]) -> list[str]:
    """Return a sentence for each two records that a design would call by the same thread and style."""
    seen: dict[tuple[str, ...], Record] = {}
    problems = []
    for record in records:
        if record.kind not in _FOUND_BY:
            continue
        name = (record.kind, *(str(getattr(record, key)) for key in _FOUND_BY[record.kind]))
        if name in seen:
            other = seen[name]
            problems.append(
                f"{record.origin}: {record.kind} {record.id} must not be called {' '.join(name[1:])!r} like {other.id} "
                f"of {other.origin}; give it a name of its own, or the id {other.id} to replace that record."
            )
        seen[name] = record
    return problems


def _references(record: Record) -> Iterable[tuple[str, str, str]]:
    for key, kind in _NAMES_A.items():
        if key == "thread" and record.kind in _OWN_THREADS:
            continue
        value = getattr(record, key, None)
        for name in (value,) if isinstance(value, str) else value or ():
            yield key, kind, name
    if record.kind in _MATERIAL_KINDS:
        yield "material", "material", getattr(record, "material", "")
