"""Compare motors and propellers on a frame, as rows or as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import TypeAdapter

from platewright.app.load import load
from platewright.study.motor_choice import MotorChoice, motor_choice

__all__ = ["motors", "motors_json"]

_ADAPTER = TypeAdapter(MotorChoice)


def motors(path: Path, records: Path | None = None, cache: Path | None = None) -> MotorChoice:
    """Compare the catalogue's motors with a design's propeller, and other propellers with its motor.

    Parameters
    ----------
    path, records, cache
        As in `load`.

    Raises
    ------
    DesignFileError
        If the file is invalid.
    RotorError
        If the design lacks motor, propeller or battery.
    """
    return motor_choice(load(path, records, cache).assembly)


def motors_json(result: MotorChoice) -> str:
    """Return a comparison as JSON."""
    return json.dumps(_ADAPTER.dump_python(result, mode="json"), indent=2, allow_nan=False)
