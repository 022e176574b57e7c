"""What one frame asks of a stock: its parts with what to measure on them, its hardware, and the bill of one kit.

Limits of a part come from its drawing: the sheet's thickness tolerance, the routed hole's tolerance from the catalogue,
and the band of its mass from those of thickness and density. Lengths in mm, masses in g.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.assembly.bill import BillLine, bill_of_materials
from platewright.assembly.mass import MassItem, mass_items
from platewright.foundation.units import G_PER_T
from platewright.study.identity import PartIdentity, identity_hash, identity_of

__all__ = ["BoughtItem", "Feature", "FrameItems", "KitNeed", "PartItem", "design_hash", "frame_items", "item_code"]


@dataclass(frozen=True)
class Feature:
    """One thing to measure on a part: name with unit, what the drawing says, and its limits."""

    name: str
    nominal: float
    low: float
    high: float


@dataclass(frozen=True)
class PartItem:
    """A cut part of a frame."""

    name: str
    identity: PartIdentity
    mass_g: float
    features: tuple[Feature, ...]


@dataclass(frozen=True)
class BoughtItem:
    """A bought item: its kind (hardware or equipment), its name as in the parts list, its catalogue record."""

    code: str
    kind: str
    name: str
    record: str


@dataclass(frozen=True)
class KitNeed:
    """One line of a kit's bill: an item, how many a frame takes, spares; equipment is the buyer's own, not `included`.

    `item` is the code of a bought item or the name of a part.
    """

    item: str
    is_part: bool
    quantity: int
    spares: int
    included: bool


@dataclass(frozen=True)
class FrameItems:
    """A frame as the stock sees it."""

    frame: str
    revision: str
    design_hash: str
    mass_g: float
    parts: tuple[PartItem, ...]
    bought: tuple[BoughtItem, ...]
    needs: tuple[KitNeed, ...]


def frame_items(assembly: Assembly) -> FrameItems:
    """Return the items of one frame and the bill of its kit.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    """
    bill = bill_of_materials(assembly)
    masses = _part_masses(assembly)
    frame = assembly.design.frame
    bare = sum(m.mass for m in mass_items(assembly) if m.bare) * G_PER_T
    return FrameItems(
        frame.name,
        frame.revision,
        design_hash(assembly),
        bare,
        tuple(_part(assembly, finished, masses[name]) for name, finished in assembly.parts.items() if name in masses),
        tuple(_bought(line) for line in bill if line.kind != "part"),
        tuple(_need(line) for line in bill if line.quantity),
    )


def design_hash(assembly: Assembly) -> str:
    """Return a name for a design by what it says and what is built of it, 64 hexadecimal digits.

    It holds the values that the resolved design gives, those equal to their default left out; the catalogue's records
    and counts in the parts list; diameters of holes; outlines that come from drawings. Remarks, names of included
    files, parameters, titles and keys that a later version adds do not change it.
    """
    design = assembly.design.model_dump(mode="json", exclude_defaults=True, exclude={"include", "parameters"})
    bill = [
        [line.kind, line.record, "" if line.kind == "equipment" else line.item, line.quantity, line.spares]
        for line in bill_of_materials(assembly)
    ]
    holes = {
        name: sorted(round(2 * circle.radius, 3) for circle in finished.outline.circles)
        for name, finished in assembly.parts.items()
    }
    drawn = {
        name: identity_hash(identity_of(finished))
        for name, finished in assembly.parts.items()
        if finished.part.drawing is not None
    }
    said = {"design": _rounded(design), "bill": sorted(bill), "holes": holes, "drawn": drawn}
    return hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def item_code(text: str) -> str:
    """Return a text as a code: lower case, with `_` for what is neither letter, digit, point nor hyphen.

    Examples
    --------
    >>> item_code("screw M3x8 socket 12.9")
    'screw_m3x8_socket_12.9'
    """
    return re.sub(r"[^a-z0-9.-]+", "_", text.lower()).strip("_")


def _rounded(value: Any) -> Any:
    """Return values with numbers to nine digits, so that the last bit of a sum is no other design."""
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_rounded(item) for item in value]
    return float(f"{value:.9g}") + 0.0 if isinstance(value, float) else value


def _part_masses(assembly: Assembly) -> dict[str, MassItem]:
    """Return the mass of one piece of each part that has a place."""
    items = {m.name: m for m in mass_items(assembly)}
    return {i.part.id: items[i.name] for i in assembly.instances.values() if i.name in items}


def _part(assembly: Assembly, finished: FinishedPart, mass: MassItem) -> PartItem:
    return PartItem(
        finished.part.id,
        identity_of(finished),
        mass.mass * G_PER_T,
        tuple(_features(assembly, finished, mass)),
    )


def _features(assembly: Assembly, finished: FinishedPart, mass: MassItem) -> Iterator[Feature]:
    thickness = finished.part.thickness_mm
    spread = assembly.catalogue.thickness_tolerance_mm(thickness)
    yield Feature("thickness_mm", thickness, thickness - spread, thickness + spread)
    hole = assembly.catalogue.rule("tolerance.routed_hole_mm").value
    for diameter in sorted({round(2 * c.radius, 3) for c in finished.outline.circles}):
        yield Feature(f"hole_{diameter:g}_mm", diameter, round(diameter - hole, 6), round(diameter + hole, 6))
    grams = [round(value * G_PER_T, 4) for value in (mass.mass, mass.low, mass.high)]
    yield Feature("mass_g", *grams)


def _bought(line: BillLine) -> BoughtItem:
    if line.kind == "equipment":
        return BoughtItem(item_code(line.record), "equipment", line.item, line.record)
    return BoughtItem(item_code(line.item), "hardware", line.item, line.record)


def _need(line: BillLine) -> KitNeed:
    is_part = line.kind == "part"
    code = line.item if is_part else _bought(line).code
    return KitNeed(code, is_part, line.quantity, line.spares, line.kind != "equipment")
