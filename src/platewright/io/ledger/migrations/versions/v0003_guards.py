"""Triggers that refuse to change or remove what happened."""

from __future__ import annotations

from alembic import op

revision = "0003"
down_revision = "0002"

_TABLES = ("document", "lot", "movement", "kit", "kit_line", "order_line", "inspection", "measurement")
_NUMBERED = ("document", "lot", "movement")
_SAID = "rows of {table} are never changed or removed"


def upgrade() -> None:
    """Guard the tables of what happened."""
    if op.get_bind().dialect.name == "postgresql":
        _guard_postgresql()
    else:
        _guard_sqlite()


def _guard_sqlite() -> None:
    for table in _TABLES:
        said = _SAID.format(table=table)
        for verb in ("update", "delete"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{verb} BEFORE {verb.upper()} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
            )
    for table in _NUMBERED:  # INSERT OR REPLACE takes the place of a row, and only asks the triggers if told to
        op.execute(
            f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) "
            f"BEGIN SELECT RAISE(ABORT, '{_SAID.format(table=table)}'); END"
        )


def _guard_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION ledger_refuse() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION 'rows of % are never changed or removed', TG_TABLE_NAME; END $$"
    )
    for table in _TABLES:
        op.execute(
            f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION ledger_refuse()"
        )
        op.execute(
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION ledger_refuse()"
        )
