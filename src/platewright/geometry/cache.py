"""Outlines kept by the content of their sketch, in memory and in a folder.

A file holds one outline and a hash of what it holds. It is written beside its place and moved there, so that it is
whole or absent; one that cannot be read, or whose hash differs, is built again. A folder that cannot be written is left
alone.
"""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any

from platewright.foundation.errors import GeometryError
from platewright.geometry.build import build_outline
from platewright.geometry.loops import Circle, Loop, Outline
from platewright.geometry.sketch import Sketch

__all__ = ["KERNEL_VERSION", "OutlineCache", "outline_of_record", "outline_record", "sketch_key"]

KERNEL_VERSION = "lines-and-arcs-1"  # raise it whenever the same sketch may give another outline


class OutlineCache:
    """Builds each sketch once.

    Parameters
    ----------
    folder : Path or None
        Where outlines are kept; None keeps them in memory only.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._memory: dict[str, Outline] = {}

    def get_or_build(self, sketch: Sketch) -> Outline:
        """Return the outline of a sketch, built if it is not yet kept.

        Raises
        ------
        GeometryError
            If the sketch gives no outline.
        """
        key = sketch_key(sketch)
        outline = self._memory.get(key) or self._read(key)
        if outline is None:
            outline = build_outline(sketch)
            self._write(key, outline)
        self._memory[key] = outline
        return outline

    def _path(self, key: str) -> Path | None:
        return None if self._folder is None else self._folder / f"{key}.json"

    def _read(self, key: str) -> Outline | None:
        path = self._path(key)
        if path is None:
            return None
        try:
            held = json.loads(path.read_text(encoding="utf-8"))
            if held["sha256"] != _digest(held["outline"]):
                return None
            return outline_of_record(held["outline"])
        except (OSError, ValueError, KeyError, TypeError, GeometryError):
            return None

    def _write(self, key: str, outline: Outline) -> None:
        path = self._path(key)
        if path is None:
            return
        record = outline_record(outline)
        with contextlib.suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=key, suffix=".part", dir=path.parent)
            try:
                with os.fdopen(handle, "w", encoding="utf-8") as file:
                    json.dump({"sha256": _digest(record), "outline": record}, file)
                os.replace(name, path)
            except BaseException:
                os.unlink(name)
                raise


def sketch_key(sketch: Sketch) -> str:
    """Return the hash of a sketch and the version of the geometry code."""
    return _digest([KERNEL_VERSION, _plain(sketch)])


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        fields = {f.name: _plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
        return {"type": type(value).__name__, **fields}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    if isinstance(value, (bool, str)) or value is None:
        return value
    return float(value) + 0.0  # 1 and 1.0, 0.0 and -0.0 are the same sketch


def _digest(value: Any) -> str:
    return hashlib.sha256(json.dumps(value, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def outline_record(outline: Outline) -> dict[str, Any]:
    """Return an outline as lists of numbers, for JSON."""
    return {
        "outer": [list(v) for v in outline.outer.vertices],
        "inner": [[list(v) for v in loop.vertices] for loop in outline.inner],
        "circles": [[c.x, c.y, c.radius] for c in outline.circles],
    }


def outline_of_record(record: dict[str, Any]) -> Outline:
    """Return the outline that `outline_record` wrote."""

    def loop(rows: list[list[float]]) -> Loop:
        return Loop(tuple((float(x), float(y), float(bulge)) for x, y, bulge in rows))

    return Outline(
        loop(record["outer"]),
        tuple(loop(rows) for rows in record["inner"]),
        tuple(Circle(float(x), float(y), float(r)) for x, y, r in record["circles"]),
    )
