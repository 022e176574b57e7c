"""What one kit is packed of and in: from a frame and the shop's own cartons, carriers and customs line."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from platewright.assembly.assemble import Assembly
from platewright.assembly.bill import bill_of_materials, tools_needed
from platewright.foundation.units import KG_PER_G
from platewright.geometry.loops import bounding_box
from platewright.model.shop import Carrier, Carton, ShopFile
from platewright.shop.parcel import Plate, billed_mass, stack_height, volumetric_mass
from platewright.study.hardware_bags import hardware_bags
from platewright.study.packing_results import Bag, Billed, CustomsLine, PackedPlate, Packing, Parcel
from platewright.study.stock_items import design_hash, frame_items

__all__ = ["pack_kit"]


def pack_kit(assembly: Assembly, shop: ShopFile, number: str = "") -> Packing:
    """Return what one kit is packed of and in.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    shop : ShopFile
        Cartons, carriers, customs line, packing material, price of the kit.
    number : str
        The kit's own number in the ledger, for its label.

    Notes
    -----
    The carton is the smallest in which all plates lie flat with a layer of bags on them.
    """
    frame = assembly.design.frame
    bags, not_weighed = hardware_bags(assembly, shop.bags)
    plates = _plates(assembly)
    net = sum(p.quantity * p.mass_g for p in plates) + sum(bag.mass_g for bag in bags)
    parcel, too_large = _parcel(assembly, shop, plates, bags, net)
    buyer = tuple(f"{b.quantity} × {b.item}" for b in bill_of_materials(assembly) if b.kind == "equipment")
    price = next((k.price for k in shop.kit if k.frame == frame.name), None)
    return Packing(
        frame.name,
        frame.revision,
        shop.name or frame.workshop,
        design_hash(assembly),
        number,
        plates,
        bags,
        buyer,
        tuple(tool.label for tool in tools_needed(assembly)),
        tuple((p.item, p.quantity) for p in shop.packing),
        net,
        parcel,
        too_large,
        _customs(shop, net, price),
        not_weighed,
    )


def _plates(assembly: Assembly) -> tuple[PackedPlate, ...]:
    masses = {p.name: p.mass_g for p in frame_items(assembly).parts}
    found = []
    for name, finished in assembly.parts.items():
        if finished.quantity:
            x0, y0, x1, y1 = bounding_box(finished.outline)
            short, long = sorted((x1 - x0, y1 - y0))
            part = finished.part
            found.append(
                PackedPlate(
                    name,
                    finished.quantity,
                    assembly.catalogue.laminate(part.material).name,
                    float(part.thickness_mm),
                    long,
                    short,
                    masses[name],
                )
            )
    return tuple(found)


def _parcel(
    assembly: Assembly, shop: ShopFile, plates: Sequence[PackedPlate], bags: Sequence[Bag], net_g: float
) -> tuple[Parcel | None, str]:
    """Return the parcel in the smallest carton that holds the kit, or why there is none."""
    if not shop.carton:
        return None, "the shop file names no carton"
    clearance = assembly.catalogue.rule("packing.clearance_mm").value
    layer = assembly.catalogue.rule("packing.bag_layer_mm").value if bags else 0.0
    pieces = [Plate(p.long_mm, p.short_mm, p.thickness_mm) for p in plates for _ in range(p.quantity)]
    for carton in sorted(shop.carton, key=_volume):
        a, b, c = carton.inner_mm
        width, length = sorted((a, b))
        height = stack_height(pieces, length, width, clearance)
        if height is not None and height + layer <= c:
            mass = net_g + carton.mass_g
            billed = tuple(_billed(carrier, carton.outer_mm, mass * KG_PER_G) for carrier in shop.carrier)
            return Parcel(carton.name, carton.outer_mm, height + layer, mass, billed), ""
    longest = max(p.long_mm for p in plates)
    return None, f"no carton of the shop file holds it: its longest plate is {longest:.0f} mm"


def _volume(carton: Carton) -> float:
    a, b, c = carton.outer_mm
    return a * b * c


def _billed(carrier: Carrier, outer: tuple[float, float, float], mass_kg: float) -> Billed:
    divisor = carrier.divisor_cm3_per_kg
    volumetric = None if divisor is None else volumetric_mass(outer, divisor)
    billed = billed_mass(mass_kg, volumetric, carrier.step_kg)
    price = next((rate.price for rate in carrier.rates if billed <= rate.up_to_kg), None)
    return Billed(carrier.name, volumetric, billed, price)


def _customs(shop: ShopFile, net_g: float, price: Decimal | None) -> CustomsLine | None:
    line = shop.customs
    if line is None:
        return None
    return CustomsLine(line.hs_heading, line.description, line.origin, 1, net_g * KG_PER_G, price, shop.currency)
