"""Records of router bits: what each can reach, how fast it goes and how long it lasts in carbon plate."""

from __future__ import annotations

from typing import ClassVar

from platewright.model.catalogue.base import Positive, Range, Record

__all__ = ["Cutter"]


class Cutter(Record):
    """A router bit for carbon plate.

    `inner_radius_mm` is the smallest inside corner in which the bit keeps moving, `smallest_hole_mm` the smallest hole
    it enters on a helix, `deepest_plate_mm` the thickest plate its flutes clear, `life_m_mm` the length it cuts times
    the thickness of the plate: 25 is 25 m of a 1 mm plate or 5 m of a 5 mm one.
    """

    kind: ClassVar[str] = "cutter"
    diameter_mm: Positive
    inner_radius_mm: Positive
    inner_radius_range_mm: Range
    smallest_hole_mm: Positive
    smallest_hole_range_mm: Range
    deepest_plate_mm: Positive
    deepest_plate_range_mm: Range
    feed_mm_min: Positive
    feed_range_mm_min: Range
    depth_per_pass_mm: Positive
    depth_per_pass_range_mm: Range
    life_m_mm: Positive
    life_range_m_mm: Range

    @property
    def title(self) -> str:
        """Its diameter."""
        return f"router bit {self.diameter_mm:g} mm"
