"""`platewright pack`: packing list, labels and parcel of one kit."""

from __future__ import annotations

import sys
from pathlib import Path

from rich.console import Console

from platewright.app.pack import pack as run_pack
from platewright.app.pack import packing_json, write_packing
from platewright.cli.tables import new_table, screen
from platewright.study.packing_results import Packing

__all__ = ["pack"]


def pack(
    design: Path,
    /,
    *,
    out: Path | None = None,
    shop: Path | None = None,
    kit: str = "",
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Say what one kit is packed of and in: bags by step of assembly, parcel, what carriers bill, customs line.

    Parameters
    ----------
    design
        The design file.
    out
        A folder for the packing list and labels with QR codes as PDF, the list as CSV, the numbers as JSON.
    shop
        The shop file with cartons, carriers and customs line; shop.toml or shop/shop.toml beside the design.
    kit
        The kit's own number, as `platewright stock pack` gave it, for list and label.
    json
        Print JSON instead of tables.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    packing = run_pack(design, shop, kit, catalogue)
    if json:
        print(packing_json(packing), end="")
    else:
        _print(packing, screen())
    if out is not None:
        write_packing(packing, out)
        print(f"written into {out}", file=sys.stderr)
    return 0 if packing.parcel is not None else 1


def _print(packing: Packing, console: Console) -> None:
    plates = sum(p.quantity for p in packing.plates)
    console.print(
        f"{packing.frame} {packing.revision}: {plates} plates, {len(packing.bags)} bags, {packing.net_mass_g:.0f} g",
        markup=False,
    )
    table = new_table("Bags", "bag", "steps", "for", "pieces", "g", left=3)
    for bag in packing.bags:
        steps = " ".join(map(str, bag.steps))
        table.add_row(str(bag.number), steps, bag.what, str(bag.pieces), f"{bag.mass_g:.1f}")
    console.print(table)
    if packing.not_weighed:
        console.print(f"not weighed: {', '.join(packing.not_weighed)}", markup=False, soft_wrap=True)
    parcel = packing.parcel
    if parcel is None:
        console.print(f"no parcel: {packing.too_large}.", markup=False, soft_wrap=True)
    else:
        size = " x ".join(f"{side:g}" for side in parcel.outer_mm)
        console.print(
            f"{parcel.carton}, {size} mm, {parcel.mass_g:.0f} g; content {parcel.content_height_mm:.0f} mm high",
            markup=False,
        )
        carriers = new_table("Carriers", "carrier", "volume kg", "billed kg", "price")
        for b in parcel.billed:
            volume = "" if b.volumetric_kg is None else f"{b.volumetric_kg:.2f}"
            price = "beyond its rates" if b.price is None else f"{b.price:.2f}"
            carriers.add_row(b.carrier, volume, f"{b.billed_kg:.2f}", price)
        if parcel.billed:
            console.print(carriers)
    line = packing.customs
    if line is not None:
        value = "value: fill in" if line.value is None else f"{line.value:.2f} {line.currency}"
        told = f"customs: {line.description}; {line.hs_heading}, from {line.origin}, {line.net_mass_kg:.3f} kg, {value}"
        console.print(told, markup=False, soft_wrap=True)
