"""`platewright revise`: a design frozen as its next revision."""

from __future__ import annotations

import dataclasses
import datetime
import json as json_text
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console

from platewright.app.revise import ListedRevision, list_revisions
from platewright.app.revise import revise as freeze
from platewright.io.revision_folder import Revision

__all__ = ["revise"]

_SHOWN = 12  # digits of a hash that are printed


def revise(
    design: Path,
    /,
    *,
    why: str = "",
    list_: Annotated[bool, Parameter(name="--list", negative=())] = False,
    ledger: str = "",
    on: datetime.date | None = None,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Freeze a design as its next revision, in the folder `revisions` beside it, or list its revisions.

    Parameters
    ----------
    design
        The design file.
    why
        Why this is a new revision; what changed is computed.
    list_
        List the revisions instead.
    ledger
        With --list: also what this ledger holds of each; a file, or postgresql://user@host/database.
    on
        Date; today if none is given.
    json
        Print JSON instead of sentences; its form is docs/reference/revise.schema.json.
    catalogue
        A folder of your own catalogue records, frozen with the design.
    """
    console = Console(highlight=False, markup=False, soft_wrap=True)
    if list_:
        if why:
            print("give --why to freeze a revision, or --list to see them, not both.", file=sys.stderr)
            return 2
        rows = list_revisions(design, ledger or None)
        if json:
            print(json_text.dumps([dataclasses.asdict(r) for r in rows], indent=2, default=str, ensure_ascii=False))
            return 0
        for row in rows:
            for line in _listed(row):
                console.print(line)
        if not rows:
            console.print(f"{design.name} has no revision yet; freeze one with --why.")
        return 1 if any(r.altered for r in rows) else 0
    revision, folder = freeze(design, why, on or datetime.date.today(), catalogue)
    if json:
        print(json_text.dumps(dataclasses.asdict(revision), indent=2, default=str, ensure_ascii=False))
        return 0
    for line in _told(revision):
        console.print(line)
    print(f"frozen in {folder}", file=sys.stderr)
    return 0


def _told(revision: Revision) -> Iterator[str]:
    yield (
        f"revision {revision.number} of {revision.frame} ({revision.label}), {revision.on}, "
        f"{revision.design_hash[:_SHOWN]}: {revision.why}"
    )
    for change in revision.changes:
        yield f"  {change}"
    kept = [name for name, since in revision.parts.items() if since < revision.number]
    if kept:
        yield f"  parts as before: {', '.join(f'{name} (since {revision.parts[name]})' for name in kept)}."


def _listed(row: ListedRevision) -> Iterator[str]:
    yield from _told(row.revision)
    for stock in row.stock:
        what = f"part {stock.part} is {stock.item}" if stock.part else f"kit {stock.kit}"
        yield f"  in stock: {what}, {stock.on_hand}"
    if row.altered:
        yield f"  ALTERED since it was frozen: {', '.join(row.altered)}"
