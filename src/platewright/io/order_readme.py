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
        Of the sheet, by its id in the catalogue.
    sheet : str
        The material in words.
    thickness_mm, tolerance_mm : float
        Of the sheet, and how far it may be off [mm].
    quantity : int
        Good pieces.
    cut_length_mm, area_mm2 : float
        Of one piece.
    holes : int
        Round ones.
    cutter_mm : float
        The bit that its design counts on [mm].
    drill_mm : tuple of float
        Diameters of those that this bit does not enter [mm].
    countersinks : str
        In words; empty for none.
    edges : str
        Edges to break, in words; empty for none.
    dxf, pdf, picture : str
        Files.
    """

    name: str
    frames: str
    material: str
    sheet: str
    thickness_mm: float
    tolerance_mm: float
    quantity: int
    cut_length_mm: float
    area_mm2: float
    holes: int
    cutter_mm: float
    drill_mm: tuple[float, ...]
    countersinks: str
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
    profile_mm, hole_mm : float
        Tolerances, plus or minus.
    notes : tuple of str
        What fails, where it was ordered all the same.
    """

    workshop: str
    kits: str
    revision: str
    profile_mm: float
    hole_mm: float
    notes: tuple[str, ...]


def order_readme(facts: OrderFacts, lines: Sequence[OrderLine]) -> str:
    """Return the page as plain text, at most 96 columns wide but for its tables and lists."""
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
        f"Inside corners and slots are made for {_bits(lines)}, or thinner.",
        f"Edges within {facts.profile_mm:g} mm, round holes within {facts.hole_mm:g} mm of the drawing, if",
        "nothing else is agreed. The arrow on NOTE is the length of the sheet (direction 1 of the fabric): keep to it,",
        "or to a quarter turn where the fabric is the same both ways. Bridges only on the outer edge, filed",
        "flush. Measure each sheet before slots for tabs are cut; write its lot on the bag.",
        "",
    ]
    drilled = [line for line in lines if line.drill_mm]
    if drilled:
        sizes = [f"  {line.name}: {', '.join(f'{d:g}' for d in line.drill_mm)} mm" for line in drilled]
        text += ["To be drilled, too small for that bit to enter:", *sizes, ""]
    sunk = [line for line in lines if line.countersinks]
    if sunk:
        text += ["Countersinks:", *(f"  {line.name}: {line.countersinks}" for line in sunk), ""]
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
        *("area_mm2", "round_holes", "countersinks", "cutter_mm", "drawing_dxf", "drawing_pdf", "picture"),
    )
    return [
        heads,
        *(
            (
                *(line.name, line.frames, line.material, line.thickness_mm, line.tolerance_mm, line.quantity),
                *(f"{line.cut_length_mm:.1f}", f"{line.area_mm2:.1f}", line.holes, line.countersinks),
                *(line.cutter_mm, line.dxf, line.pdf, line.picture),
            )
            for line in lines
        ),
    ]


def _bits(lines: Sequence[OrderLine]) -> str:
    """Return the bits that the parts count on, each with its parts where they differ."""
    bits = sorted({line.cutter_mm for line in lines})
    if len(bits) == 1:
        return f"a bit of {bits[0]:g} mm"
    names = {bit: [n for line in lines if line.cutter_mm == bit for n in line.frames.split("+")] for bit in bits}
    return "bits of " + " and ".join(f"{bit:g} mm ({', '.join(dict.fromkeys(names[bit]))})" for bit in bits)


def _table(lines: Sequence[OrderLine]) -> list[str]:
    width = max(len(line.name) for line in lines)
    made, last = [], ""
    for line in lines:
        sheet = f"{line.thickness_mm:g} mm +- {line.tolerance_mm:g}, {line.sheet} [{line.material}]"
        if sheet != last:
            made.append(sheet)
            last = sheet
        made.append(f"  {line.quantity:>5} x {line.name:<{width}}  {line.dxf}")
    return made
