"""Single files written whole or not at all, and folders for them."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from platewright.foundation.errors import OutputError

__all__ = ["make_folder", "write_whole"]


def make_folder(folder: Path) -> None:
    """Make a folder that single files are written into; one that is there stays as it is.

    Raises
    ------
    OutputError
        If it cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        msg = f"'{folder.name}' cannot be written: {error.strerror or error}; choose another folder."
        raise OutputError(msg) from error


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place and then exchange it for the old one; what was begun is removed if that fails.

    Raises
    ------
    OSError
        If it cannot be written; an old file is as it was.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(name, 0o666 & ~_umask())  # a temporary file is its owner's alone; an output is not
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
