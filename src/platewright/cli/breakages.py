"""`platewright breakages`: what broken parts that came back tell, and what they do not."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

from rich.console import Console

from platewright.app.breakages import breakages as run_breakages
from platewright.app.breakages import breakages_json, write_breakage_pictures

__all__ = ["breakages"]


def breakages(
    design: Path,
    /,
    *,
    csv: Path | None = None,
    ledger: str = "",
    part: str = "",
    out: Path | None = None,
    encoding: str = "",
    decimal_comma: bool = False,
    on: datetime.date | None = None,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Say how often parts break by revision and lot, whether a revision is better, how long they last, and where.

    Parameters
    ----------
    design
        The design file.
    csv
        Reports, with the headings kind, part, revision and more; with --ledger they are booked there first.
    ledger
        Use the reports and sales of this ledger: a file, or postgresql://user@host/database.
    part
        Only this part.
    out
        A folder for a picture of each part that broke: where, beside where it is computed to fail first.
    encoding
        Of the CSV, if it is not UTF-8.
    decimal_comma
        Its numbers are written as 2,05.
    on
        Date of rows without one; today if none is given.
    json
        Print JSON instead of sentences; its form is docs/reference/breakages.schema.json.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    found = run_breakages(
        design,
        on or datetime.date.today(),
        reports=csv,
        ledger=ledger or None,
        part=part,
        records=catalogue,
        encoding=encoding,
        decimal_comma=decimal_comma,
    )
    if json:
        print(breakages_json(found))
    else:
        console = Console(highlight=False, markup=False, soft_wrap=True)
        for report in found.parts:
            for line in report.sentences:
                console.print(line)
    if found.booked:
        print(f"booked {found.booked} reports in {ledger}.", file=sys.stderr)
    if out is not None:
        for path in write_breakage_pictures(found, design, out, catalogue):
            print(path, file=sys.stderr)
    return 0
