"""What reports of broken parts tell and what they do not, in sentences made of the numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.shop.breakages import Life, LotRate, PartBreakages, RevisionRate, RevisionsCompared
from platewright.shop.intervals import Rate, poisson_upper

__all__ = ["breakage_sentences"]

_RISK = 0.05


def breakage_sentences(found: PartBreakages) -> tuple[str, ...]:
    """Return sentences: each revision with its lots and life, then each pair of revisions."""
    return tuple(_sentences(found))


def _sentences(found: PartBreakages) -> Iterator[str]:
    for row in found.revisions:
        yield from _revision(found.part, row)
    for pair in found.compared:
        yield from _pair(found, pair)


def _revision(part: str, row: RevisionRate) -> Iterator[str]:
    named = f"{part}, revision {row.since}"
    more = [str(n) for n in row.revisions if n != row.since]
    named += f" (unchanged in {', '.join(more)})" if more else ""
    if row.rate is None:
        known = f"{row.sold} sold are known" if row.sold else "no sale is known"
        yield f"{named}: {row.broken} broke, but {known}: without all pieces sold there is no rate."
    else:
        yield f"{named}: {_rate(row.rate)}"
    for lot in row.lots:
        if lot.stands_out:
            yield _odd(lot)
    if any(lot.stands_out for lot in row.lots) and row.rate_without is not None:
        yield f"  without what stands out: {_rate(row.rate_without)}"
    elif len(row.lots) > 1:
        yield f"  none of its {len(row.lots)} lots stands out, as far as so few breaks can show."
    if row.life is not None:
        yield from _life(row.life)
    elif row.broken:
        yield f"  no life is fitted: {row.why_no_life}."


def _rate(rate: Rate) -> str:
    if rate.events == 0:
        below = 100 * poisson_upper(0) / rate.exposure
        return f"none of {rate.exposure:.0f} broke: the true rate is below {below:.2g} in 100 (95 %), no more is known."
    low, high = 100 * rate.interval.low, 100 * rate.interval.high
    return (
        f"{rate.events} of {rate.exposure:.0f} broke, {100 * rate.value:.2g} in 100; the true rate lies between "
        f"{low:.2g} and {high:.2g} in 100 (95 %)."
    )


def _odd(lot: LotRate) -> str:
    assert lot.others is not None
    assert lot.chance is not None
    times = "they had none" if math.isinf(lot.others.value) else f"{lot.others.value:.2g} times as often as they"
    return (
        f"  lot {lot.lot} stands out from the other lots: {lot.rate.events} of {lot.rate.exposure:.0f} broke, {times}; "
        f"were all lots alike, the chance of one so unlike would be {_percent(lot.chance)}. Ask what its sheet was "
        f"('platewright stock where {lot.lot}') before the drawing is blamed."
    )


def _life(life: Life) -> Iterator[str]:
    low, high = life.shape_interval.low, life.shape_interval.high
    kind = "early failures" if high < 1 else "wear" if low > 1 else "early failures, chance or wear alike"
    yield (
        f"  life by {life.clock}, {life.failed} broken and {life.whole} whole: shape {life.shape:.2g} ({low:.2g} to "
        f"{high:.2g}), which fits {kind}; one in ten broken by {life.b10:.3g} {life.clock} "
        f"({life.b10_interval.low:.2g} to {_end(life.b10_interval.high)})."
    )


def _pair(found: PartBreakages, pair: RevisionsCompared) -> Iterator[str]:
    left = f", without lot {' and '.join(pair.without)}" if pair.without else ""
    named = f"{found.part}, revision {pair.later} against {pair.earlier}{left}"
    ratio = pair.ratio
    if math.isnan(ratio.value):
        yield f"{named}: neither broke, so nothing is known of which is better."
        return
    often = "infinitely" if math.isinf(ratio.value) else f"{ratio.value:.2g}"
    yield (
        f"{named}: it breaks {often} times as often, between {ratio.interval.low:.2g} and {_end(ratio.interval.high)} "
        f"times (95 %); in 100 sold, {_signed(pair.difference.low)} to {_signed(pair.difference.high)} break."
    )
    if ratio.chance_if_equal < _RISK:
        better = "breaks less" if ratio.value < 1 else "breaks more"
        yield (
            f"  were both alike, counts so unlike would come with a chance of {_percent(ratio.chance_if_equal)}: "
            f"revision {pair.later} {better}, as far as reports of both are equally complete."
        )
    else:
        broken = " and ".join(str(_events(found, n, pair.without)) for n in (pair.earlier, pair.later))
        yield (
            f"  {broken} broken tell this much and no more: were both alike, counts so unlike would come with a chance "
            f"of {_percent(ratio.chance_if_equal)}, so neither is shown to be better."
        )
    odd = [
        lot.lot for r in found.revisions if r.since in (pair.earlier, pair.later) for lot in r.lots if lot.stands_out
    ]
    if odd and not pair.without:
        yield f"  but this counts lot {' and '.join(odd)}, which stands out: the comparison without it counts."
    if pair.to_tell is None:
        yield (
            f"  revision {pair.earlier} itself broke too seldom for any number of the later to show that half as many "
            "break."
        )
    else:
        yield (
            f"  to show that a revision that breaks half as often as {pair.earlier} is better (95 %, with a chance of "
            f"80 %), {math.ceil(pair.to_tell)} pieces of it must be sold and looked after."
        )


def _events(found: PartBreakages, since: int, without: tuple[str, ...]) -> int:
    row = next(r for r in found.revisions if r.since == since)
    rate = row.rate_without if without else row.rate
    return rate.events if rate is not None else row.broken


def _signed(share: float) -> str:
    value = 100 * share
    return f"{abs(value):.2g} {'fewer' if value < 0 else 'more'}"


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %" if share < 1 else "100 %"


def _end(value: float) -> str:
    return "no known end" if math.isinf(value) else f"{value:.2g}"
