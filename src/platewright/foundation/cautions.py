"""The usual cautions, printed with every output that somebody may work from."""

from __future__ import annotations

__all__ = ["CAUTIONS"]

CAUTIONS: tuple[str, ...] = (
    "Carbon dust harms lungs and shorts electronics: cut and sand wet or under extraction with a fine filter, wear a "
    "respirator (FFP3 or P100), eye protection and gloves.",
    "Take propellers off before any work on a frame that may be powered; fit them last, outdoors.",
    "Lithium packs burn: charge them attended, keep screw tips and sharp edges off them, do not use damaged ones.",
    "Fly only where and how local law allows: law, codes and licensed practice come before anything printed here.",
)
