"""Which lots a quantity is taken from: the oldest first."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["take_oldest_first"]


def take_oldest_first(lots: Sequence[tuple[int, int]], quantity: int) -> tuple[list[tuple[int, int]], int]:
    """Share a quantity out over lots.

    Parameters
    ----------
    lots : sequence of (int, int)
        Lot and pieces in it, oldest first; lots without pieces are passed over [-].
    quantity : int
        Pieces wanted, 0 or more [-].

    Returns
    -------
    taken : list of (int, int)
        Lot and pieces taken from it.
    missing : int
        Pieces that no lot has [-].

    Raises
    ------
    ValueError
        If the quantity is negative.

    Examples
    --------
    >>> take_oldest_first([(1, 3), (2, 0), (3, 10)], 5)
    ([(1, 3), (3, 2)], 0)
    >>> take_oldest_first([(1, 3)], 5)
    ([(1, 3)], 2)
    """
    if quantity < 0:
        msg = f"a quantity to take must be 0 or more (got {quantity})."
        raise ValueError(msg)
    taken = []
    for lot, pieces in lots:
        if quantity == 0:
            break
        share = min(max(pieces, 0), quantity)
        if share:
            taken.append((lot, share))
            quantity -= share
    return taken, quantity
