"""Pictures of a frame and its parts as SVG; everything in millimetres, the same input giving the same text."""

from __future__ import annotations

from platewright.io.drawing.part import part_svg
from platewright.io.drawing.plan import plan_svg
from platewright.io.drawing.side import side_svg
from platewright.io.drawing.stack import stack_svg

__all__ = ["part_svg", "plan_svg", "side_svg", "stack_svg"]
