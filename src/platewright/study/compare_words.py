"""What changed between two designs, in sentences made of a comparison; of numbers that follow only the masses."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.study.compare_results import Change, Comparison, PartRow

__all__ = ["change_sentences"]

_LEAST = 5e-4  # numbers that differ by less are the same, in their own unit


def change_sentences(comparison: Comparison) -> tuple[str, ...]:
    """Return one sentence for each thing that changed: parts first, then parameters, columns, hardware, findings."""
    return tuple(_sentences(comparison))


def _sentences(c: Comparison) -> Iterator[str]:
    for row in c.parts:
        if text := _part(row):
            yield text
    masses = tuple(change for change in c.numbers if change.what.startswith("mass "))
    for title, changes in (("", c.parameters), ("", masses), ("hardware ", c.hardware)):
        for change in changes:
            if change.difference is None or abs(change.difference) >= _LEAST:
                yield f"{title}{change.what}: {_value(change, change.first)} to {_value(change, change.second)}."
    for what, rows in (("place", c.places), ("column", c.columns)):
        for line in rows:
            yield f"{what} {line.what}: {line.first or 'not there'} to {line.second or 'not there'}."
    for what, findings in (("no longer", c.findings_gone), ("now", c.findings_new)):
        for finding in findings:
            yield f"{what} found: {finding.code}, {finding.message}"


def _part(row: PartRow) -> str:
    differ = row.quantity_first != row.quantity_second
    counts = f", {row.quantity_first} to {row.quantity_second} pieces" if differ else ""
    if row.state == "gone":
        return f"part {row.first} is gone."
    if row.state == "new":
        return f"part {row.second} is new ({row.quantity_second} pieces)."
    if row.state == "same":
        named = f"part {row.first} is now called {row.second}" if row.first != row.second else f"part {row.first}"
        return f"{named}{counts}." if counts or row.first != row.second else ""
    said = [row.how] if row.how else []
    if row.added_mm2 is not None and row.removed_mm2 is not None and row.added_mm2 + row.removed_mm2 > 0:
        said.append(f"{row.added_mm2:.1f} mm² added, {row.removed_mm2:.1f} mm² taken away")
    if row.mass_first_g is not None and row.mass_second_g is not None:
        said.append(f"{row.mass_first_g:.2f} to {row.mass_second_g:.2f} g")
    said += [f"{h.first} to {h.second} holes of {h.diameter_mm:g} mm" for h in row.holes]
    return f"part {row.second} changed: {'; '.join(said)}{counts}."


def _value(change: Change, value: float | None) -> str:
    if value is None:
        return "not there"
    return f"{value:.6g} {change.unit}".strip()
