"""Items of a frame entered in a ledger: each part found again by its shape and laminate, the bill of its kit frozen."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, insert, select

from platewright.io.ledger.item_tables import item, item_feature, item_use, kit, kit_line
from platewright.io.ledger.items import add_item
from platewright.study.identity import identity_hash, identity_of_text, identity_text, same_part
from platewright.study.stock_items import FrameItems, PartItem, item_code

__all__ = ["EnteredFrame", "EnteredPart", "enter_frame"]


@dataclass(frozen=True)
class EnteredPart:
    """What a part of the frame is in the ledger: its item, its revision in this frame, and who else uses the item."""

    part: str
    item: str
    revision: int
    is_new: bool
    also: tuple[str, ...]


@dataclass(frozen=True)
class EnteredFrame:
    """A frame in the ledger."""

    frame: str
    kit: str
    kit_is_new: bool
    parts: tuple[EnteredPart, ...]
    new_bought: tuple[str, ...]


def enter_frame(
    connection: Connection, items: FrameItems, on: datetime.date, also: Mapping[str, int] | None = None
) -> EnteredFrame:
    """Enter a frame's items, and freeze the bill of its kit.

    Parameters
    ----------
    connection : Connection
        That writes.
    items : FrameItems
        Of the frame.
    on : date
        When.
    also : mapping of str to int, optional
        Further items of the kit, such as boxes, with their quantity.

    Returns
    -------
    EnteredFrame
        Nothing is new where the same design was entered before.
    """
    known = {
        row.id: identity_of_text(row.part_identity)
        for row in connection.execute(
            select(item.c.id, item.c.part_identity).where(item.c.kind == "part", item.c.part_identity.is_not(None))
        )
    }
    parts = []
    for part in items.parts:
        code = next((c for c, identity in known.items() if same_part(part.identity, identity) is not None), None)
        is_new = code is None
        if code is None:
            code = _add_part(connection, part, on)
            known[code] = part.identity
        revision, others = _use(connection, items, part.name, code, on)
        parts.append(EnteredPart(part.name, code, revision, is_new, others))
    have = set(connection.execute(select(item.c.id)).scalars())
    fresh = [b for b in {b.code: b for b in items.bought}.values() if b.code not in have]
    for bought in fresh:
        add_item(connection, bought.code, bought.kind, bought.name, on, record=bought.record)
    codes = {p.part: p.item for p in parts}
    kit_code, kit_is_new = _freeze(connection, items, codes, on, dict(also or {}))
    return EnteredFrame(items.frame, kit_code, kit_is_new, tuple(parts), tuple(b.code for b in fresh))


def _add_part(connection: Connection, part: PartItem, on: datetime.date) -> str:
    digest = identity_hash(part.identity)
    code = f"{item_code(part.name)[:60]}-{digest[:6]}"
    if connection.execute(select(item.c.id).where(item.c.id == code)).first() is not None:
        code = f"{item_code(part.name)[:60]}-{digest[:12]}"
    text = identity_text(part.identity)
    more = {"part_hash": digest, "part_identity": text, "mass_g": round(part.mass_g, 4)}
    add_item(connection, code, "part", part.name, on, checked=True, **more)
    rows = [
        {"item_id": code, "name": f.name, "nominal": f.nominal, "low": f.low, "high": f.high} for f in part.features
    ]
    connection.execute(insert(item_feature), rows)
    return code


def _use(
    connection: Connection, items: FrameItems, part: str, code: str, on: datetime.date
) -> tuple[int, tuple[str, ...]]:
    """Note which item the frame's part now is; return its revision, and the other frames' parts that are this item."""
    mine = (item_use.c.frame == items.frame, item_use.c.part == part)
    latest = connection.execute(
        select(item_use.c.revision, item_use.c.item_id).where(*mine).order_by(item_use.c.revision.desc()).limit(1)
    ).first()
    revision = latest.revision if latest is not None else 0
    if latest is None or latest.item_id != code:
        revision += 1
        connection.execute(
            insert(item_use).values(
                frame=items.frame,
                part=part,
                revision=revision,
                item_id=code,
                first_design_hash=items.design_hash,
                first_on=on,
            )
        )
    others = connection.execute(
        select(item_use.c.frame, item_use.c.part)
        .where(item_use.c.item_id == code)
        .distinct()
        .order_by(item_use.c.frame, item_use.c.part)
    )
    return revision, tuple(f"{r.frame} {r.part}" for r in others if (r.frame, r.part) != (items.frame, part))


def _freeze(
    connection: Connection, items: FrameItems, codes: Mapping[str, str], on: datetime.date, also: Mapping[str, int]
) -> tuple[str, bool]:
    """Write the bill of the kit, unless it is there already."""
    lines: dict[str, tuple[int, int, bool]] = {}
    for need in items.needs:
        name = codes[need.item] if need.is_part else need.item
        quantity, spares, included = lines.get(name, (0, 0, False))
        lines[name] = (quantity + need.quantity, spares + need.spares, included or need.included)
    for name, count in also.items():
        quantity, spares, _ = lines.get(name, (0, 0, True))
        lines[name] = (quantity + count, spares, True)
    digest = hashlib.sha256(items.design_hash.encode())
    for name, line in sorted(lines.items()):
        digest.update(f"\n{name}|{'|'.join(map(str, line))}".encode())
    bill_hash = digest.hexdigest()
    found = connection.execute(select(kit.c.item_id).where(kit.c.bill_hash == bill_hash)).scalar()
    if found is not None:
        return str(found), False
    code = f"{item_code(items.frame)[:60]}-{bill_hash[:6]}"
    mass = round(items.mass_g, 4)
    add_item(connection, code, "kit", f"{items.frame} {items.revision}", on, mass_g=mass)
    connection.execute(
        insert(kit).values(
            item_id=code,
            frame=items.frame,
            revision=items.revision,
            design_hash=items.design_hash,
            bill_hash=bill_hash,
            frozen_on=on,
        )
    )
    rows = [
        {"kit_id": code, "item_id": name, "quantity": q, "spares": s, "included": included}
        for name, (q, s, included) in lines.items()
    ]
    connection.execute(insert(kit_line), rows)
    return code, True
