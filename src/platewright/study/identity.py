"""What makes two cut parts one part: shape, laminate, thickness, direction of the sheet, marks and countersinks.

A part is the same when a turn, a shift or turning it over lays its outline on the other's. One that is engraved or
countersunk has an upper face, and is not the same turned over. Lengths in mm, angles in degrees.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import dataclass
from typing import Any

from platewright.assembly.assemble import FinishedPart
from platewright.geometry.cache import outline_of_record, outline_record
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline
from platewright.geometry.same import same_shape
from platewright.model.outline import Mark

__all__ = ["PartIdentity", "identity_hash", "identity_of", "identity_of_text", "identity_text", "same_part"]

_SAME = 5e-4  # thicknesses that differ by less are the same [mm]
_GRAIN = 0.1  # directions that differ by less are the same [deg]
_DIGITS = 6  # decimals of what is kept [mm]
_HASH_DIGITS = 4  # decimals of what is hashed: noise of the machine must not name another part [mm]


@dataclass(frozen=True)
class PartIdentity:
    """All that makes a part this part.

    Parameters
    ----------
    material : str
        Catalogue id of the laminate.
    thickness : float
        Nominal thickness [mm].
    grain : float
        Direction 1 of the sheet from the outline's +x [deg].
    outline : Outline
        With all holes [mm].
    marks : tuple of Mark
        Engraved texts.
    sinks : tuple of (float, float, bool)
        Diameter [mm], angle [deg] and whether it opens on the upper face, of each countersink, sorted.
    """

    material: str
    thickness: float
    grain: float
    outline: Outline
    marks: tuple[Mark, ...] = ()
    sinks: tuple[tuple[float, float, bool], ...] = ()


def identity_of(finished: FinishedPart) -> PartIdentity:
    """Return the identity of a finished part."""
    part = finished.part
    sinks = sorted((s.diameter, s.angle_deg, s.on_upper_face) for h in finished.holes.holes for s in h.countersinks)
    return PartIdentity(part.material, part.thickness_mm, part.grain_deg, finished.outline, part.marks, tuple(sinks))


def same_part(one: PartIdentity, other: PartIdentity) -> Isometry | None:
    """Return the motion that makes one part the other, the plainest one, or None if they are two parts.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = PartIdentity("plate_woven_qi", 2.0, 0.0, Outline(rectangle_loop(0, 0, 20, 10)))
    >>> turned = PartIdentity("plate_woven_qi", 2.0, 90.0, Outline(rectangle_loop(0, 0, 10, 20)))
    >>> same_part(plate, turned) is not None
    True
    """
    if one.material != other.material or abs(one.thickness - other.thickness) > _SAME:
        return None
    motion = same_shape(one.outline, other.outline)
    if motion is None or not _same_grain(one, other, motion):
        return None
    sided = one.marks or other.marks or one.sinks or other.sinks
    if sided and (motion.flip or one.marks != other.marks or one.sinks != other.sinks):
        return None
    return motion


def identity_text(identity: PartIdentity) -> str:
    """Return an identity as JSON that `identity_of_text` reads."""
    return json.dumps(_record(identity, _DIGITS), sort_keys=True, separators=(",", ":"))


def identity_of_text(text: str) -> PartIdentity:
    """Return the identity that `identity_text` wrote.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = PartIdentity("plate_woven_qi", 2.0, 0.0, Outline(rectangle_loop(0, 0, 20, 10)))
    >>> identity_of_text(identity_text(plate)) == plate
    True
    """
    record = json.loads(text)
    return PartIdentity(
        record["material"],
        float(record["thickness_mm"]),
        float(record["grain_deg"]),
        outline_of_record(record["outline"]),
        tuple(Mark.model_validate(mark) for mark in record["marks"]),
        tuple((float(d), float(a), bool(up)) for d, a, up in record["sinks"]),
    )


def identity_hash(identity: PartIdentity) -> str:
    """Return a name for an identity, 64 hexadecimal digits; the same part drawn elsewhere has another name."""
    text = json.dumps(_record(identity, _HASH_DIGITS), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _same_grain(one: PartIdentity, other: PartIdentity, motion: Isometry) -> bool:
    turn = math.degrees(math.atan2(motion.sin, motion.cos))
    grain = turn + (-one.grain if motion.flip else one.grain)
    return abs(math.remainder(grain - other.grain, 180.0)) < _GRAIN


def _record(identity: PartIdentity, digits: int) -> dict[str, Any]:
    return {
        "material": identity.material,
        "thickness_mm": round(identity.thickness, digits),
        "grain_deg": round(identity.grain, digits),
        "outline": _rounded(outline_record(identity.outline), digits),
        "marks": [mark.model_dump(mode="json") for mark in identity.marks],
        "sinks": [list(sink) for sink in identity.sinks],
    }


def _rounded(value: Any, digits: int) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(item, digits) for key, item in value.items()}
    if isinstance(value, list):
        return [_rounded(item, digits) for item in value]
    return round(float(value), digits) + 0.0
