"""JSON Schema of what `platewright check --json` prints.

Run as a module it writes `docs/reference/check.schema.json`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.study.results import CheckResult

__all__ = ["check_schema", "check_schema_text"]

_PROBLEM = {
    "type": "object",
    "properties": {
        "code": {"type": "string"},
        "file": {"type": "string"},
        "line": {"anyOf": [{"type": "integer"}, {"type": "null"}]},
        "path": {"type": "string"},
        "message": {"type": "string"},
    },
    "required": ["code", "file", "line", "path", "message"],
    "additionalProperties": False,
}


def check_schema() -> dict[str, Any]:
    """Return the JSON Schema of a check, valid or not."""
    result = TypeAdapter(CheckResult).json_schema(mode="serialization")
    for record in result["$defs"].values():
        if record.get("type") == "object":
            record["required"] = list(record["properties"])
            record["additionalProperties"] = False
    finding = result["$defs"]["Finding"]
    finding["properties"]["margin"] = {"anyOf": [{"type": "number"}, {"type": "null"}], "title": "Margin"}
    finding["required"].append("margin")
    problems = {"type": "array", "description": "only when status is invalid", "items": _PROBLEM}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Result of platewright check",
        "description": result["description"],
        "type": "object",
        "properties": {
            "status": {"enum": ["ok", "fails", "invalid"], "title": "Status"},
            **result["properties"],
            "problems": problems,
        },
        "required": ["status"],
        "additionalProperties": False,
        "if": {"properties": {"status": {"const": "invalid"}}},
        "then": {"required": ["problems"], "maxProperties": 2},
        "else": {"required": list(result["properties"]), "not": {"required": ["problems"]}},
        "$defs": result["$defs"],
    }


def check_schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(check_schema(), indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write the schema into the documents of the working folder."""
    Path("docs/reference/check.schema.json").write_text(check_schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
