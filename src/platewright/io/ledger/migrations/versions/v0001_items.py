"""The ledger itself, items, suppliers, prices, substitutes and bills of kits."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables of what may be in stock."""
    op.create_table(
        "item",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("record", sa.String(length=80), nullable=True),
        sa.Column("part_hash", sa.String(length=64), nullable=True),
        sa.Column("part_identity", sa.Text(), nullable=True),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("checked", sa.Boolean(), nullable=False),
        sa.Column("added_on", sa.Date(), nullable=False),
        sa.Column("discontinued_on", sa.Date(), nullable=True),
        sa.CheckConstraint("kind IN ('part', 'hardware', 'equipment', 'packing', 'kit')", name=op.f("ck_item_kind")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_item")),
        sa.UniqueConstraint("part_hash", name=op.f("uq_item_part_hash")),
    )
    op.create_table(
        "ledger",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("allow_negative", sa.Boolean(), nullable=False),
        sa.Column("created_on", sa.Date(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_ledger_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ledger")),
    )
    op.create_table(
        "supplier",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("lead_time_days", sa.Integer(), nullable=True),
        sa.Column("lead_time_spread_days", sa.Float(), nullable=True),
        sa.CheckConstraint("lead_time_days >= 0", name=op.f("ck_supplier_lead_time")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplier")),
    )
    op.create_table(
        "item_feature",
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("nominal", sa.Float(), nullable=False),
        sa.Column("low", sa.Float(), nullable=False),
        sa.Column("high", sa.Float(), nullable=False),
        sa.CheckConstraint("low <= high", name=op.f("ck_item_feature_limits")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_item_feature_item_id")),
        sa.PrimaryKeyConstraint("item_id", "name", name=op.f("pk_item_feature")),
    )
    op.create_table(
        "item_use",
        sa.Column("frame", sa.String(length=120), nullable=False),
        sa.Column("part", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("first_design_hash", sa.String(length=64), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.CheckConstraint("revision > 0", name=op.f("ck_item_use_revision")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_item_use_item_id")),
        sa.PrimaryKeyConstraint("frame", "part", "revision", name=op.f("pk_item_use")),
    )
    op.create_table(
        "kit",
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("frame", sa.String(length=120), nullable=False),
        sa.Column("revision", sa.String(length=40), nullable=False),
        sa.Column("design_hash", sa.String(length=64), nullable=False),
        sa.Column("bill_hash", sa.String(length=64), nullable=False),
        sa.Column("frozen_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_kit_item_id")),
        sa.PrimaryKeyConstraint("item_id", name=op.f("pk_kit")),
        sa.UniqueConstraint("bill_hash", name=op.f("uq_kit_bill_hash")),
    )
    op.create_table(
        "offer",
        sa.Column("supplier_id", sa.String(length=80), nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("minimum_quantity", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("unit_price", sa.String(length=24), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.CheckConstraint("minimum_quantity > 0", name=op.f("ck_offer_minimum_quantity")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_offer_item_id")),
        sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name=op.f("fk_offer_supplier_id")),
        sa.PrimaryKeyConstraint("supplier_id", "item_id", "minimum_quantity", "valid_from", name=op.f("pk_offer")),
    )
    op.create_table(
        "substitute",
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("substitute_id", sa.String(length=80), nullable=False),
        sa.Column("note", sa.String(length=200), nullable=False),
        sa.CheckConstraint("item_id <> substitute_id", name=op.f("ck_substitute_another")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_substitute_item_id")),
        sa.ForeignKeyConstraint(["substitute_id"], ["item.id"], name=op.f("fk_substitute_substitute_id")),
        sa.PrimaryKeyConstraint("item_id", "substitute_id", name=op.f("pk_substitute")),
    )
    op.create_table(
        "kit_line",
        sa.Column("kit_id", sa.String(length=80), nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("spares", sa.Integer(), nullable=False),
        sa.Column("included", sa.Boolean(), nullable=False),
        sa.CheckConstraint("quantity > 0 AND spares >= 0", name=op.f("ck_kit_line_quantity")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_kit_line_item_id")),
        sa.ForeignKeyConstraint(["kit_id"], ["kit.item_id"], name=op.f("fk_kit_line_kit_id")),
        sa.PrimaryKeyConstraint("kit_id", "item_id", name=op.f("pk_kit_line")),
    )
    op.create_index("ix_kit_line_item_id", "kit_line", ["item_id"], unique=False)
