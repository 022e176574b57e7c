"""Make and raise the tables of a ledger, step by step, with the migrations in `migrations/versions`."""

from __future__ import annotations

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

__all__ = ["config", "migrate", "newest_revision"]


def config(connection: Connection | None = None) -> Config:
    """Return the settings for Alembic, working on an open connection."""
    settings = Config()
    settings.set_main_option("script_location", "platewright.io.ledger:migrations")
    settings.set_main_option("path_separator", "os")
    settings.attributes["connection"] = connection
    return settings


def migrate(connection: Connection) -> None:
    """Raise the tables to the newest revision, all steps in the transaction of the connection."""
    command.upgrade(config(connection), "head")


def newest_revision() -> str:
    """Return the last revision there is a step for."""
    head = ScriptDirectory.from_config(config()).get_current_head()
    return str(head)
