"""Check a design: findings, masses, stack-ups, steps and tools, and the same as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.app.load import Loaded, load
from platewright.app.workspace import cache_folder
from platewright.foundation.errors import Problem, RequestError, nearest_names
from platewright.study.check import check_assembly, with_flight, with_strength
from platewright.study.codes import FINDING_CODES
from platewright.study.results import CheckResult
from platewright.study.strength_store import StoredParts

__all__ = ["GROUPS", "check", "check_json", "check_loaded", "invalid_json", "only"]

# Families of codes that `only` takes by one word.
GROUPS: Mapping[str, tuple[str, ...]] = {
    "fit": (
        *("antenna", "battery", "board", "body", "camera", "carbon", "corner", "disc", "ground", "lead", "service"),
        "web",
    ),
    "flying": ("flight", "handling", "hover"),
    "making": ("corner", "cut", "part", "web"),
}
_ADAPTER = TypeAdapter(CheckResult)


def check(path: Path, records: Path | None = None, cache: Path | None = None, codes: Iterable[str] = ()) -> CheckResult:
    """Check a design file.

    Parameters
    ----------
    path, records, cache
        As in `load`; reduced parts are kept beside the outlines.
    codes : iterable of str
        As in `only`; every finding when empty. Strength and flight are solved only if they are among them.

    Raises
    ------
    DesignFileError
        If the file is invalid.
    RequestError
        If no finding can have such a code.
    """
    wanted = _wanted(codes)
    loaded = load(path, records, cache)
    result = check_loaded(loaded)
    if not wanted or any(code.partition(".")[0] in ("strength", "vibration") for code in wanted):
        result = with_strength(result, loaded.assembly, StoredParts((cache or cache_folder()) / "reduced"))
    if not wanted or any(code.partition(".")[0] in ("flight", "handling") for code in wanted):
        result = with_flight(result, loaded.assembly)
    return _kept(result, wanted) if wanted else result


def check_loaded(loaded: Loaded) -> CheckResult:
    """Check a design that is already loaded."""
    return check_assembly(loaded.assembly)


def only(result: CheckResult, codes: Iterable[str]) -> CheckResult:
    """Keep the findings whose code is one of these, or begins with one: `screw` keeps `screw.engagement`.

    A word of `GROUPS` stands for all its families; several may stand in one word, parted by commas.

    Raises
    ------
    RequestError
        If no finding can have such a code.
    """
    return _kept(result, _wanted(codes))


def check_json(result: CheckResult) -> str:
    """Return a check as JSON; its form is `docs/reference/check.schema.json`."""
    data: dict[str, Any] = {"status": result.status, **_ADAPTER.dump_python(result, mode="json")}
    for finding, row in zip(result.findings, data["findings"], strict=True):
        row["margin"] = finding.margin
    return json.dumps(data, indent=2, allow_nan=False)


def invalid_json(problems: Iterable[Problem]) -> str:
    """Return the problems of an invalid file as JSON, in the same form."""
    rows = [{"code": p.code, "file": p.file, "line": p.line, "path": p.path, "message": p.message} for p in problems]
    return json.dumps({"status": "invalid", "problems": rows}, indent=2)


def _wanted(codes: Iterable[str]) -> tuple[str, ...]:
    asked = [word for code in codes for word in code.split(",") if word]
    families = {code.partition(".")[0] for code in FINDING_CODES}
    known = {*FINDING_CODES, *families, *GROUPS}
    for word in asked:
        if word not in known:
            near = nearest_names(word, known) or sorted({*families, *GROUPS})
            msg = f"no finding has the code '{word}'; did you mean {' or '.join(near)}?"
            raise RequestError(msg)
    return tuple(c for word in asked for c in GROUPS.get(word, (word,)))


def _kept(result: CheckResult, wanted: Iterable[str]) -> CheckResult:
    kept = tuple(f for f in result.findings if any(f.code == w or f.code.startswith(f"{w}.") for w in wanted))
    return replace(result, findings=kept)
