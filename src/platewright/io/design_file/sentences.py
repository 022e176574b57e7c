"""What the validation of records reports, in our own sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from pydantic import ValidationError

from platewright.foundation.errors import nearest_names
from platewright.io.design_file.lines import Path
from platewright.io.design_file.reasons import reason
from platewright.io.design_file.record_types import Bounds, bounds_of, field_at, unit_of
from platewright.model.base import Record
from platewright.model.design import Design
from platewright.model.expression import evaluate

__all__ = ["Fault", "faults"]

_RANGE = frozenset({"greater_than", "greater_than_equal", "less_than", "less_than_equal", "finite_number"})
_TYPES: Mapping[str, str] = {
    "float": "a number or an expression",
    "decimal": "a number",
    "int": "a whole number",
    "not": "a number or an expression",
    "bool": "true or false",
    "string": "a text",
    "tuple": "a list",
    "list": "a list",
    "dict": "a table of keys",
    "model": "a table of keys",
}
_LARGE = 10**300
_IDENTIFIER = "lower-case letters, digits and underscores, a letter first"
_FORMS: Mapping[str, str] = {
    "text": "capitals, digits, spaces, and . / -",
    "currency": "three capitals, such as EUR",
}
_COUNTED: Mapping[str, str] = {
    "force_n": "three numbers, along x, y and z",
    "along": "three numbers, along x, y and z",
    "moment_n_mm": "three numbers, about x, y and z",
}
_COUNTS = frozenset({"too_short", "too_long"})


@dataclass(frozen=True)
class Fault:
    """One thing that validation found: path in the merged tree, code, sentence, and the text as written."""

    path: Path
    code: str
    message: str
    written: object

    @property
    def of_value(self) -> bool:
        """Whether a stand-in could have caused it."""
        return self.code in {"value.range", "expression.invalid"} and isinstance(self.written, str)


def faults(
    error: ValidationError, values: dict[str, Any], lookup: Callable[[str], float], root: type[Record] = Design
) -> list[Fault]:
    """Everything a validation found.

    Parameters
    ----------
    error : pydantic.ValidationError
        Raised by `model_validate` of the root.
    values : dict
        The tree that was validated, expressions as written.
    lookup : callable
        Gives the values of names.
    root : type
        Record of the whole file.
    """
    return [
        _fault(dict(detail), values, lookup, root)
        for detail in error.errors(include_url=False, include_context=True)
        if not _follows(dict(detail))
    ]


def _follows(detail: dict[str, Any]) -> bool:
    """Return whether a list is short only because entries of it, told by themselves, are wrong."""
    given, counted = detail["input"], detail.get("ctx", {}).get("actual_length")
    return detail["type"] == "too_short" and isinstance(given, list | tuple) and len(given) != counted


def _fault(detail: dict[str, Any], values: dict[str, Any], lookup: Callable[[str], float], root: type[Record]) -> Fault:
    path, written, is_there = _written(values, detail["loc"])
    kind, context = detail["type"], detail.get("ctx", {})
    record, field = field_at(values, path, root)
    if kind == "extra_forbidden":
        return Fault(path, "key.unknown", _unknown_key(record, str(path[-1])), written)
    if kind == "missing":
        if isinstance(path[-1], int):
            count = _COUNTED.get(field) or ("two numbers, x and y" if field.endswith("_mm") else "more entries")
            return Fault(path[:-1], "value.count", f"must have {count} (got {path[-1]}).", written)
        message = f"is missing: every {_called(path, record)} needs it{_meant(values, path, record)}."
        return Fault(path, "key.missing", message, None)
    if kind == "union_tag_not_found":
        return Fault((*path, "shape"), "key.missing", "is missing: every cut-out needs it.", None)
    if kind == "union_tag_invalid":
        choices = str(context["expected_tags"])
        given = written.get("shape") if isinstance(written, dict) else None
        return Fault((*path, "shape"), "value.choice", _choice(choices, given), given)
    if kind in ("expression", "stack"):
        code = "stack.words" if kind == "stack" else "expression.invalid"
        return Fault(path, code, str(context["reason"]), written)
    if kind == "drive_point":
        return Fault(path, "drive.point", str(detail["msg"]), None)
    if kind in _RANGE and isinstance(detail["input"], str):
        detail["input"] = evaluate(detail["input"], lookup)
    code, message = _value(detail, record, field, written if is_there else detail["input"])
    return Fault(path, code, message, written)


def _value(detail: dict[str, Any], record: type[Record], field: str, written: object) -> tuple[str, str]:
    kind, context, value = detail["type"], detail.get("ctx", {}), detail["input"]
    if kind in _RANGE:
        return "value.range", _range(bounds_of(record, field), field, value, written)
    if kind == "literal_error":
        return "value.choice", _choice(str(context["expected"]), written)
    if kind in _COUNTS:
        least, most = context.get("min_length"), context.get("max_length")
        limit = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return "value.count", f"must have {limit} entries (got {context['actual_length']})."
    if kind == "string_pattern_mismatch":
        form = _FORMS.get(field, _IDENTIFIER)
        return "value.text", f"must be {form} (got {_got(written)})."
    if kind == "string_too_short":
        return "value.text", "must not be empty."
    if kind == "string_too_long":
        length = len(written) if isinstance(written, str) else "more"
        return "value.text", f"must be at most {context['max_length']} characters long (got {length})."
    wanted = _TYPES.get(kind.partition("_")[0], "of another kind")
    return "value.type", f"must be {wanted} (got {_got(written)})."


def _range(bounds: Bounds | None, field: str, value: object, written: object) -> str:
    given = _got(value)
    if isinstance(written, str):
        given += f" from '{written}'"
    if bounds is None:
        return f"must be a finite number (got {given})."
    unit = f" {unit_of(field)}" if unit_of(field) else ""
    why = reason(field, bounds)
    return f"must be {_limits(bounds)}{unit} (got {given}){': ' + why if why else ''}."


def _limits(bounds: Bounds) -> str:
    low, high = (None if limit is None else f"{limit:.12g}" for limit in (bounds.low, bounds.high))
    least = f"greater than {low}" if bounds.low_open else f"{low} or more"
    most = f"less than {high}" if bounds.high_open else f"at most {high}"
    if low is None or high is None:
        return least if high is None else most
    return f"{least} and {most}" if bounds.low_open or bounds.high_open else f"{low} to {high}"


def _choice(choices: str, given: object) -> str:
    quoted = [part for part in choices.replace(" or ", ", ").split(", ") if part]
    words = [part.strip("'") for part in quoted]
    near = nearest_names(given, words) if isinstance(given, str) else ()
    hint = f"; did you mean '{near[0]}'?" if near else "."
    listed = choices.replace("'',", "empty,")
    return f"must be {listed} (got {_got(given)}){hint}"


def _unknown_key(record: type[Record], key: str) -> str:
    stems = {_stem(name) for name in record.model_fields}
    near = [name for name in nearest_names(key, record.model_fields) if _stem(name) in nearest_names(_stem(key), stems)]
    if near:
        return f"is no key of this record; did you mean {' or '.join(repr(name) for name in near)}?"
    return f"is no key of this record; it has {', '.join(record.model_fields)}."


def _meant(values: dict[str, Any], path: Path, record: type[Record]) -> str:
    """Say which record was meant when one that lacks several keys has nearly the id of another."""
    records = values.get(str(path[0]))
    if len(path) != 3 or not isinstance(records, list) or not isinstance(path[1], int) or "id" not in records[path[1]]:
        return ""
    given = records[path[1]]
    lacking = [name for name, info in record.model_fields.items() if info.is_required() and name not in given]
    near = nearest_names(given["id"], [other.get("id", "") for other in records if other is not given], count=1)
    return f"; to change '{near[0]}' instead, write its id" if len(lacking) > 1 and near else ""


def _stem(key: str) -> str:
    """Key without its unit, which says nothing about what is meant."""
    return key.rpartition("_")[0] if unit_of(key) else key


def _called(path: Path, record: type[Record]) -> str:
    """Return what a person calls the record at a path."""
    if len(path) == 1:
        return "design" if record is Design else "such file"
    names = {"Frame": "[frame] table", "Rotors": "[rotors] table", "Drive": "[drive] table", "Checks": "[checks] table"}
    return names.get(record.__name__, _words(record.__name__))


def _words(name: str) -> str:
    return name[0].lower() + "".join(f" {c.lower()}" if c.isupper() else c for c in name[1:])


def _got(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value:g}" if isinstance(value, float) or abs(value) < _LARGE else "a number of hundreds of digits"
    if isinstance(value, str):
        return f"'{value}'" if len(value) <= 60 else f"'{value[:57]}...'"
    if isinstance(value, datetime | date | time):
        return f"the date or time {value}"
    if value is None:
        return "nothing"
    return "a list" if isinstance(value, list | tuple) else "a table"


def _written(values: object, location: tuple[str | int, ...]) -> tuple[Path, object, bool]:
    """Path as the file has it, with the value there: steps that only validation knows are left out."""
    path: list[str | int] = []
    tag_passed = lifted = False
    for index, key in enumerate(location):
        if isinstance(key, int):
            if not lifted and path[:1] == ["column"] and path[-1:] == ["at_mm"] and _is_one_point(values):
                lifted = True
                continue
        elif len(path) == 4 and path[2] == "cutouts" and not tag_passed:
            tag_passed = True
            continue
        path.append(key)
        values, is_there = _step(values, key)
        if not is_there:
            return (*path, *location[index + 1 :]), None, False
    return tuple(path), values, True


def _is_one_point(values: object) -> bool:
    return isinstance(values, list) and bool(values) and not isinstance(values[0], list)


def _step(values: object, key: str | int) -> tuple[object, bool]:
    if isinstance(values, dict) and key in values:
        return values[key], True
    if isinstance(values, list | tuple) and isinstance(key, int) and key < len(values):
        return values[key], True
    return None, False
