"""JSON Schemas of what `nest` and `cost` print with `--json`.

Run as a module it writes them into `docs/reference`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.study.cost_results import CostReport
from platewright.study.nest_results import NestReport

__all__ = ["cost_schema", "cost_schema_text", "nest_schema", "nest_schema_text"]


def nest_schema() -> dict[str, Any]:
    """Return the JSON Schema of a nest."""
    return _schema(NestReport, "nest")


def nest_schema_text() -> str:
    """Return it as the text of its file."""
    return _text(nest_schema())


def cost_schema() -> dict[str, Any]:
    """Return the JSON Schema of a cost."""
    return _schema(CostReport, "cost")


def cost_schema_text() -> str:
    """Return it as the text of its file."""
    return _text(cost_schema())


def _schema(result: type, command: str) -> dict[str, Any]:
    """Return the schema of a result with its status; every key is there, and no other."""
    schema = TypeAdapter(result).json_schema(mode="serialization")
    for record in (schema, *schema["$defs"].values()):
        if record.get("type") == "object":
            record["required"] = list(record["properties"])
            record["additionalProperties"] = False
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Result of platewright {command}",
        "description": schema["description"],
        "type": "object",
        "properties": {"status": {"const": "ok"}, **schema["properties"]},
        "required": ["status", *schema["required"]],
        "additionalProperties": False,
        "$defs": schema["$defs"],
    }


def _text(schema: dict[str, Any]) -> str:
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write the schemas into the documents of the working folder."""
    Path("docs/reference/cost.schema.json").write_text(cost_schema_text(), encoding="utf-8")
    Path("docs/reference/nest.schema.json").write_text(nest_schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
