"""Paper of one kit: the packing list, and labels for the parcel and each hardware bag with their QR codes."""

from __future__ import annotations

from platewright.foundation.cautions import CAUTIONS
from platewright.io.drawing.qr import qr_svg
from platewright.io.typesetting import Document
from platewright.study.packing_results import Bag, Packing

__all__ = ["PARCEL_CAUTIONS", "bag_text", "kit_text", "labels_document", "list_document"]

PARCEL_CAUTIONS = (
    "Cut carbon plates: edges are sharp and shed dust that harms lungs and conducts. Open with care, wipe plates wet, "
    "keep dust off electronics.",
    "No battery inside. Lithium packs travel under rules of their own (dangerous goods): never add one to this parcel.",
)
"""Printed on the label of every parcel."""

_SHOWN = 12  # digits of the design's hash on paper


def kit_text(packing: Packing) -> str:
    """Return what the code of a kit says: frame, revision, hash and number."""
    parts = (packing.frame, f"revision {packing.revision}", packing.design_hash[:_SHOWN], packing.number)
    return "\n".join(filter(None, parts))


def bag_text(packing: Packing, bag: Bag) -> str:
    """Return what the code of a bag says: the kit, which bag, and its lines."""
    lines = (f"{line.quantity} x {line.item}" for line in bag.lines)
    return "\n".join((f"{packing.frame} {packing.revision} {packing.design_hash[:_SHOWN]}", _named(bag), *lines))


def list_document(packing: Packing) -> Document:
    """Return the packing list."""
    parcel, customs = packing.parcel, packing.customs
    data = {
        **_head(packing),
        "plates": [
            [
                p.part,
                str(p.quantity),
                f"{p.thickness_mm:g} mm {p.material}",
                f"{p.long_mm:.1f} × {p.short_mm:.1f}",
                f"{p.mass_g * p.quantity:.1f}",
            ]
            for p in packing.plates
        ],
        "bags": [
            {
                "name": _named(bag),
                "mass": f"{bag.mass_g:.1f} g",
                "lines": [[str(line.quantity), line.item] for line in bag.lines],
            }
            for bag in packing.bags
        ],
        "material": [f"{n} × {item}" for item, n in packing.material],
        "buyer": list(packing.brought_by_buyer),
        "tools": list(packing.tools),
        "net": f"{packing.net_mass_g:.0f} g",
        "not_weighed": list(packing.not_weighed),
        "parcel": None
        if parcel is None
        else {
            "carton": parcel.carton,
            "size": " × ".join(f"{side:g}" for side in parcel.outer_mm) + " mm",
            "mass": f"{parcel.mass_g:.0f} g",
            "content": f"{parcel.content_height_mm:.0f} mm",
            "billed": [
                [
                    b.carrier,
                    "-" if b.volumetric_kg is None else f"{b.volumetric_kg:.2f} kg",
                    f"{b.billed_kg:.2f} kg",
                ]
                for b in parcel.billed
            ],
        },
        "too_large": packing.too_large,
        "customs": None
        if customs is None
        else [
            customs.description,
            customs.hs_heading,
            customs.origin,
            str(customs.quantity),
            f"{customs.net_mass_kg:.3f} kg",
            "fill in" if customs.value is None else f"{customs.value:.2f} {customs.currency}",
        ],
        "cautions": [*PARCEL_CAUTIONS, *CAUTIONS],
    }
    return Document("packing_list", data, {"kit.svg": qr_svg(kit_text(packing))})


def labels_document(packing: Packing) -> Document:
    """Return the labels: one for the parcel, one for each bag."""
    data = {
        **_head(packing),
        "mass": f"{packing.parcel.mass_g:.0f} g" if packing.parcel else f"{packing.net_mass_g:.0f} g without carton",
        "size": " × ".join(f"{s:g}" for s in packing.parcel.outer_mm) + " mm" if packing.parcel else "",
        "cautions": list(PARCEL_CAUTIONS),
        "bags": [
            {
                "name": _named(bag),
                "of": f"{bag.number} of {len(packing.bags)}",
                "pieces": f"{bag.pieces} pieces, {bag.mass_g:.1f} g",
                "lines": [f"{line.quantity} × {line.item}" for line in bag.lines],
            }
            for bag in packing.bags
        ],
    }
    drawings = {f"bag-{bag.number}.svg": qr_svg(bag_text(packing, bag)) for bag in packing.bags}
    return Document("labels", data, {"kit.svg": qr_svg(kit_text(packing)), **drawings})


def _head(packing: Packing) -> dict[str, object]:
    return {
        "title": f"{packing.frame} {packing.revision}",
        "frame": packing.frame,
        "revision": packing.revision,
        "workshop": packing.workshop,
        "hash": packing.design_hash[:_SHOWN],
        "number": packing.number,
    }


def _named(bag: Bag) -> str:
    if not bag.steps:
        return f"bag {bag.number}: {bag.what}"
    first, last = bag.steps[0], bag.steps[-1]
    whole = bag.steps == tuple(range(first, last + 1)) and len(bag.steps) > 1
    steps = f"{first} to {last}" if whole else ", ".join(map(str, bag.steps))
    return f"bag {bag.number}, step{'s' if len(bag.steps) > 1 else ''} {steps}: {bag.what}"
