"""The table of margins by kind of failure: what comes first of each kind, in flight and in hits."""

from __future__ import annotations

from rich.table import Table

from platewright.cli.tables import new_table
from platewright.study.strength_results import FrameStrength, KindRow

__all__ = ["kind_table"]


def kind_table(result: FrameStrength) -> Table:
    """Return one row for each kind of failure: the known load, and the hit, that comes nearest to it.

    Parameters
    ----------
    result : FrameStrength
        A solved frame.
    """
    heads = ("kind", "margin", "band", "of, in which load", "in hits", "of, in which hit")
    table = new_table("Margins by kind of failure", *heads, words=("of, in which load", "of, in which hit"))
    known = {row.case for row in result.cases if row.margin is not None}
    flight = _nearest([row for row in result.kinds if row.case in known])
    hits = _nearest([row for row in result.kinds if row.case not in known], by_first=True)
    for kind in sorted(flight | hits, key=lambda k: min(_times(flight.get(k)), 1e3 * _times(hits.get(k)))):
        one, other = flight.get(kind), hits.get(kind)
        table.add_row(
            kind,
            f"{one.times:.3g}" if one else "-",
            f"{one.band[0]:.3g} to {one.band[1]:.3g}" if one else "-",
            f"{one.what}, {one.case}" if one else "-",
            f"{other.by_first:.2f}" if other else "-",
            f"{other.what}, {other.case}" if other else "-",
        )
    return table


def _nearest(rows: list[KindRow], by_first: bool = False) -> dict[str, KindRow]:
    found: dict[str, KindRow] = {}
    for row in sorted(rows, key=lambda r: r.by_first if by_first else r.times):
        found.setdefault(row.kind, row)
    return found


def _times(row: KindRow | None) -> float:
    return float("inf") if row is None else row.times
