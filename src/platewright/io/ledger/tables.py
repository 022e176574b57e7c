"""The tables of what happens to stock; with those of `item_tables` they are the whole ledger.

Documents and their movements, lots, bills of kits, orders and measurements are written once and never again; triggers
refuse to change or remove them. Stock is the sum of movements by lot; `checkpoint` holds that sum up to one movement.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    String,
    Table,
    UniqueConstraint,
    text,
)

from platewright.io.ledger.item_tables import CODE, METADATA, NUMBER, one_of
from platewright.io.ledger.money import Money
from platewright.shop.field_reports import REPORT_KINDS

__all__ = [
    "DOCUMENT_KINDS",
    "METADATA",
    "MOVEMENT_KINDS",
    "UNCHANGING",
    "checkpoint",
    "checkpoint_head",
    "document",
    "field_report",
    "inspection",
    "lot",
    "measurement",
    "movement",
    "order_line",
]

DOCUMENT_KINDS = ("receipt", "inspection", "reject", "pack", "sale", "return", "count", "order", "order_closed")
MOVEMENT_KINDS = ("receipt", "reject", "pack", "kit", "sale", "spare", "return", "count")
UNCHANGING = (
    "document",
    "lot",
    "movement",
    "kit",
    "kit_line",
    "order_line",
    "inspection",
    "measurement",
    "field_report",
)
"""Tables whose rows triggers protect."""


def _currency() -> Column[str]:
    return Column("currency", String(3))


document = Table(
    "document",
    METADATA,
    Column("id", NUMBER, primary_key=True),
    Column("kind", String(16), nullable=False),
    Column("on_date", Date, nullable=False),
    Column("party", String(120), nullable=False),
    Column("reference", String(120)),
    Column("order_id", NUMBER, ForeignKey("document.id")),
    Column("note", String(400), nullable=False),
    Column("recorded_at", String(32), nullable=False),
    one_of("kind", DOCUMENT_KINDS),
    UniqueConstraint("kind", "party", "reference", name="uq_document_reference"),
    Index("ix_document_order_id", "order_id"),
    sqlite_autoincrement=True,
)

lot = Table(
    "lot",
    METADATA,
    Column("id", NUMBER, primary_key=True),
    Column("item_id", CODE, ForeignKey("item.id"), nullable=False),
    Column("code", CODE, nullable=False),
    Column("sheet", CODE, nullable=False),
    Column("supplier_id", CODE, ForeignKey("supplier.id")),
    Column("document_id", NUMBER, ForeignKey("document.id"), nullable=False),
    Column("unit_price", Money),
    _currency(),
    UniqueConstraint("item_id", "code", name="uq_lot_code"),
    UniqueConstraint("id", "item_id", name="uq_lot_item"),
    Index("ix_lot_code", "code"),
    Index("ix_lot_sheet", "sheet"),
    sqlite_autoincrement=True,
)
"""What came in together. Every packed kit is a lot of its own, so that it knows the lots of its parts."""

movement = Table(
    "movement",
    METADATA,
    Column("id", NUMBER, primary_key=True),
    Column("document_id", NUMBER, ForeignKey("document.id"), nullable=False),
    Column("kind", String(16), nullable=False),
    Column("on_date", Date, nullable=False),
    Column("item_id", CODE, nullable=False),
    Column("lot_id", NUMBER, nullable=False),
    Column("quantity", Integer, nullable=False),
    Column("kit_lot_id", NUMBER, ForeignKey("lot.id")),
    Column("stands_for", CODE, ForeignKey("item.id")),
    Column("unit_price", Money),
    _currency(),
    Column("reason", String(200), nullable=False),
    ForeignKeyConstraint(["lot_id", "item_id"], ["lot.id", "lot.item_id"], name="fk_movement_lot"),
    CheckConstraint("quantity <> 0", name="quantity"),
    one_of("kind", MOVEMENT_KINDS),
    Index("ix_movement_document_id", "document_id"),
    Index("ix_movement_lot_id", "lot_id"),
    Index(
        "ix_movement_kit_lot_id",
        "kit_lot_id",
        sqlite_where=text("kit_lot_id IS NOT NULL"),
        postgresql_where=text("kit_lot_id IS NOT NULL"),
    ),
    Index("ix_movement_demand", "kind", "on_date", "item_id", "quantity"),
    sqlite_autoincrement=True,
)

order_line = Table(
    "order_line",
    METADATA,
    Column("document_id", NUMBER, ForeignKey("document.id"), primary_key=True),
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("quantity", Integer, nullable=False),
    Column("unit_price", Money),
    _currency(),
    Column("expected_on", Date),
    CheckConstraint("quantity > 0", name="quantity"),
)

inspection = Table(
    "inspection",
    METADATA,
    Column("document_id", NUMBER, ForeignKey("document.id"), primary_key=True, autoincrement=False),
    Column("lot_id", NUMBER, ForeignKey("lot.id"), nullable=False),
    Column("lot_size", Integer, nullable=False),
    Column("sample_size", Integer, nullable=False),
    Column("acceptance_number", Integer, nullable=False),
    Column("acceptable", Float, nullable=False),
    Column("tolerated", Float, nullable=False),
    Column("supplier_risk", Float, nullable=False),
    Column("buyer_risk", Float, nullable=False),
    Column("faulty", Integer, nullable=False),
    Column("accepted", Boolean, nullable=False),
    CheckConstraint("faulty >= 0 AND faulty <= sample_size AND sample_size > 0", name="sample"),
    Index("ix_inspection_lot_id", "lot_id"),
)

measurement = Table(
    "measurement",
    METADATA,
    Column("document_id", NUMBER, ForeignKey("inspection.document_id"), primary_key=True),
    Column("piece", Integer, primary_key=True, autoincrement=False),
    Column("feature", String(40), primary_key=True),
    Column("value", Float, nullable=False),
    Column("low", Float, nullable=False),
    Column("high", Float, nullable=False),
)

checkpoint = Table(
    "checkpoint",
    METADATA,
    Column("lot_id", NUMBER, ForeignKey("lot.id"), primary_key=True, autoincrement=False),
    Column("item_id", CODE, ForeignKey("item.id"), nullable=False),
    Column("quantity", Integer, nullable=False),
)
"""Sums of the movements up to and with `checkpoint_head.up_to`, lots with nothing left out; rebuildable."""

checkpoint_head = Table(
    "checkpoint_head",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("up_to", NUMBER, nullable=False),
    CheckConstraint("id = 1", name="one_row"),
)

field_report = Table(
    "field_report",
    METADATA,
    Column("id", NUMBER, primary_key=True),
    Column("kind", String(16), nullable=False),
    Column("on_date", Date, nullable=False),
    Column("frame", String(120), nullable=False),
    Column("part", String(80), nullable=False),
    Column("revision", Integer, nullable=False),
    Column("lot", CODE, nullable=False),
    Column("pieces", Integer, nullable=False),
    Column("x_mm", Float),
    Column("y_mm", Float),
    Column("what", String(400), nullable=False),
    Column("hours", Float),
    Column("flights", Float),
    Column("reference", String(120)),
    Column("recorded_at", String(32), nullable=False),
    one_of("kind", REPORT_KINDS),
    CheckConstraint("pieces > 0", name="pieces"),
    CheckConstraint("revision > 0", name="revision"),
    UniqueConstraint("kind", "frame", "part", "reference", name="uq_field_report_reference"),
    Index("ix_field_report_frame", "frame"),
    sqlite_autoincrement=True,
)
"""What came back from the field in words; no stock moves by it."""
