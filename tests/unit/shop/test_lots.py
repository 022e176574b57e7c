"""Taking from lots: nothing is lost or doubled, and an older lot is emptied before a newer one is touched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.shop.lots import take_oldest_first


@given(st.lists(st.integers(-5, 20), max_size=8), st.integers(0, 100))
def test_what_is_taken_and_missing_is_what_was_wanted(pieces: list[int], wanted: int):
    lots = list(enumerate(pieces))
    taken, missing = take_oldest_first(lots, wanted)
    assert sum(n for _, n in taken) + missing == wanted
    assert all(0 < n <= pieces[lot] for lot, n in taken)
    assert missing == max(wanted - sum(max(n, 0) for n in pieces), 0)
    assert [lot for lot, _ in taken] == sorted({lot for lot, _ in taken})
    for lot, n in taken[:-1]:
        assert n == pieces[lot]


def test_a_negative_quantity_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        take_oldest_first([(1, 3)], -1)
