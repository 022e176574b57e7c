"""JSON Schema of one design file, for editors: generated from the records, loosened to what a single file may hold.

A file that includes others may give a record by its `id` and the keys it changes, or drop it, and may leave out whole
tables; what is missing after merging is found when the design is read.
"""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

from platewright.io.design_file.merge import LISTS, TABLES
from platewright.io.design_file.record_types import bounds_of, records_of
from platewright.model.base import Record
from platewright.model.design import Design

__all__ = ["SCHEMA_FILE", "all_records", "file_schema", "schema_text"]

SCHEMA_FILE = "schema.json"


def all_records(record: type[Record] = Design) -> list[type[Record]]:
    """Return a record and every record inside it, each once, in the order of the keys."""
    found = [record]
    for info in record.model_fields.values():
        for nested in records_of(info.annotation):
            found += [inner for inner in all_records(nested) if inner not in found]
    return found


def file_schema() -> dict[str, Any]:
    """Return the schema of one file."""
    schema = Design.model_json_schema()
    definitions = schema["$defs"]
    for record in all_records():
        _limit(schema if record is Design else definitions[record.__name__], record)
    by_key = {
        key: records_of(Design.model_fields[key].annotation)[0].__name__
        for key in (*LISTS, *TABLES)
        if key != "parameters"
    }
    for key in LISTS:
        _may_be_partial(definitions[by_key[key]])
    _may_be_partial(definitions["Node"])
    for key in TABLES:
        if key in by_key:
            definitions[by_key[key]].pop("required", None)
    point_or_points = definitions["Column"]["properties"]["at_mm"]
    definitions["Column"]["properties"]["at_mm"] = {"anyOf": [point_or_points["items"], point_or_points]}
    schema["required"] = ["format"]
    schema = _plain(schema)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "Platewright design file",
        "description": "One file of a design; the files it includes are merged below it.",
    }


def schema_text() -> str:
    """Return the schema as the shipped file holds it."""
    return json.dumps(file_schema(), indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def _limit(schema: dict[str, Any], record: type[Record]) -> None:
    """Write the limits of numbers beside their type."""
    for field, value in schema["properties"].items():
        bounds = bounds_of(record, field)
        if bounds is None:
            continue
        limits = {
            "exclusiveMinimum" if bounds.low_open else "minimum": bounds.low,
            "exclusiveMaximum" if bounds.high_open else "maximum": bounds.high,
        }
        for inner in _dicts(value):
            if inner.get("type") == "number":
                inner.update({key: limit for key, limit in limits.items() if limit is not None})


def _may_be_partial(definition: dict[str, Any]) -> None:
    definition["required"] = ["id"]
    definition["properties"]["drop"] = {"type": "boolean", "description": "true removes the included record"}


def _dicts(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, list):
        return [found for item in value for found in _dicts(item)]
    if isinstance(value, dict):
        return [value, *(found for item in value.values() for found in _dicts(item))]
    return []


def _plain(value: Any) -> Any:
    """Leave out what TOML has no word for, and titles that repeat the key."""
    if isinstance(value, list):
        return [_plain(item) for item in value]
    if not isinstance(value, dict):
        return value
    kept = {key: _plain(item) for key, item in value.items() if key != "properties" and not _is_noise(key, item)}
    if "properties" in value:
        kept["properties"] = {key: _plain(item) for key, item in value["properties"].items()}
    choices = [choice for choice in kept.get("anyOf", ()) if choice != {"type": "null"}]
    if len(choices) == 1:
        kept.pop("anyOf")
        kept = {**choices[0], **kept}
    elif choices:
        kept["anyOf"] = choices
    return kept


def _is_noise(key: str, value: object) -> bool:
    return (key == "title" and isinstance(value, str)) or (key == "default" and value is None)


def main() -> None:
    """Write the schema beside this module."""
    Path(str(files(__package__).joinpath(SCHEMA_FILE))).write_text(schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
