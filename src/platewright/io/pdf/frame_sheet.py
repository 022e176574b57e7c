"""The sheets of a whole frame: plan, side views, exploded view, numbered steps, stack-ups, hardware and cautions."""

from __future__ import annotations

from dataclasses import astuple

from platewright.assembly.assemble import Assembly
from platewright.io.drawing.exploded import exploded_svg
from platewright.io.drawing.plan import plan_svg
from platewright.io.drawing.side import side_svg
from platewright.io.pdf.rows import FrameFacts
from platewright.io.typesetting import Document, typeset

__all__ = ["PICTURE", "frame_document", "frame_sheet_pdf"]

PICTURE = (265.0, 157.0)  # of an A4 sheet lying, within border and above the title block [mm]


def frame_sheet_pdf(assembly: Assembly, facts: FrameFacts, exploded: str | None = None) -> bytes:
    """Return the assembly drawing as PDF, A4 lying.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    facts : FrameFacts
        Tables and title block.
    exploded : str, optional
        An exploded view as SVG of the size `PICTURE`; otherwise `exploded_svg` draws it.
    """
    return typeset(frame_document(assembly, facts, exploded))


def frame_document(assembly: Assembly, facts: FrameFacts, exploded: str | None = None) -> Document:
    """Return template, data and drawings of the assembly drawing."""
    pictures = {
        "plan": plan_svg(assembly, facts.bare_mass_g, PICTURE),
        "side and front views": side_svg(assembly, PICTURE),
        "exploded view": exploded or exploded_svg(assembly, PICTURE),
    }
    data = {
        "frame": facts.frame,
        "workshop": facts.workshop,
        "revision": facts.revision,
        "pictures": list(pictures),
        "steps": [[str(v) for v in astuple(row)] for row in facts.steps],
        "stacks": [[str(v) for v in astuple(row)] for row in facts.stacks],
        "hardware": [[str(v) for v in astuple(row)] for row in facts.hardware],
        "tools": list(facts.tools),
        "notes": list(facts.notes),
    }
    return Document("frame_sheet", data, {f"picture-{n}.svg": svg for n, svg in enumerate(pictures.values(), 1)})
