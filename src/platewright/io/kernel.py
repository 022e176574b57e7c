"""The CAD kernel's own functions, loaded on first use because that takes more than a second; only here in `io`."""

from __future__ import annotations

import functools
import importlib
from typing import Any

__all__ = ["occ"]


@functools.cache
def occ(module: str) -> Any:
    """Return a module of the kernel by its name there, quiet from then on.

    Parameters
    ----------
    module : str
        Such as `gp` or `STEPControl`.
    """
    message = importlib.import_module("OCP.Message")
    for printer in message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(message.Message_Gravity.Message_Fail)
    return importlib.import_module(f"OCP.{module}")
