"""What reports of broken parts tell: rates by revision and by lot, revisions compared, lives.

Pieces sold are the exposure; breaks are counted as Poisson events over them. A lot stands out when it breaks more than
the other lots of its revision and the chance of that, times the number of lots looked at, is below 5 % (Bonferroni,
from memory). Revisions are then compared again without such lots: a bad sheet must not look like a bad revision.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.shop.field_reports import FieldReport
from platewright.shop.intervals import Interval, Rate, RateRatio, exposure_to_tell, rate_difference, rate_of, rate_ratio
from platewright.shop.weibull import fit_weibull

__all__ = ["Life", "LotRate", "PartBreakages", "RevisionRate", "RevisionsCompared", "part_breakages"]

_RISK = 0.05  # a lot stands out below this chance [-]
_HALF = 0.5  # the better revision that one wants to be able to tell breaks so often [-]
_LEAST_FAILURES = 2  # a life is fitted from so many on [-]
_B10 = 0.1


@dataclass(frozen=True)
class LotRate:
    """One lot beside the other lots of its revision; `chance` is already times the number of lots looked at [-]."""

    lot: str
    rate: Rate
    others: RateRatio | None
    chance: float | None
    stands_out: bool


@dataclass(frozen=True)
class Life:
    """A Weibull life of a revision in hours or flights, with likelihood intervals of 95 %."""

    clock: str
    failed: int
    whole: int
    shape: float
    shape_interval: Interval
    scale: float
    b10: float
    b10_interval: Interval


@dataclass(frozen=True)
class RevisionRate:
    """A part as it is since one revision: pieces sold and broken, its lots, and its rate without lots that stand out.

    Rates are broken pieces per piece sold; None where no sale is known, or fewer pieces than broke.
    """

    since: int
    revisions: tuple[int, ...]
    broken: int
    sold: int
    rate: Rate | None
    lots: tuple[LotRate, ...]
    rate_without: Rate | None
    life: Life | None
    why_no_life: str


@dataclass(frozen=True)
class RevisionsCompared:
    """A later revision over an earlier one.

    `to_tell` is how many pieces of the later must be seen so that half the earlier rate would be told from it with a
    chance of 80 %; None where no number does. `without` are lots left out.
    """

    earlier: int
    later: int
    ratio: RateRatio
    difference: Interval
    to_tell: float | None
    without: tuple[str, ...]


@dataclass(frozen=True)
class PartBreakages:
    """All that the reports say of one part; comparisons first with all lots, then without those that stand out."""

    part: str
    revisions: tuple[RevisionRate, ...]
    compared: tuple[RevisionsCompared, ...]


def part_breakages(part: str, reports: Sequence[FieldReport], since: Mapping[int, int]) -> PartBreakages:
    """Return what the reports say of a part.

    Parameters
    ----------
    part : str
        Its id.
    reports : sequence of FieldReport
        Not withdrawn; those of other parts are left out.
    since : mapping of int to int
        For each revision of the frame, that since which the part is as it is; a revision left out is its own.
    """
    own = [r for r in reports if r.part == part]
    groups: dict[int, list[FieldReport]] = {}
    for report in own:
        groups.setdefault(since.get(report.revision, report.revision), []).append(report)
    rows = [_revision(first, groups[first]) for first in sorted(groups)]
    compared = []
    for earlier, later in itertools.pairwise(rows):
        if earlier.rate is not None and later.rate is not None:
            compared.append(_compared(earlier, later, earlier.rate, later.rate, ()))
            odd = tuple(lot.lot for row in (earlier, later) for lot in row.lots if lot.stands_out)
            if odd and earlier.rate_without is not None and later.rate_without is not None:
                compared.append(_compared(earlier, later, earlier.rate_without, later.rate_without, odd))
    return PartBreakages(part, tuple(rows), tuple(compared))


def _revision(since: int, reports: Sequence[FieldReport]) -> RevisionRate:
    broken, sold = _count(reports, "broken"), _count(reports, "sold")
    rate = rate_of(broken, sold) if sold and broken <= sold else None
    lots = _lots(reports)
    odd = {row.lot for row in lots if row.stands_out}
    rest = [r for r in reports if r.lot not in odd]
    left_broken, left_sold = _count(rest, "broken"), _count(rest, "sold")
    without = rate_of(left_broken, left_sold) if rate is not None and left_sold >= max(left_broken, 1) else None
    life, why = _life(reports)
    revisions = tuple(sorted({r.revision for r in reports}))
    return RevisionRate(since, revisions, broken, sold, rate, lots, without, life, why)


def _lots(reports: Sequence[FieldReport]) -> tuple[LotRate, ...]:
    """Return lots of which sales are known, each beside the others."""
    counts: dict[str, tuple[int, int]] = {}
    for lot in dict.fromkeys(r.lot for r in reports if r.lot):
        own = [r for r in reports if r.lot == lot]
        counts[lot] = _count(own, "broken"), _count(own, "sold")
    known = {lot: pair for lot, pair in counts.items() if pair[1] >= max(pair[0], 1)}
    all_broken, all_sold = (sum(pair[k] for pair in known.values()) for k in (0, 1))
    rows = []
    for lot, (broken, sold) in sorted(known.items()):
        if len(known) == 1:
            rows.append(LotRate(lot, rate_of(broken, sold), None, None, False))
            continue
        ratio = rate_ratio(broken, sold, all_broken - broken, all_sold - sold)
        chance = min(1.0, ratio.chance_if_equal * len(known))
        rows.append(LotRate(lot, rate_of(broken, sold), ratio, chance, chance < _RISK and ratio.value > 1))
    return tuple(rows)


def _compared(
    earlier: RevisionRate, later: RevisionRate, old: Rate, new: Rate, without: tuple[str, ...]
) -> RevisionsCompared:
    counts = (new.events, new.exposure, old.events, old.exposure)
    needed = exposure_to_tell(old.events, old.exposure, _HALF)
    return RevisionsCompared(earlier.since, later.since, rate_ratio(*counts), rate_difference(*counts), needed, without)


def _life(reports: Sequence[FieldReport]) -> tuple[Life | None, str]:
    """Return the life by the clock that more breaks are known by, and why there is none."""
    clocks = {name: [r for r in reports if r.kind != "sold" and getattr(r, name)] for name in ("hours", "flights")}
    clock = max(clocks, key=lambda name: _count(clocks[name], "broken"))
    timed = clocks[clock]
    failed, whole = _count(timed, "broken"), _count(timed, "whole")
    if failed < _LEAST_FAILURES:
        return None, f"hours or flights are known of {failed} that broke, and a life needs {_LEAST_FAILURES}"
    times = [float(getattr(r, clock)) for r in timed for _ in range(r.pieces)]
    try:
        fit = fit_weibull(times, [r.kind == "broken" for r in timed for _ in range(r.pieces)])
    except ValueError as error:
        return None, str(error).rstrip(".")
    return (
        Life(clock, failed, whole, fit.shape, fit.shape_interval(), fit.scale, fit.life(_B10), fit.life_interval(_B10)),
        "",
    )


def _count(reports: Sequence[FieldReport], kind: str) -> int:
    return sum(r.pieces for r in reports if r.kind == kind)
