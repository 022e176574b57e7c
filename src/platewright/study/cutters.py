"""From catalogue and shop records to router bits in the units of `fabrication`."""

from __future__ import annotations

from platewright.fabrication.bit import Bit, bit_of_diameter
from platewright.foundation.units import MM_PER_M, S_PER_MIN
from platewright.model.catalogue import Catalogue, Cutter
from platewright.model.shop import ShopCutter

__all__ = ["chosen_bit", "shop_bit"]


def chosen_bit(catalogue: Catalogue, diameter_mm: float) -> Bit:
    """Return the bit of a diameter, as `checks.cutter_mm` names it."""
    return bit_of_diameter([_bit(c) for c in catalogue.cutters()], diameter_mm)


def shop_bit(catalogue: Catalogue, cutter: ShopCutter) -> Bit:
    """Return a shop's bit: the catalogue's numbers, those of the shop over them."""
    record = catalogue.cutter(cutter.id)
    given = {n: getattr(cutter, n) for n in ("feed_mm_min", "depth_per_pass_mm", "life_m_mm")}
    return _bit(record.model_copy(update={n: v for n, v in given.items() if v is not None}))


def _bit(record: Cutter) -> Bit:
    return Bit(
        record.diameter_mm,
        record.inner_radius_mm,
        record.smallest_hole_mm,
        record.deepest_plate_mm,
        record.feed_mm_min / S_PER_MIN,
        record.depth_per_pass_mm,
        record.life_m_mm * MM_PER_M,
    )
