"""Where a user's things are: the folder of his own records, and the cache of built outlines."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["cache_folder"]


def cache_folder() -> Path:
    """Return the folder of the outline cache: `platewright` in the user's cache folder (XDG base directories)."""
    base = os.environ.get("XDG_CACHE_HOME", "")
    return (Path(base) if Path(base).is_absolute() else Path.home() / ".cache") / "platewright"
