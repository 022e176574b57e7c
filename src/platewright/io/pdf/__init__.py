"""Paper: drawing sheets of parts and of the whole frame as PDF, set by Typst from templates in this package."""

from __future__ import annotations

from platewright.io.pdf.frame_sheet import frame_sheet_pdf
from platewright.io.pdf.part_sheet import part_sheet_pdf
from platewright.io.pdf.rows import FrameFacts, HardwareRow, PartFacts, StackRow, StepRow

__all__ = [
    "FrameFacts",
    "HardwareRow",
    "PartFacts",
    "StackRow",
    "StepRow",
    "frame_sheet_pdf",
    "part_sheet_pdf",
]
