"""The CAD kernel, loaded on first use because that takes more than a second; nothing else in `geometry` imports it."""

from __future__ import annotations

import functools
from typing import Any

__all__ = ["kernel"]


@functools.cache
def kernel() -> Any:
    """Return the kernel's module, loading it at the first call."""
    import build123d  # noqa: PLC0415  slow to load

    return build123d
