"""Frozen revisions of a design: a folder for each, beside the design, with all its files and what changed.

`revisions/NAME/N/` holds the files of the design as they were, in their own places, and `revision.json`. A revision is
written whole or not at all and never again; one that was altered since is found by the checksums of its files.
"""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from platewright.foundation.errors import OutputError, RequestError

__all__ = ["RECORDS", "Revision", "altered_files", "file_sum", "read_revisions", "revisions_folder", "write_revision"]

_FACTS = "revision.json"
_FORMAT = 1
RECORDS = "catalogue"
"""Name of the folder in a revision that holds the maker's own catalogue records."""


@dataclass(frozen=True)
class Revision:
    """A frozen design.

    Parameters
    ----------
    number : int
        From 1.
    frame, label : str
        Name of the frame, and the letter or number that its design gives as its revision.
    design : str
        The top file, relative to the revision's folder.
    design_hash : str
        Of the design as resolved, as kits in the ledger carry it.
    on : date
        When it was frozen.
    why : str
        Its maker's reason.
    changes : tuple of str
        What differs from the revision before, computed.
    parts : mapping of str to int
        For each part, the revision since which it is as it is.
    files : mapping of str to str
        SHA-256 of each file.
    made_by : str
        Version that froze it.
    """

    number: int
    frame: str
    label: str
    design: str
    design_hash: str
    on: datetime.date
    why: str
    changes: tuple[str, ...]
    parts: Mapping[str, int]
    files: Mapping[str, str]
    made_by: str


def revisions_folder(design: Path) -> Path:
    """Return where the revisions of a design file are kept."""
    return design.absolute().parent / "revisions" / design.stem


def read_revisions(design: Path) -> tuple[Revision, ...]:
    """Return the revisions of a design file, oldest first; none where it has none.

    Raises
    ------
    RequestError
        If one of them cannot be read.
    """
    folder = revisions_folder(design)
    try:
        numbers = sorted(int(p.name) for p in folder.iterdir() if p.name.isdecimal()) if folder.is_dir() else []
    except OSError as error:
        msg = f"the revisions in '{folder}' cannot be read: {error.strerror}."
        raise RequestError(msg) from error
    return tuple(_read(folder / str(number)) for number in numbers)


def altered_files(design: Path, revision: Revision) -> tuple[str, ...]:
    """Return files of a revision that are gone or no longer as they were frozen."""
    folder = revisions_folder(design) / str(revision.number)
    return tuple(
        name
        for name, known in sorted(revision.files.items())
        if not (folder / name).is_file() or file_sum((folder / name).read_bytes()) != known
    )


def write_revision(design: Path, revision: Revision, files: Mapping[str, bytes], pictures: Mapping[str, str]) -> Path:
    """Write a revision and return its folder.

    Parameters
    ----------
    design : Path
        The design file that it was made of.
    revision : Revision
        Its facts; the checksums of `files` are filled in here.
    files : mapping of str to bytes
        By name relative to the design's folder.
    pictures : mapping of str to str
        SVG of changed parts, by name.

    Raises
    ------
    OutputError
        If the folder cannot be written, or another process froze this number meanwhile.
    """
    folder = revisions_folder(design)
    target = folder / str(revision.number)
    facts = dataclasses.replace(revision, files={name: file_sum(data) for name, data in files.items()})
    content = {**files, **{name: text.encode() for name, text in pictures.items()}, _FACTS: _text(facts).encode()}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=".new.", dir=folder))
        try:
            for name, data in content.items():
                (fresh / name).parent.mkdir(parents=True, exist_ok=True)
                (fresh / name).write_bytes(data)
            fresh.chmod(0o755)
            os.rename(fresh, target)  # refused where the number was frozen meanwhile: its folder is not empty
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    except OSError as error:
        if target.is_dir():
            msg = f"revision {revision.number} was frozen by another process just now; look at it and run this again."
        else:
            msg = f"the revision cannot be written into '{folder}': {error.strerror or error}; nothing was kept of it."
        raise OutputError(msg) from error
    return target


def file_sum(data: bytes) -> str:
    """Return the SHA-256 of a file's bytes."""
    return hashlib.sha256(data).hexdigest()


def _text(revision: Revision) -> str:
    facts = {"format": _FORMAT, **dataclasses.asdict(revision), "on": revision.on.isoformat()}
    return json.dumps(facts, indent=2, ensure_ascii=False) + "\n"


def _read(folder: Path) -> Revision:
    path = folder / _FACTS
    try:
        facts = json.loads(path.read_text(encoding="utf-8"))
        if facts.pop("format") != _FORMAT:
            msg = f"'{path}' is of another format; use the version of platewright that froze it."
            raise RequestError(msg)
        facts["on"] = datetime.date.fromisoformat(facts["on"])
        facts["changes"] = tuple(facts["changes"])
        facts["parts"] = {str(name): int(since) for name, since in facts["parts"].items()}
        return Revision(**facts)
    except OSError as error:
        msg = f"'{path}' cannot be read ({error.strerror}); restore the folder from a copy, or take it away."
        raise RequestError(msg) from error
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        msg = f"'{path}' is no record of a revision; restore it from a copy, or take its folder away."
        raise RequestError(msg) from error
