"""Tables of what to change: what each number does, and what one gram buys there."""

from __future__ import annotations

from collections.abc import Iterator

from rich.table import Table

from platewright.app.what_to_change import ChangeStudy
from platewright.cli.tables import new_table
from platewright.study.strength_change import ChangeRow, Slope

__all__ = ["change_tables"]

_HOW = (
    "Differences of whole solutions a step down and up, typical joints, the mesh carried along; bands hold both sides "
    "and the share that another mesh changes. '?': the band holds zero, so not even the sign is sure. '*': something "
    "else fails first after a step, so the slope of the energy is that of no one failure."
)


def change_tables(study: ChangeStudy) -> Iterator[Table | str]:
    """Yield the tables of a study with a sentence under each."""
    now = study.now
    yield (
        f"{now.mass_g:.0f} g ready to fly; softest tip {now.stiffness_n_per_mm:.1f} N/mm; {now.shape} at "
        f"{now.frequency_hz:.0f} Hz; least energy of a hit on a tip {now.energy_j:.2g} J: {now.first_failure}"
    )
    moved = [row for row in study.rows if row.mass_g_per_unit is not None]
    if moved:
        yield _effects(moved)
        yield _HOW
    grams = [row for row in moved if row.stiffness is not None and row.stiffness.per_gram is not None]
    if grams:
        yield _grams(grams)
    for row in moved:
        if row.meshed_anew:
            parts = " and ".join(row.meshed_anew)
            yield f"{row.name}: a step changes the lines of {parts} too much to carry the mesh along; " + (
                "the other side counts alone." if row.is_carried else "bands hold all that another mesh changes."
            )
    for row in study.rows:
        if row.reason:
            yield f"{row.name} cannot be moved from {row.value:g}: {row.reason}"
    if study.left:
        rest = " ".join(f"--number {name}" for name in study.left)
        yield f"Stopped; not reached: {', '.join(study.left)}. To go on, run it again with {rest}."


def _effects(rows: list[ChangeRow]) -> Table:
    table = new_table(
        "What each number does, for one unit more",
        *("number", "now", "step", "g", "stiffness %", "band", "frequency %", "band", "energy %", "band"),
    )
    for row in rows:
        cells = [text for slope in (row.stiffness, row.frequency) for text in _cells(slope)]
        energy, band = _cells(row.energy)
        table.add_row(
            row.name,
            f"{row.value:g}",
            f"{row.step:g}" if row.sides == 2 else f"{row.step:g}, one side",
            f"{row.mass_g_per_unit:+.2f}",
            *cells,
            energy + ("*" if row.turns_to else ""),
            band,
        )
    return table


def _grams(rows: list[ChangeRow]) -> Table:
    table = new_table("One gram here buys", "number", "by", "stiffness %", "frequency %", "energy %")

    def gain(row: ChangeRow) -> float:
        return -(row.energy.per_gram or 0.0) if row.energy is not None and row.energy.is_known else 0.0

    for row in sorted(rows, key=gain):
        per = [_per_gram(slope) for slope in (row.stiffness, row.frequency, row.energy)]
        table.add_row(row.name, f"{1 / (row.mass_g_per_unit or 1.0):+.2f}", *per)
    return table


def _per_gram(slope: Slope | None) -> str:
    if slope is None or slope.per_gram is None:
        return "-"
    return f"{slope.per_gram:+.2f}" + ("" if slope.is_known else "?")


def _cells(slope: Slope | None) -> tuple[str, str]:
    if slope is None:
        return "-", "-"
    known = "" if slope.is_known else "?"
    return f"{slope.percent_per_unit:+.2f}{known}", f"{slope.band[0]:+.1f} to {slope.band[1]:+.1f}"
