"""The tables of what may be in stock: the ledger itself, items, suppliers, prices, substitutes and bills of kits."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
)

from platewright.io.ledger.money import Money

__all__ = [
    "CODE",
    "ITEM_KINDS",
    "METADATA",
    "NUMBER",
    "item",
    "item_feature",
    "item_use",
    "kit",
    "kit_line",
    "ledger",
    "offer",
    "one_of",
    "substitute",
    "supplier",
]

ITEM_KINDS = ("part", "hardware", "equipment", "packing", "kit")
METADATA = MetaData(
    naming_convention={
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
    }
)
CODE = String(80)
NUMBER = BigInteger().with_variant(Integer, "sqlite")  # SQLite numbers rows by itself only in INTEGER


def one_of(column: str, names: tuple[str, ...]) -> CheckConstraint:
    """Return the rule that a column holds one of some words."""
    return CheckConstraint(f"{column} IN ({', '.join(repr(n) for n in names)})", name=column)


ledger = Table(
    "ledger",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("currency", String(3), nullable=False),
    Column("allow_negative", Boolean, nullable=False),
    Column("created_on", Date, nullable=False),
    CheckConstraint("id = 1", name="one_row"),
)
"""One row. In PostgreSQL whoever writes holds it locked, so that one booking is whole before the next begins."""

supplier = Table(
    "supplier",
    METADATA,
    Column("id", CODE, primary_key=True),
    Column("name", String(200), nullable=False),
    Column("lead_time_days", Integer),
    Column("lead_time_spread_days", Float),
    CheckConstraint("lead_time_days >= 0", name="lead_time"),
)

item = Table(
    "item",
    METADATA,
    Column("id", CODE, primary_key=True),
    Column("kind", String(16), nullable=False),
    Column("name", String(200), nullable=False),
    Column("record", CODE),
    Column("part_hash", String(64), unique=True),
    Column("part_identity", Text),
    Column("mass_g", Float),
    Column("checked", Boolean, nullable=False),
    Column("added_on", Date, nullable=False),
    Column("discontinued_on", Date),
    one_of("kind", ITEM_KINDS),
)
"""`checked`: a lot must pass its goods-inward check before pieces are packed."""

item_feature = Table(
    "item_feature",
    METADATA,
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("name", String(40), primary_key=True),
    Column("nominal", Float, nullable=False),
    Column("low", Float, nullable=False),
    Column("high", Float, nullable=False),
    CheckConstraint("low <= high", name="limits"),
)

item_use = Table(
    "item_use",
    METADATA,
    Column("frame", String(120), primary_key=True),
    Column("part", String(80), primary_key=True),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("item_id", CODE, ForeignKey("item.id"), nullable=False),
    Column("first_design_hash", String(64), nullable=False),
    Column("first_on", Date, nullable=False),
    CheckConstraint("revision > 0", name="revision"),
)
"""Which item a frame's part is, revision by revision: one shape that two frames use is one item."""

offer = Table(
    "offer",
    METADATA,
    Column("supplier_id", CODE, ForeignKey("supplier.id"), primary_key=True),
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("minimum_quantity", Integer, primary_key=True, autoincrement=False),
    Column("valid_from", Date, primary_key=True),
    Column("unit_price", Money, nullable=False),
    Column("currency", String(3), nullable=False),
    CheckConstraint("minimum_quantity > 0", name="minimum_quantity"),
)

substitute = Table(
    "substitute",
    METADATA,
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("substitute_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("note", String(200), nullable=False),
    CheckConstraint("item_id <> substitute_id", name="another"),
)

kit = Table(
    "kit",
    METADATA,
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("frame", String(120), nullable=False),
    Column("revision", String(40), nullable=False),
    Column("design_hash", String(64), nullable=False),
    Column("bill_hash", String(64), nullable=False, unique=True),
    Column("frozen_on", Date, nullable=False),
)

kit_line = Table(
    "kit_line",
    METADATA,
    Column("kit_id", CODE, ForeignKey("kit.item_id"), primary_key=True),
    Column("item_id", CODE, ForeignKey("item.id"), primary_key=True),
    Column("quantity", Integer, nullable=False),
    Column("spares", Integer, nullable=False),
    Column("included", Boolean, nullable=False),
    CheckConstraint("quantity > 0 AND spares >= 0", name="quantity"),
    Index("ix_kit_line_item_id", "item_id"),
)
