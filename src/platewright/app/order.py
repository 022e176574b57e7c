"""The package for a supplier: cut files by thickness, drawings, an order as CSV, a page for the cutter, checksums.

Its revision is the hash of the designs as they are resolved. A package that was sent is marked in its manifest and
never written over.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from platewright.app.check import check_loaded
from platewright.app.load import load
from platewright.app.order_files import REVISION, SHOWN, OrderedFrame, write_order
from platewright.foundation.errors import OutputError, RequestError
from platewright.foundation.findings import Severity
from platewright.io.files import write_whole
from platewright.io.folder import MANIFEST, SENT, replaced_folder
from platewright.io.order_readme import OrderLine
from platewright.study.stock_items import design_hash

__all__ = ["mark_sent", "order"]

Progress = Callable[[str], None]


def order(
    frames: Sequence[Path],
    quantities: Sequence[int],
    out: Path,
    despite_fails: bool = False,
    records: Path | None = None,
    cache: Path | None = None,
    progress: Progress | None = None,
) -> tuple[OrderLine, ...]:
    """Write the package of an order into a folder, whole or not at all.

    Parameters
    ----------
    frames : sequence of Path
        Design files.
    quantities : sequence of int
        Kits of each, or one number for all.
    out : Path
        The folder.
    despite_fails : bool
        Order a design that fails its check; the page says so.
    records, cache
        As in `load`.
    progress : callable or None
        Told what is being written.

    Returns
    -------
    tuple of OrderLine
        What is ordered: a part that several frames share once.

    Raises
    ------
    DesignFileError
        If a design is invalid.
    RequestError
        If a design fails its check, or the folder holds a package that was sent.
    OutputError
        If the folder cannot be written.
    """
    say = progress or (lambda _: None)
    ordered = []
    for name, path, kits in _requested(frames, quantities):
        say(f"reading {path.name}")
        ordered.append(OrderedFrame(name, load(path, records, cache), kits))
    revision = hashlib.sha256("\n".join(design_hash(o.loaded.assembly) for o in ordered).encode()).hexdigest()
    _refuse_sent(out, revision)
    fails = list(_fails(ordered))
    if fails and not despite_fails:
        more = f" and {len(fails) - 1} more" if len(fails) > 1 else ""
        msg = f"{fails[0]}{more}; mend it, or order it all the same with --despite-fails."
        raise RequestError(msg)
    with replaced_folder(out) as folder:
        return write_order(folder, ordered, revision, fails, say)


def mark_sent(out: Path, day: datetime.date) -> str:
    """Mark the package in a folder as sent on a day; return its revision.

    Raises
    ------
    RequestError
        If there is no package, a file of it has changed, or it was marked before.
    OutputError
        If its manifest cannot be written.
    """
    manifest = _manifest(out)
    if manifest is None or REVISION not in manifest:
        msg = f"'{out.name}' holds no order; write one with platewright order FRAME.toml --out {out.name}."
        raise RequestError(msg)
    revision = str(manifest[REVISION])
    if manifest.get(SENT):
        msg = f"the order in '{out.name}' was marked as sent on {manifest[SENT]} already."
        raise RequestError(msg)
    for name, facts in manifest["files"].items():
        path = out / name
        if not path.is_file() or hashlib.sha256(path.read_bytes()).hexdigest() != facts["sha256"]:
            msg = f"'{name}' in '{out.name}' is missing or has changed; write the order again before it is sent."
            raise RequestError(msg)
    manifest[SENT] = day.isoformat()
    try:
        write_whole(out / MANIFEST, (json.dumps(manifest, indent=2, sort_keys=True) + "\n").encode())
    except OSError as error:
        msg = f"'{out.name}' cannot be marked: {error.strerror or error}; it is as it was."
        raise OutputError(msg) from error
    return revision[:SHOWN]


def _requested(frames: Sequence[Path], quantities: Sequence[int]) -> Iterator[tuple[str, Path, int]]:
    counts = list(quantities) * len(frames) if len(quantities) == 1 else list(quantities)
    if len(counts) != len(frames):
        msg = f"--quantity must be given once for all frames or once for each of the {len(frames)} (got {len(counts)})."
        raise RequestError(msg)
    if any(not 1 <= n <= 100_000 for n in counts):
        msg = f"--quantity must be 1 to 100000 kits (got {', '.join(map(str, counts))})."
        raise RequestError(msg)
    names = [path.stem for path in frames]
    for name, path, kits in zip(names, frames, counts, strict=True):
        if names.count(name) > 1:
            msg = f"'{name}' is named twice; give its kits in one --quantity."
            raise RequestError(msg)
        yield name, path, kits


def _manifest(out: Path) -> dict[str, Any] | None:
    try:
        data = json.loads((out / MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return data if isinstance(data, dict) else None


def _refuse_sent(out: Path, revision: str) -> None:
    manifest = _manifest(out)
    if manifest is None or not manifest.get(SENT):
        return
    old = str(manifest.get(REVISION, ""))
    which = "under this same revision" if old == revision else "under another revision, and is the record of it"
    what = f"the order {old[:SHOWN]} in '{out.name}' was sent on {manifest[SENT]}"
    msg = f"{what} {which}; name another folder for --out."
    raise RequestError(msg)


def _fails(ordered: Sequence[OrderedFrame]) -> Iterator[str]:
    for each in ordered:
        for finding in check_loaded(each.loaded).findings:
            if finding.severity is Severity.FAIL:
                yield f"{each.name} fails its check: {finding.where} {finding.message.rstrip('.')} [{finding.code}]"
