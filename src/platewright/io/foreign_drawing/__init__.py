"""Drawings that others made: a part's own drawing read strictly, and any drawing read for what it may hold."""

from platewright.io.foreign_drawing.document import Opened, collector_paused, open_document
from platewright.io.foreign_drawing.entities import gather
from platewright.io.foreign_drawing.gathered import Gathered, Passed, Source
from platewright.io.foreign_drawing.scale import UNITS, Unit, header_unit, settle_unit
from platewright.io.foreign_drawing.strict import read_loops_dxf

__all__ = [
    "UNITS",
    "Gathered",
    "Opened",
    "Passed",
    "Source",
    "Unit",
    "collector_paused",
    "gather",
    "header_unit",
    "open_document",
    "read_loops_dxf",
    "settle_unit",
]
