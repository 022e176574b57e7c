"""Wind-tunnel propellers predicted from the others.

UIUC Propeller Database, Vols 1-3 (Brandt & Selig, AIAA 2011-1255; Deters, Ananda & Selig, AIAA 2014-2151), a subset.
"""

import csv
import io

import pytest

from platewright.model.catalogue import load_prediction_bands
from propeller_bands import bands_text

BANDS = {(b.knowledge, b.span, b.quantity): b for b in load_prediction_bands()}


def test_the_shipped_errors_are_found_again():
    fresh = list(csv.DictReader(io.StringIO(bands_text())))
    assert len(fresh) == len(BANDS) > 30
    for row in fresh:
        shipped = BANDS[row["knowledge"], row["span"], row["quantity"]]
        assert float(row["rows"]) == shipped.rows
        for name in ("median_pct", "nine_tenths_pct", "by_propeller_pct"):
            assert float(row[name]) == pytest.approx(getattr(shipped, name), abs=0.2), row


@pytest.mark.parametrize(
    ("knowledge", "span", "quantity", "limit"),
    [("a", "at rest", "CT", 11), ("a", "at rest", "CP", 14), ("c", "to 0.7", "CT", 6), ("c", "to 0.7", "CP", 6)],
)
def test_half_of_the_rows_lie_within(knowledge, span, quantity, limit):
    assert BANDS[knowledge, span, quantity].median_pct <= limit


@pytest.mark.parametrize("quantity", ["CT", "CP"])
@pytest.mark.parametrize(("knowledge", "plain", "span"), [("a", "plain", "at rest"), ("c", "plain c", "to 0.7")])
def test_better_than_a_plain_regression(quantity, knowledge, plain, span):
    ours, theirs = BANDS[knowledge, span, quantity], BANDS[plain, span, quantity]
    assert ours.median_pct < theirs.median_pct
    assert ours.nine_tenths_pct < theirs.nine_tenths_pct
    assert ours.by_propeller_pct < theirs.by_propeller_pct


@pytest.mark.parametrize("quantity", ["CT", "CP"])
@pytest.mark.parametrize("span", ["at rest", "to 0.7"])
def test_a_known_blade_is_predicted_better_than_by_blade_elements_alone(quantity, span):
    ours, alone = BANDS["b", span, quantity], BANDS["element", span, quantity]
    assert ours.median_pct < alone.median_pct
    assert ours.nine_tenths_pct < alone.nine_tenths_pct


def test_more_knowledge_is_never_worse_over_the_useful_range():
    for quantity in ("CT", "CP"):
        size, point, static = (BANDS[k, "to 0.7", quantity].median_pct for k in "adc")
        assert size > point > static
