"""Make a wrong tree readable, so that the rest of it can be judged in the same run.

A number that is wrong becomes one within its limits, an unknown key goes, a key with a default falls back to it; a
record that cannot be mended is left out, and naming it elsewhere is then no problem. Nothing mended is ever built.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from platewright.io.design_file.lines import Path
from platewright.io.design_file.merge import LISTS
from platewright.io.design_file.names import STAND_IN
from platewright.io.design_file.record_types import bounds_of, field_at
from platewright.io.design_file.sentences import Fault, faults
from platewright.model.design import Design

__all__ = ["Mended", "mend"]

_ROUNDS = 4
_LEAST = {"frame": {"name": "unnamed"}, "rotors": {"fore_aft_mm": 100.0, "lateral_mm": 100.0}, "format": 1}


@dataclass(frozen=True)
class Mended:
    """A readable design, the ids left out of it, and for each list the places of its records in the tree."""

    design: Design
    left_out: frozenset[str]
    kept: dict[str, list[int]]

    def path_in_tree(self, path: Path) -> Path:
        """Path in the tree as read of a path in the mended design."""
        if len(path) > 1 and path[0] in self.kept and isinstance(path[1], int):
            return (path[0], self.kept[str(path[0])][path[1]], *path[2:])
        return path


def mend(values: dict[str, Any], found: list[Fault], lookup: Callable[[str], float]) -> Mended | None:
    """Mend what was found and read the rest; None when a few rounds do not suffice.

    Parameters
    ----------
    values : dict
        The tree as read; it is not changed.
    found : list of Fault
        What its validation found.
    lookup : callable
        Gives the values of names.
    """
    values = copy.deepcopy(values)
    kept = {name: list(range(len(values[name]))) for name in LISTS if name in values}
    left_out: set[str] = set()
    for _ in range(_ROUNDS):
        hopeless = {path for fault in found if (path := _mend_one(values, fault)) is not None}
        _leave_out(values, hopeless, kept, left_out)
        try:
            design = Design.model_validate(values, context={"lookup": lookup})
        except ValidationError as error:
            found = faults(error, values, lookup)
        else:
            return Mended(design, frozenset(left_out), kept)
    return None


def _mend_one(values: dict[str, Any], fault: Fault) -> Path | None:
    """Mend one fault in place; otherwise return the path of the record that has to go."""
    record, field = field_at(values, fault.path)
    parent = _at(values, fault.path[:-1])
    if fault.code in {"value.range", "expression.invalid"} and isinstance(parent, dict | list):
        bounds = bounds_of(record, field)
        parent[fault.path[-1]] = bounds.inside if bounds is not None else STAND_IN  # type: ignore[index]
        return None
    if fault.code == "key.unknown":
        if isinstance(parent, dict):
            parent.pop(fault.path[-1], None)
        return None
    info = record.model_fields.get(field)
    if info is not None and not info.is_required() and field in fault.path:
        owner = _at(values, fault.path[: len(fault.path) - 1 - fault.path[::-1].index(field)])
        if isinstance(owner, dict):
            owner.pop(field, None)
            return None
    return fault.path[:2]


def _leave_out(values: dict[str, Any], hopeless: Iterable[Path], kept: dict[str, list[int]], ids: set[str]) -> None:
    for path in sorted(
        hopeless, key=lambda p: (str(p[0]), *(k if isinstance(k, int) else 0 for k in p[1:])), reverse=True
    ):
        name = str(path[0])
        if name in kept and len(path) > 1 and isinstance(path[1], int):
            record = values[name].pop(path[1])
            kept[name].pop(path[1])
            ids.add(record["id"])
        elif name in _LEAST:
            values[name] = copy.copy(_LEAST[name])
        else:
            values.pop(name, None)


def _at(values: Any, path: Path) -> Any:
    for key in path:
        if isinstance(values, dict):
            values = values.get(key)
        elif isinstance(values, list) and isinstance(key, int) and key < len(values):
            values = values[key]
        else:
            return None
    return values
