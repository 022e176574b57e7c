"""Errors of the propeller predictions, one propeller left out at a time, as a file of the catalogue and as a section.

UIUC Propeller Database, Vols 1-3 (Brandt & Selig, AIAA 2011-1255; Deters, Ananda & Selig, AIAA 2014-2151), a subset.
Run as a program, this writes the catalogue's `rotor/prediction_bands.csv`.
"""

from __future__ import annotations

import sys
from dataclasses import fields
from pathlib import Path

from platewright.model.catalogue import PredictionBand, load_prediction_bands
from platewright.rotor.accuracy import KNOWLEDGE, leave_one_out
from platewright.study.propellers import blade_section, wind_tunnel_tables

__all__ = ["bands_text", "section"]

FILE = Path(__file__).parents[1] / "src" / "platewright" / "catalogue" / "rotor" / "prediction_bands.csv"

HEAD = """## Propellers that were left out

UIUC Propeller Database, Vols 1-3 (Brandt & Selig, AIAA 2011-1255; Deters, Ananda & Selig, AIAA 2014-2151), a subset of
40 propellers of 2.2 to 8 inch. Each is predicted from all others; errors are relative to the measured value, beyond 0.7
of the J of no thrust to the static one. Median and 90th percentile over all rows, then the median over propellers. The
terms of the model were chosen by the same errors, so they are a little low.
How well a plain regression does depends on its terms: eight of them (with and without diameter and Reynolds number, in
logarithms or not) miss CT at rest by a median of 18 to 22 % and CP by 12 to 25 %; the one in logarithms of all four is
listed, and so is what it makes of all rows. Thrust is the harder one in most. CT and CP are not swapped in the data:
figures of merit at rest lie between 0.15 and 0.67, half of them above 0.46.
`sh scripts/propeller_bands` makes them anew.

| known | J over J of no thrust | quantity | propellers | rows | median | 90th percentile | median of propellers |
|---|---|---|---|---|---|---|---|
"""


def bands_text() -> str:
    """Return the file: every prediction made anew."""
    lines = [",".join(field.name for field in fields(PredictionBand))]
    for a in leave_one_out(wind_tunnel_tables(), blade_section()):
        numbers = (100 * a.median, 100 * a.nine_tenths, 100 * a.by_propeller)
        words = (a.knowledge, a.span, a.quantity, str(a.propellers), str(a.rows))
        lines.append(",".join([*words, *(f"{n:.1f}" for n in numbers)]))
    return "\n".join(lines) + "\n"


def section() -> str:
    """Return the section of the verification page, from the shipped file."""
    return HEAD + "\n".join(_line(b) for b in load_prediction_bands()) + "\n"


def _line(b: PredictionBand) -> str:
    known = f"{b.knowledge}: {KNOWLEDGE[b.knowledge]}" if len(b.knowledge) == 1 else KNOWLEDGE[b.knowledge]
    errors = " | ".join(f"{e:.1f} %" for e in (b.median_pct, b.nine_tenths_pct, b.by_propeller_pct))
    return f"| {known} | {b.span} | {b.quantity} | {b.propellers:.0f} | {b.rows:.0f} | {errors} |"


if __name__ == "__main__":
    FILE.write_text(bands_text(), encoding="utf-8")
    sys.stdout.write(f"wrote {FILE.name}\n")
