"""Reports from the field: pieces that broke, pieces sold, pieces seen whole, reports taken back."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["REPORT_KINDS", "FieldReport", "standing"]

REPORT_KINDS = ("broken", "sold", "whole", "withdrawn")


@dataclass(frozen=True)
class FieldReport:
    """One report.

    Parameters
    ----------
    kind : str
        `broken`: pieces broke; `sold`: pieces went to pilots; `whole`: pieces were seen whole after the hours or
        flights; `withdrawn`: the report of this part with the same reference was wrong.
    on : date
        When.
    part : str
        Id of the part.
    revision : int
        Of the frame that it belongs to.
    lot : str
        Code of the lot; empty where unknown.
    pieces : int
        Above 0.
    at_mm : (float, float) or None
        Where it broke, in the part's own axes.
    what : str
        What happened.
    hours, flights : float or None
        Of use until then, of each piece.
    reference : str
        The maker's own number of the report; empty for none.
    """

    kind: str
    on: datetime.date
    part: str
    revision: int
    lot: str = ""
    pieces: int = 1
    at_mm: tuple[float, float] | None = None
    what: str = ""
    hours: float | None = None
    flights: float | None = None
    reference: str = ""


def standing(reports: Iterable[FieldReport]) -> list[FieldReport]:
    """Return the reports that were not withdrawn, in their order.

    Examples
    --------
    >>> day = datetime.date(2026, 3, 1)
    >>> one = FieldReport("broken", day, "arm", 1, reference="R7")
    >>> standing([one, FieldReport("withdrawn", day, "arm", 1, reference="R7")])
    []
    """
    known = list(reports)
    gone = {(r.part, r.reference) for r in known if r.kind == "withdrawn"}
    return [r for r in known if r.kind != "withdrawn" and not (r.reference and (r.part, r.reference) in gone)]
