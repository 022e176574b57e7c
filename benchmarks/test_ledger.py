"""How long a ledger of many movements takes to answer, in both databases.

The goal is 100 ms for the stock of all items with a million movements. The answer adds up the checkpoint and the
movements since, so its time follows the lots in stock, not the rows; `adding all rows up` is what it would be without.
"""

from __future__ import annotations

import datetime
import time
from collections.abc import Callable, Iterator

import pytest
from sqlalchemy import text

from benchmarks.big_ledger import fill_ledger
from ledgers import Databases
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.planning import plan_data
from platewright.io.ledger.queries import moved_by_day, stock
from platewright.io.ledger.store import Ledger, open_ledger
from platewright.io.ledger.traces import trace
from platewright.shop.plan_records import PlanOptions
from platewright.shop.planning import plan_orders

SIZES = (10_000, 100_000, 1_000_000)
DAY = datetime.date(2026, 3, 2)
Big = Callable[[str, int], Ledger]


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Big]:
    """Give ledgers of a size, each made once."""
    databases = Databases(tmp_path_factory.mktemp("ledgers"))
    made: dict[tuple[str, int], Ledger] = {}

    def give(kind: str, size: int) -> Ledger:
        if (kind, size) not in made:
            address = databases.fresh(kind)
            began = time.perf_counter()
            count = fill_ledger(address, size)
            print(f"\n{kind}: {count} movements written in {time.perf_counter() - began:.1f} s")
            ledger = open_ledger(address)
            with ledger.read() as c:
                assert c.execute(text("SELECT COUNT(*) FROM movement")).scalar_one() == count
            made[kind, size] = ledger
        return made[kind, size]

    yield give
    for ledger in made.values():
        ledger.close()
    databases.close()


def all_stock(ledger: Ledger) -> int:
    with ledger.read() as c:
        return sum(row.on_hand for row in stock(c))


def all_rows(ledger: Ledger) -> int:
    with ledger.read() as c:
        by_item = c.execute(text("SELECT item_id, SUM(quantity) FROM movement GROUP BY item_id"))
        return sum(int(pieces) for _, pieces in by_item)


@pytest.mark.parametrize("size", SIZES)
def test_stock_of_all_items_sqlite(benchmark: Callable[..., int], big: Big, size: int) -> None:
    ledger = big("sqlite", size)
    assert benchmark(all_stock, ledger) == all_rows(ledger)


@pytest.mark.parametrize("size", SIZES)
def test_stock_of_all_items_postgresql(benchmark: Callable[..., int], big: Big, size: int) -> None:
    ledger = big("postgresql", size)
    assert benchmark(all_stock, ledger) == all_rows(ledger)


@pytest.mark.parametrize("size", SIZES)
def test_adding_all_rows_up_sqlite(benchmark: Callable[..., int], big: Big, size: int) -> None:
    assert benchmark(all_rows, big("sqlite", size)) > 0


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_pack_and_sell_a_kit(benchmark: Callable[..., int], big: Big, kind: str) -> None:
    ledger = big(kind, SIZES[-1])

    def book() -> int:
        ledger.write(lambda c: pack(c, "frame-0", 1, DAY))
        return ledger.write(lambda c: sell(c, [SaleLine("frame-0")], DAY)).document

    assert benchmark.pedantic(book, rounds=10) > 0
    assert all_stock(ledger) == all_rows(ledger)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_where_a_lot_of_screws_went(benchmark: Callable[..., int], big: Big, kind: str) -> None:
    ledger = big(kind, SIZES[-1])

    def ask() -> int:
        with ledger.read() as c:
            return len(trace(c, "item_03.1").holders)

    assert benchmark.pedantic(ask, rounds=3) == 200


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_demand_of_a_year(benchmark: Callable[..., int], big: Big, kind: str) -> None:
    ledger = big(kind, SIZES[-1])
    with ledger.read() as c:
        last = c.execute(text("SELECT MAX(on_date) FROM movement WHERE kind = 'kit'")).scalar_one()
    since = datetime.date.fromisoformat(str(last)) - datetime.timedelta(days=365)

    def ask() -> int:
        with ledger.read() as c:
            return len(moved_by_day(c, ("sale", "spare", "return"), since))

    assert benchmark.pedantic(ask, rounds=3) > 300


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_orders_of_today(benchmark: Callable[..., int], big: Big, kind: str, size: int) -> None:
    """The goal is 1 s with a million movements."""
    ledger = big(kind, size)
    with ledger.read() as c:
        last = str(c.execute(text("SELECT MAX(on_date) FROM movement")).scalar_one())
    day = datetime.date.fromisoformat(last)

    def ask() -> int:
        with ledger.read() as c:
            data = plan_data(c, day)
        options = PlanOptions(review_days=30)
        report = plan_orders(last, data.currency, data.frames, data.items, data.suppliers, options)
        assert report.weeks_of_sales > 1
        return sum(row.order_today > 0 for row in report.items)

    assert benchmark.pedantic(ask, rounds=5) > 0


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_look_at_every_row(benchmark: Callable[..., list[str]], big: Big, kind: str) -> None:
    ledger = big(kind, SIZES[-1])

    def look() -> list[str]:
        with ledger.read() as c:
            return breaches(c)

    assert benchmark.pedantic(look, rounds=1) == []
