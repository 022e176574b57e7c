"""The page for whoever cuts an order: what is in the package, how it is to be cut, and what the dust does."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.foundation.cautions import CAUTIONS

__all__ = ["OrderFacts", "OrderLine", "order_csv_rows", "order_readme"]


_WIDE = 96  # columns


@dataclass(frozen=True)
class OrderLine:
    """One part of an order.

    Parameters
    ----------
    name : str
        Of its files.
    frames : str
        Which frames it is for.
    material : str
        Of the sheet.
    thickness_mm, tolerance_mm : float
        Of the sheet, and how far it may be off [mm].
    quantity : int
        Good pieces.
    cut_length_mm, area_mm2 : float
        Of one piece.
    holes : int
        Round ones.
    drill_mm : tuple of float
        Diameters of those that the usual bit does not enter [mm].
    countersunk : bool
        Whether it has countersinks.
    edges : str
        Edges to break, in words; empty for none.
    dxf, pdf, picture : str
        Files.
    """

    name: str
    frames: str
    material: str
    thickness_mm: float
    tolerance_mm: float
    quantity: int
    cut_length_mm: float
    area_mm2: float
    holes: int
    drill_mm: tuple[float, ...]
    countersunk: bool
    edges: str
    dxf: str
    pdf: str
    picture: str


@dataclass(frozen=True)
class OrderFacts:
    """What the page says once.

    Parameters
    ----------
    workshop : str
        Who orders.
    kits : str
        Frames, revisions and numbers of kits, in words.
    revision : str
        The hash of the designs.
    cutter_mm : float
        The bit that the designs count on.
    profile_mm, hole_mm : float
        Tolerances, plus or minus.
    notes : tuple of str
        What fails, where it was ordered all the same.
    """

    workshop: str
    kits: str
    revision: str
    cutter_mm: float
    profile_mm: float
    hole_mm: float
    notes: tuple[str, ...]


def order_readme(facts: OrderFacts, lines: Sequence[OrderLine]) -> str:
    """Return the page as plain text, at most 96 columns wide but for its table."""
    who = f"{facts.workshop}: " if facts.workshop else ""
    text = [f"{who}cut parts for {facts.kits}", f"revision {facts.revision}", ""]
    for note in facts.notes:
        text += [f"NOTE: {note}", ""]
    text += ["What to cut", "-----------", *_table(lines), ""]
    text += [
        "How",
        "---",
        "Drawings are in millimetres, one part a file, drawn at finished size: the bit's radius and any",
        "compensation of holes are yours to add. Layers: CUT_OUTSIDE, CUT_INSIDE, HOLES are cut through;",
        "ENGRAVE is engraved; COUNTERSINK_UPPER and COUNTERSINK_LOWER show the largest circle of a",
        "countersink; NOTE is never cut. The order of layers is no order of cutting: holes first, then",
        "openings, the outer edge last. The pictures number each cut so and show where bridges may stand.",
        "",
        f"The parts count on a bit of {facts.cutter_mm:g} mm or thinner.",
        f"Edges within {facts.profile_mm:g} mm, round holes within {facts.hole_mm:g} mm of the drawing, if nothing",
        "else is agreed. The arrow on NOTE is the length of the sheet (direction 1 of the fabric): keep to it, or",
        "to a quarter turn where the fabric is the same both ways. Bridges only on the outer edge, filed flush.",
        "Measure each sheet before slots for tabs are cut; write its lot on the bag.",
        "",
    ]
    drilled = [line for line in lines if line.drill_mm]
    if drilled:
        sizes = [f"{line.name} ({', '.join(f'{d:g}' for d in line.drill_mm)} mm)" for line in drilled]
        text += ["To be drilled, too small for the bit: " + ", ".join(sizes) + ".", ""]
    edged = [line for line in lines if line.edges]
    if edged:
        text += ["Edges to break:", *(f"  {line.name}: {line.edges}" for line in edged), ""]
    text += [
        "Dust",
        "----",
        textwrap.fill(CAUTIONS[0], _WIDE),
        "It conducts: keep it out of drives, switches and this machine's electronics, and out of the drain.",
        "",
        "Whole?",
        "------",
        "sha256sum -c checksums.sha256 says whether every file is as it was sent.",
        "",
    ]
    return "\n".join(text)


def order_csv_rows(lines: Sequence[OrderLine]) -> list[tuple[object, ...]]:
    """Return headings and rows of the order's table."""
    heads = (
        *("part", "frames", "material", "thickness_mm", "thickness_tolerance_mm", "quantity", "cut_length_mm"),
        *("area_mm2", "round_holes", "countersunk", "drawing_dxf", "drawing_pdf"),
    )
    return [
        heads,
        *(
            (
                *(line.name, line.frames, line.material, line.thickness_mm, line.tolerance_mm, line.quantity),
                *(f"{line.cut_length_mm:.1f}", f"{line.area_mm2:.1f}", line.holes, "yes" if line.countersunk else ""),
                *(line.dxf, line.pdf),
            )
            for line in lines
        ),
    ]


def _table(lines: Sequence[OrderLine]) -> list[str]:
    width = max(len(line.name) for line in lines)
    made, last = [], ""
    for line in lines:
        sheet = f"{line.thickness_mm:g} mm {line.material} (sheet +- {line.tolerance_mm:g} mm)"
        if sheet != last:
            made.append(sheet)
            last = sheet
        sinks = ", countersunk" if line.countersunk else ""
        made.append(f"  {line.quantity:>5} x {line.name:<{width}}  {line.dxf}{sinks}")
    return made
