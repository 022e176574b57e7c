"""Documents, lots, movements, orders, goods-inward checks and the checkpoint."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the tables of what happens to it."""
    op.create_table(
        "checkpoint_head",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("up_to", _NUMBER, nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_checkpoint_head_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_checkpoint_head")),
    )
    op.create_table(
        "document",
        sa.Column("id", _NUMBER, nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("party", sa.String(length=120), nullable=False),
        sa.Column("reference", sa.String(length=120), nullable=True),
        sa.Column("order_id", _NUMBER, nullable=True),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("recorded_at", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "kind IN ('receipt', 'inspection', 'reject', 'pack', 'sale', 'return', 'count', 'order', 'order_closed')",
            name=op.f("ck_document_kind"),
        ),
        sa.ForeignKeyConstraint(["order_id"], ["document.id"], name=op.f("fk_document_order_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_document")),
        sa.UniqueConstraint("kind", "party", "reference", name="uq_document_reference"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_document_order_id", "document", ["order_id"], unique=False)
    op.create_table(
        "lot",
        sa.Column("id", _NUMBER, nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("code", sa.String(length=80), nullable=False),
        sa.Column("sheet", sa.String(length=80), nullable=False),
        sa.Column("supplier_id", sa.String(length=80), nullable=True),
        sa.Column("document_id", _NUMBER, nullable=False),
        sa.Column("unit_price", sa.String(length=24), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=True),
        sa.ForeignKeyConstraint(["document_id"], ["document.id"], name=op.f("fk_lot_document_id")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_lot_item_id")),
        sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name=op.f("fk_lot_supplier_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lot")),
        sa.UniqueConstraint("id", "item_id", name="uq_lot_item"),
        sa.UniqueConstraint("item_id", "code", name="uq_lot_code"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_lot_code", "lot", ["code"], unique=False)
    op.create_index("ix_lot_sheet", "lot", ["sheet"], unique=False)
    op.create_table(
        "order_line",
        sa.Column("document_id", _NUMBER, nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("unit_price", sa.String(length=24), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=True),
        sa.Column("expected_on", sa.Date(), nullable=True),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_order_line_quantity")),
        sa.ForeignKeyConstraint(["document_id"], ["document.id"], name=op.f("fk_order_line_document_id")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_order_line_item_id")),
        sa.PrimaryKeyConstraint("document_id", "item_id", name=op.f("pk_order_line")),
    )
    op.create_table(
        "checkpoint",
        sa.Column("lot_id", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_checkpoint_item_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_checkpoint_lot_id")),
        sa.PrimaryKeyConstraint("lot_id", name=op.f("pk_checkpoint")),
    )
    op.create_table(
        "inspection",
        sa.Column("document_id", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("lot_id", _NUMBER, nullable=False),
        sa.Column("lot_size", sa.Integer(), nullable=False),
        sa.Column("sample_size", sa.Integer(), nullable=False),
        sa.Column("acceptance_number", sa.Integer(), nullable=False),
        sa.Column("acceptable", sa.Float(), nullable=False),
        sa.Column("tolerated", sa.Float(), nullable=False),
        sa.Column("supplier_risk", sa.Float(), nullable=False),
        sa.Column("buyer_risk", sa.Float(), nullable=False),
        sa.Column("faulty", sa.Integer(), nullable=False),
        sa.Column("accepted", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "faulty >= 0 AND faulty <= sample_size AND sample_size > 0", name=op.f("ck_inspection_sample")
        ),
        sa.ForeignKeyConstraint(["document_id"], ["document.id"], name=op.f("fk_inspection_document_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_inspection_lot_id")),
        sa.PrimaryKeyConstraint("document_id", name=op.f("pk_inspection")),
    )
    op.create_index("ix_inspection_lot_id", "inspection", ["lot_id"], unique=False)
    op.create_table(
        "movement",
        sa.Column("id", _NUMBER, nullable=False),
        sa.Column("document_id", _NUMBER, nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("item_id", sa.String(length=80), nullable=False),
        sa.Column("lot_id", _NUMBER, nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("kit_lot_id", _NUMBER, nullable=True),
        sa.Column("stands_for", sa.String(length=80), nullable=True),
        sa.Column("unit_price", sa.String(length=24), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=True),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.CheckConstraint(
            "kind IN ('receipt', 'reject', 'pack', 'kit', 'sale', 'spare', 'return', 'count')",
            name=op.f("ck_movement_kind"),
        ),
        sa.CheckConstraint("quantity <> 0", name=op.f("ck_movement_quantity")),
        sa.ForeignKeyConstraint(["document_id"], ["document.id"], name=op.f("fk_movement_document_id")),
        sa.ForeignKeyConstraint(["kit_lot_id"], ["lot.id"], name=op.f("fk_movement_kit_lot_id")),
        sa.ForeignKeyConstraint(["lot_id", "item_id"], ["lot.id", "lot.item_id"], name="fk_movement_lot"),
        sa.ForeignKeyConstraint(["stands_for"], ["item.id"], name=op.f("fk_movement_stands_for")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movement")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_movement_demand", "movement", ["kind", "on_date", "item_id", "quantity"], unique=False)
    op.create_index("ix_movement_document_id", "movement", ["document_id"], unique=False)
    op.create_index(
        "ix_movement_kit_lot_id",
        "movement",
        ["kit_lot_id"],
        unique=False,
        sqlite_where=sa.text("kit_lot_id IS NOT NULL"),
        postgresql_where=sa.text("kit_lot_id IS NOT NULL"),
    )
    op.create_index("ix_movement_lot_id", "movement", ["lot_id"], unique=False)
    op.create_table(
        "measurement",
        sa.Column("document_id", _NUMBER, nullable=False),
        sa.Column("piece", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("feature", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("low", sa.Float(), nullable=False),
        sa.Column("high", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["document_id"], ["inspection.document_id"], name=op.f("fk_measurement_document_id")),
        sa.PrimaryKeyConstraint("document_id", "piece", "feature", name=op.f("pk_measurement")),
    )
    op.execute("INSERT INTO checkpoint_head (id, up_to) VALUES (1, 0)")
