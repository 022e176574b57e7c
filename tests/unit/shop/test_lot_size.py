from __future__ import annotations

import pytest

from platewright.shop.lot_size import economic_order_quantity, order_size, yearly_cost

BREAKS = [(10, 2.0), (100, 1.8), (500, 1.7)]


def _year(quantity: int, demand: float, order_cost: float, rate: float) -> float:
    price = next(p for start, p in reversed(BREAKS) if quantity >= start)
    return demand * price + yearly_cost(quantity, demand, order_cost, rate * price)


@pytest.mark.parametrize("demand", [0.0, 3.0, 40.0, 300.0, 2000.0])
@pytest.mark.parametrize("order_cost", [0.0, 5.0, 40.0])
@pytest.mark.parametrize("bounds", [(1, None), (37, 90), (130, 200), (3, 5)])
def test_no_whole_quantity_is_cheaper(demand: float, order_cost: float, bounds: tuple[int, int | None]):
    """Against every quantity that may be ordered."""
    least, most = bounds
    found = order_size(demand, order_cost, 0.25, BREAKS, least, most)
    first = max(least, 10)
    last = 3000 if most is None else max(most, first)
    best = min(_year(n, demand, order_cost, 0.25) for n in range(first, last + 1))
    assert found.cost_per_year == pytest.approx(best)
    assert found.cost_per_year == pytest.approx(_year(found.quantity, demand, order_cost, 0.25))
    assert first <= found.quantity <= last


def test_ordering_and_holding_cost_the_same_at_the_best_quantity():
    best = economic_order_quantity(300, 40, 0.5)
    assert 300 * 40 / best == pytest.approx(0.5 * best / 2)


@pytest.mark.parametrize(
    "call",
    [
        lambda: economic_order_quantity(-1, 1, 1),
        lambda: economic_order_quantity(1, 1, 0),
        lambda: yearly_cost(0, 1, 1, 1),
        lambda: order_size(1, 1, 0.2, []),
        lambda: order_size(1, 1, 0.2, [(10, 1.0), (5, 0.9)]),
        lambda: order_size(1, 1, 0.2, [(1, 0.0)]),
    ],
)
def test_numbers_out_of_range_are_refused(call):
    with pytest.raises(ValueError, match=r"must|needs a price"):
        call()
