"""Output folders written whole or not at all: filled beside their place, then exchanged for the old one.

An interrupted run leaves the old folder as it was; what it had begun lies in a hidden folder beside it and is removed
by the next run.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from platewright import __version__
from platewright.foundation.errors import OutputError

__all__ = ["MANIFEST", "SENT", "check_target", "replaced_folder", "write_manifest"]

MANIFEST = "manifest.json"
SENT = "sent"  # key of a manifest: the day on which an order went out; such a folder is never written over
_OURS = {"platewright", "files"}  # keys that every manifest of ours has


@contextlib.contextmanager
def replaced_folder(target: Path) -> Iterator[Path]:
    """Give an empty folder to fill; when the block ends well it takes the place of `target`.

    Parameters
    ----------
    target : Path
        Where the output goes. An existing folder there is replaced if it is empty or holds a manifest of ours, but
        never an order that was sent.

    Raises
    ------
    OutputError
        If the target is something else, or cannot be written.
    """
    target = target.absolute()
    check_target(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _remove_leftovers(target)
        fresh = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".new", dir=target.parent))
        fresh.chmod(0o755)
    except OSError as error:
        raise _cannot(target, error) from error
    try:
        yield fresh
        _exchange(fresh, target)
    except OSError as error:
        raise _cannot(target, error) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def check_target(target: Path) -> None:
    """Refuse a folder that must not be written over: another's, or an order that was sent.

    Raises
    ------
    OutputError
        If it is such a folder, or no folder.
    """
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        msg = f"'{target.name}' is not a folder; choose another name for --out."
        raise OutputError(msg)
    if not target.is_dir() or not any(target.iterdir()):
        return
    try:
        facts = json.loads((target / MANIFEST).read_text(encoding="utf-8"))
    except FileNotFoundError:
        facts = {}
    except (OSError, ValueError) as error:
        msg = f"the {MANIFEST} in '{target.name}' cannot be read, so nothing is written over it; choose another --out."
        raise OutputError(msg) from error
    if not isinstance(facts, dict) or not facts.keys() >= _OURS:
        msg = f"'{target.name}' holds files that no build wrote; choose an empty folder or another name for --out."
        raise OutputError(msg)
    if facts.get(SENT):
        msg = f"'{target.name}' holds an order that was sent on {facts[SENT]}; choose another name for --out."
        raise OutputError(msg)


def write_manifest(folder: Path, facts: dict[str, object]) -> None:
    """Write the manifest: facts about the build, and size and SHA-256 of every other file, by name."""
    files = {
        str(path.relative_to(folder)): {
            "bytes": path.stat().st_size,
            "sha256": hashlib.sha256(path.read_bytes()).hexdigest(),
        }
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != MANIFEST
    }
    text = json.dumps({"platewright": __version__, **facts, "files": files}, indent=2, sort_keys=True)
    (folder / MANIFEST).write_text(text + "\n", encoding="utf-8")


def _exchange(fresh: Path, target: Path) -> None:
    """Swap by two renames; between them only the hidden old folder exists, which the next run puts back."""
    check_target(target)  # it may have become another's, or an order that went out, in the meantime
    old = target.with_name(f".{target.name}.old")
    try:
        if target.exists():
            os.replace(target, old)
        os.replace(fresh, target)
    except BaseException:  # an interrupt too leaves the old folder in its place
        if old.exists() and not target.exists():
            os.replace(old, target)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _remove_leftovers(target: Path) -> None:
    """Put back an old folder whose exchange was cut short, and remove what interrupted runs began."""
    old = target.with_name(f".{target.name}.old")
    if old.exists() and not target.exists():
        os.replace(old, target)
    for path in target.parent.glob(f".{target.name}.*"):
        if path.name.endswith((".new", ".old")):
            shutil.rmtree(path, ignore_errors=True)


def _cannot(target: Path, error: OSError) -> OutputError:
    if isinstance(error, OutputError):
        return error
    return OutputError(f"'{target.name}' cannot be written: {error.strerror or error}; the old output is as it was.")
