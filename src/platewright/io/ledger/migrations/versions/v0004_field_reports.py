"""Reports from the field: what broke, was sold elsewhere or was seen whole; guarded as what happened is."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

_TABLE = "field_report"
_SAID = f"rows of {_TABLE} are never changed or removed"


def upgrade() -> None:
    """Make the table of reports, and guard it."""
    op.create_table(
        _TABLE,
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("frame", sa.String(length=120), nullable=False),
        sa.Column("part", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("lot", sa.String(length=80), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("x_mm", sa.Float(), nullable=True),
        sa.Column("y_mm", sa.Float(), nullable=True),
        sa.Column("what", sa.String(length=400), nullable=False),
        sa.Column("hours", sa.Float(), nullable=True),
        sa.Column("flights", sa.Float(), nullable=True),
        sa.Column("reference", sa.String(length=120), nullable=True),
        sa.Column("recorded_at", sa.String(length=32), nullable=False),
        sa.CheckConstraint("kind IN ('broken', 'sold', 'whole', 'withdrawn')", name=op.f("ck_field_report_kind")),
        sa.CheckConstraint("pieces > 0", name=op.f("ck_field_report_pieces")),
        sa.CheckConstraint("revision > 0", name=op.f("ck_field_report_revision")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_field_report")),
        sa.UniqueConstraint("kind", "frame", "part", "reference", name="uq_field_report_reference"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_field_report_frame", _TABLE, ["frame"])
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            f"CREATE TRIGGER {_TABLE}_no_change BEFORE UPDATE OR DELETE ON {_TABLE} "
            "FOR EACH ROW EXECUTE FUNCTION ledger_refuse()"
        )
        op.execute(
            f"CREATE TRIGGER {_TABLE}_no_truncate BEFORE TRUNCATE ON {_TABLE} "
            "FOR EACH STATEMENT EXECUTE FUNCTION ledger_refuse()"
        )
        return
    for verb in ("update", "delete"):
        op.execute(
            f"CREATE TRIGGER {_TABLE}_no_{verb} BEFORE {verb.upper()} ON {_TABLE} "
            f"BEGIN SELECT RAISE(ABORT, '{_SAID}'); END"
        )
    op.execute(
        f"CREATE TRIGGER {_TABLE}_no_replace BEFORE INSERT ON {_TABLE} "
        f"WHEN EXISTS (SELECT 1 FROM {_TABLE} WHERE id = NEW.id) "
        f"BEGIN SELECT RAISE(ABORT, '{_SAID}'); END"
    )
