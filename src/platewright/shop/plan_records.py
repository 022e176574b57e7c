"""What planning starts from and what it answers; money in the ledger's currency, days, whole pieces."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FrameSales", "Offer", "PlanOptions", "PlanReport", "PlannedItem", "Sharing", "StockedItem", "Supplier"]


@dataclass(frozen=True)
class PlanOptions:
    """What the maker decides.

    Parameters
    ----------
    service_level : float
        Chance that one lead time ends without a shortage [-].
    order_cost : float
        Of placing one order: its shipping and the work [money].
    holding_percent : float
        Cost of holding for a year, of the price [%].
    review_days : int
        Days between two looks at the plan.
    most_days : int
        No order is larger than what so many days take, unless a supplier's least is.
    """

    service_level: float = 0.95
    order_cost: float = 20.0
    holding_percent: float = 25.0
    review_days: int = 7
    most_days: int = 365


@dataclass(frozen=True)
class FrameSales:
    """Kits of one frame.

    Parameters
    ----------
    frame : str
        Its name.
    weeks : tuple of float
        Kits sold in each of the last weeks since the frame has been there, oldest first.
    kits_in_stock : int
        Packed and not sold.
    pieces : dict
        Item and pieces of it that one kit takes, spares included.
    expected_per_month : float or None
        Kits that the maker expects instead of what was sold.
    """

    frame: str
    weeks: tuple[float, ...]
    kits_in_stock: int
    pieces: dict[str, int]
    expected_per_month: float | None = None


@dataclass(frozen=True)
class Offer:
    """From how many pieces on a supplier asks which price."""

    supplier: str
    minimum_quantity: int
    unit_price: float


@dataclass(frozen=True)
class Supplier:
    """Lead time of a supplier; `source` is measured, stated or assumed."""

    supplier: str
    lead_time_days: float
    lead_time_spread_days: float
    source: str


@dataclass(frozen=True)
class StockedItem:
    """One item as the ledger has it.

    Parameters
    ----------
    item, kind, name : str
        As in the ledger.
    usable, unchecked, refused, on_order : int
        Pieces.
    loose_weeks : tuple of float
        Pieces sold loose in each of the last weeks, oldest first.
    offers : tuple of Offer
        Valid today, in the ledger's currency.
    last_supplier : str
        Of the last delivery, or empty.
    last_price : float or None
        Of the last delivery.
    ended : bool
        No longer to be had.
    """

    item: str
    kind: str
    name: str
    usable: int
    unchecked: int
    refused: int
    on_order: int
    loose_weeks: tuple[float, ...]
    offers: tuple[Offer, ...] = ()
    last_supplier: str = ""
    last_price: float | None = None
    ended: bool = False


@dataclass(frozen=True)
class PlannedItem:
    """What to do about one item.

    Parameters
    ----------
    order_today : int
        Pieces to order now, 0 for none.
    order_size : int
        Pieces of a usual order.
    demand_per_day, spread_per_day : float
        Mean, and standard deviation of one day.
    position : int
        Usable, unchecked, on order, and what unsold kits hold.
    lasts_days : float or None
        For how long the position lasts on the mean.
    note : str
        What could not be known, or why nothing is ordered.
    """

    item: str
    kind: str
    name: str
    supplier: str
    order_today: int
    unit_price: float | None
    cost: float | None
    order_size: int
    reorder_point: int
    safety_stock: float
    position: int
    usable: int
    unchecked: int
    refused: int
    on_order: int
    in_kits: int
    demand_per_day: float
    spread_per_day: float
    lead_time_days: float
    lead_time_spread_days: float
    lead_time_source: str
    lasts_days: float | None
    note: str


@dataclass(frozen=True)
class Sharing:
    """What it saves that frames share an item, against a stock of its own for each frame.

    Parameters
    ----------
    correlation : float or None
        Mean correlation of the frames' demands; None when it is not measured, and they are taken as independent.
    safety_apart, safety_together : float
        Sums of safety stocks [-].
    cycle_apart, cycle_together : float
        Half of a usual order each [-].
    saved_pieces : float
        Of both.
    saved_money : float or None
        Cash that is not tied up; None without a price.
    orders_saved_per_year : float
        Fewer orders.
    """

    item: str
    name: str
    frames: tuple[str, ...]
    correlation: float | None
    safety_apart: float
    safety_together: float
    cycle_apart: float
    cycle_together: float
    saved_pieces: float
    saved_money: float | None
    orders_saved_per_year: float


@dataclass(frozen=True)
class PlanReport:
    """The plan of one day.

    Parameters
    ----------
    weeks_of_sales : int
        That demand is from.
    items : tuple of PlannedItem
        Those to order first, then by how long they last.
    sharing : tuple of Sharing
        Items that two frames or more take, largest saving first.
    to_pay : float
        Of today's orders.
    cash_loose, cash_in_kits, cash_on_order : float
        Tied up today, at today's prices; refused pieces are not counted.
    cash_planned : float
        That the plan ties up on the mean: safety stocks and half orders.
    saved_by_sharing : float
        Sum over `sharing`.
    unpriced : tuple of str
        Items counted as nothing.
    """

    on: str
    currency: str
    options: PlanOptions
    weeks_of_sales: int
    items: tuple[PlannedItem, ...]
    sharing: tuple[Sharing, ...]
    to_pay: float
    cash_loose: float
    cash_in_kits: float
    cash_on_order: float
    cash_planned: float
    saved_by_sharing: float
    unpriced: tuple[str, ...]
