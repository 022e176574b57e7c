"""JSON Schemas of what several commands print with `--json`.

Run as a module it writes them into `docs/reference`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.app.breakages import BreakagesResult
from platewright.io.revision_folder import Revision
from platewright.shop.plan_records import PlanReport
from platewright.study.cost_results import CostReport
from platewright.study.flight_results import FlyResult
from platewright.study.line_results import LineReport
from platewright.study.nest_results import NestReport
from platewright.study.packing_results import Packing
from platewright.study.part_results import PartStrength
from platewright.study.strength_results import FrameStrength

__all__ = ["RESULTS", "result_schema", "schema_text"]

RESULTS: dict[str, type] = {
    "breakages": BreakagesResult,
    "cost": CostReport,
    "fly": FlyResult,
    "line": LineReport,
    "nest": NestReport,
    "pack": Packing,
    "part": PartStrength,
    "plan": PlanReport,
    "revise": Revision,
    "strength": FrameStrength,
}
"""Record that each command prints."""
_WITH_NULLS = ("breakages",)  # commands whose numbers may be infinite or unknown, and are null then


def result_schema(command: str) -> dict[str, Any]:
    """Return the JSON Schema of what a command prints.

    Parameters
    ----------
    command : str
        One of `RESULTS`.
    """
    schema = TypeAdapter(RESULTS[command]).json_schema(mode="serialization")
    for record in (schema, *schema.get("$defs", {}).values()):
        if record.get("type") == "object":
            record["required"] = list(record["properties"])
            record["additionalProperties"] = False
    if command in _WITH_NULLS:
        schema = _nullable(schema)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": f"Result of platewright {command}",
    }


def schema_text(command: str) -> str:
    """Return the schema as the text of its file."""
    return json.dumps(result_schema(command), indent=1, ensure_ascii=False) + "\n"


def _nullable(schema: Any) -> Any:
    if isinstance(schema, dict):
        if schema.get("type") == "number":
            return {**schema, "type": ["number", "null"]}
        return {key: _nullable(value) for key, value in schema.items()}
    return [_nullable(value) for value in schema] if isinstance(schema, list) else schema


def main() -> None:
    """Write the schemas into the documents of the working folder."""
    for command in RESULTS:
        Path(f"docs/reference/{command}.schema.json").write_text(schema_text(command), encoding="utf-8")


if __name__ == "__main__":
    main()
