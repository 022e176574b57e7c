"""Rates of broken parts: exact intervals, a bad lot kept from looking like a bad revision, sentences from them."""

import datetime
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.shop.breakages import part_breakages
from platewright.shop.field_reports import FieldReport, standing
from platewright.study.breakage_words import breakage_sentences

DAY = datetime.date(2026, 3, 1)


def report(kind: str, revision: int = 1, lot: str = "", pieces: int = 1, **more: object) -> FieldReport:
    return FieldReport(kind, DAY, "arm", revision, lot, pieces, **more)


def test_a_rate_has_garwoods_interval_and_an_unchanged_part_is_one():
    rows = [report("sold", 1, pieces=60), report("sold", 2, pieces=40), report("broken", 2, pieces=4)]
    found = part_breakages("arm", rows, {1: 1, 2: 1})
    (row,) = found.revisions
    assert (row.revisions, row.broken, row.sold) == ((1, 2), 4, 100)
    assert row.rate.interval.low == pytest.approx(0.010899, abs=1e-6)
    assert row.rate.interval.high == pytest.approx(0.102416, abs=1e-6)
    said = breakage_sentences(found)
    assert said[0].startswith("arm, revision 1 (unchanged in 2): 4 of 100 broke, 4 in 100; ")
    assert "between 1.1 and 10 in 100 (95 %)" in said[0]
    assert found.compared == ()


def test_a_bad_lot_does_not_look_like_a_bad_revision():
    rows = [report("sold", 1, lot, n) for lot, n in (("A", 100), ("B", 100), ("C", 40))]
    rows += [report("broken", 1, lot, n) for lot, n in (("A", 4), ("B", 4), ("C", 14))]
    rows += [report("sold", 2, "D", 160), report("broken", 2, "D", 5)]
    found = part_breakages("arm", rows, {})
    old, _ = found.revisions
    assert [lot.lot for lot in old.lots if lot.stands_out] == ["C"]
    assert (old.rate_without.events, old.rate_without.exposure) == (8, 200)
    whole, without = found.compared
    assert whole.ratio.chance_if_equal < 0.05
    assert without.without == ("C",)
    assert without.ratio.chance_if_equal > 0.5
    text = "\n".join(breakage_sentences(found))
    assert "lot C stands out from the other lots: 14 of 40 broke" in text
    assert "but this counts lot C" in text
    assert "revision 2 against 1, without lot C" in text
    assert "8 and 5 broken tell this much and no more" in text


def test_lots_that_differ_by_chance_alone_do_not_stand_out():
    rows = [report("sold", 1, lot, 50) for lot in "ABCDE"]
    rows += [report("broken", 1, lot, n) for lot, n in zip("ABCDE", (1, 4, 2, 0, 3), strict=True) if n]
    (row,) = part_breakages("arm", rows, {}).revisions
    assert not any(lot.stands_out for lot in row.lots)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(st.integers(0, 30), st.integers(30, 300)), min_size=1, max_size=5))
def test_words_are_made_of_any_counts(counts: list[tuple[int, int]]):
    rows = []
    for revision, (broken, sold) in enumerate(counts, 1):
        rows.append(report("sold", revision, "L", sold))
        rows += [report("broken", revision, "L", broken)] if broken else []
    found = part_breakages("arm", rows, {})
    assert len(found.compared) == len(counts) - 1
    text = "\n".join(breakage_sentences(found))
    assert "nan" not in text
    assert "inf " not in text
    for row, (broken, sold) in zip(found.revisions, counts, strict=True):
        assert row.rate.interval.low <= broken / sold <= row.rate.interval.high


def test_without_sales_there_is_no_rate_and_more_broken_than_sold_is_said():
    text = breakage_sentences(part_breakages("arm", [report("broken")], {}))
    assert text[0] == "arm, revision 1: 1 broke, but no sale is known: without all pieces sold there is no rate."
    rows = [report("broken", pieces=3), report("sold", pieces=2)]
    found = part_breakages("arm", rows, {})
    assert found.revisions[0].rate is None
    assert "2 sold are known" in breakage_sentences(found)[0]


def test_a_life_counts_pieces_that_are_whole():
    rows = [report("broken", hours=h) for h in (450.0, 1150.0, 1150.0)] + [report("whole", pieces=20, hours=2000.0)]
    life = part_breakages("arm", rows, {}).revisions[0].life
    assert (life.clock, life.failed, life.whole) == ("hours", 3, 20)
    bare = part_breakages("arm", rows[:3], {}).revisions[0].life
    assert bare is not None
    assert bare.b10 < life.b10
    few = part_breakages("arm", rows[2:], {}).revisions[0]
    assert few.life is None
    assert "known of 1 that broke" in few.why_no_life


def test_flights_are_the_clock_where_more_breaks_are_known_by_them():
    rows = [report("broken", flights=f) for f in (20.0, 60.0, 90.0)] + [report("broken", hours=3.0)]
    rows += [report("whole", flights=150.0)]
    life = part_breakages("arm", rows, {}).revisions[0].life
    assert (life.clock, life.failed, life.whole) == ("flights", 3, 1)
    assert math.isfinite(life.shape)


def test_a_withdrawn_report_no_longer_counts_and_others_stay():
    rows = [report("broken", reference="R1"), report("broken", reference="R2"), report("broken")]
    rows.append(report("withdrawn", reference="R1"))
    assert [r.reference for r in standing(rows)] == ["R2", ""]
