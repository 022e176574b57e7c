"""Paths named in a design file: relative, and inside the root folder even through symbolic links."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath, PureWindowsPath

__all__ = ["FilePathError", "inside_root", "relative_name"]


class FilePathError(ValueError):
    """A path cannot be used; the message says why in one sentence."""


def inside_root(entry: object, folder: Path, root: Path) -> Path:
    """Path of a file named in a file of `folder`.

    Parameters
    ----------
    entry : object
        As written in the file.
    folder : pathlib.Path
        Folder of the file that names it.
    root : pathlib.Path
        Folder that must not be left.

    Raises
    ------
    FilePathError
        If it is no text, absolute, or leads out of the root.
    """
    if not isinstance(entry, str) or not entry.strip():
        msg = f"must be the name of a file (got {entry!r})."
        raise FilePathError(msg)
    if PurePosixPath(entry).is_absolute() or PureWindowsPath(entry).is_absolute() or PureWindowsPath(entry).drive:
        msg = f"must be a path relative to the file that names it (got '{entry}')."
        raise FilePathError(msg)
    target = Path(os.path.normpath(folder / entry))
    try:
        inside = target.resolve().is_relative_to(root.resolve())
    except (OSError, ValueError, RuntimeError):
        msg = f"must be a path that this system can use (got {entry!r})."
        raise FilePathError(msg) from None
    if not inside:
        msg = f"must stay inside the folder of the design (got '{entry}', which leads out of it)."
        raise FilePathError(msg)
    return target


def relative_name(path: Path, folder: Path) -> str:
    """Path as seen from a folder, with forward slashes."""
    return Path(os.path.relpath(path, folder)).as_posix()
