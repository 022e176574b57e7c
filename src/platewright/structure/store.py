"""Arrays kept in a folder by the content of what they were computed from.

A file holds the arrays of one key with their checksums (an uncompressed `npz`). It is written beside its place and
moved there, so that it is whole or absent; one that cannot be read, or whose checksum differs, counts as absent. The
files that were not used for longest are deleted when all together pass a limit. A folder that cannot be written is left
alone.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import os
import tempfile
import zipfile
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["LARGEST_STORE", "ArrayStore", "code_version", "packed", "unpacked"]

Arrays = dict[str, NDArray[Any]]

LARGEST_STORE = 1_000_000_000
"""Size in bytes at which the oldest files go."""


class ArrayStore:
    """Keeps arrays from one process to the next.

    Parameters
    ----------
    folder : Path
        Where; made when something is first kept.
    largest : int
        Size in bytes of all files together at which the oldest go.
    """

    def __init__(self, folder: Path, largest: int = LARGEST_STORE) -> None:
        self._folder, self._largest = folder, largest

    def read(self, key: str) -> Arrays | None:
        """Return the arrays of a key; None where there are none, or they are damaged."""
        path = self._path(key)
        try:
            with path.open("rb") as file, np.load(file, allow_pickle=False) as held:
                arrays = {name: held[name] for name in held.files}
            os.utime(path)
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile, NotImplementedError):
            return None
        return arrays

    def write(self, key: str, arrays: Mapping[str, NDArray[Any]]) -> None:
        """Keep arrays; where the folder cannot be written, do nothing."""
        with contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=key, suffix=".part", dir=self._folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    np.savez(file, **arrays)  # type: ignore[arg-type]
                os.replace(name, self._path(key))
            except BaseException:
                os.unlink(name)
                raise
            self._prune()

    def _path(self, key: str) -> Path:
        return self._folder / f"{key}.npz"

    def _prune(self) -> None:
        files = sorted(((p.stat().st_mtime, p.stat().st_size, p) for p in self._folder.glob("*.npz")), reverse=True)
        total = 0
        for _, size, path in files:
            total += size
            if total > self._largest:
                path.unlink(missing_ok=True)


@functools.cache
def code_version(*files: Path) -> str:
    """Return a hash of this package's source, of more files, and of the versions of NumPy and SciPy.

    Parameters
    ----------
    files : Path
        Source that the kept numbers depend on too.
    """
    total = hashlib.sha256()
    for path in (*sorted(Path(__file__).parent.glob("*.py")), *files):
        total.update(path.name.encode() + path.read_bytes())
    total.update(f"numpy {version('numpy')} scipy {version('scipy')}".encode())
    return total.hexdigest()


def packed(name: str, array: NDArray[np.float64]) -> Arrays:
    """Return an array that is zero in good part as its other values and where they are.

    Examples
    --------
    >>> kept = packed("a", np.array([[0.0, 2.0], [3.0, 0.0]]))
    >>> kept["a"].tolist(), unpacked("a", kept).tolist()
    ([2.0, 3.0], [[0.0, 2.0], [3.0, 0.0]])
    """
    used = array != 0
    return {name: array[used], f"{name}_used": np.packbits(used), f"{name}_shape": np.array(array.shape)}


def unpacked(name: str, arrays: Mapping[str, NDArray[Any]]) -> NDArray[np.float64]:
    """Return the array that `packed` took apart.

    Raises
    ------
    KeyError, ValueError
        If a piece of it is missing, or they do not fit together.
    """
    shape = tuple(arrays[f"{name}_shape"].tolist())
    found = np.zeros(shape)
    used = np.unpackbits(arrays[f"{name}_used"], count=found.size).astype(np.bool_).reshape(shape)
    found[used] = arrays[name]
    return found
