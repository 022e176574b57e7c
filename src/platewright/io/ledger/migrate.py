"""Make and raise the tables of a ledger, step by step, with the migrations in `migrations/versions`."""

from __future__ import annotations

from typing import Any

from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from platewright.io.ledger.tables import METADATA

__all__ = ["migrate", "newest_revision"]


def migrate(connection: Connection) -> None:
    """Raise the tables to the newest revision, all steps in the transaction of the connection."""
    settings = _settings()
    steps = ScriptDirectory.from_config(settings)

    def upgrade(revision: Any, _: Any) -> Any:
        return steps._upgrade_revs("head", revision)

    with EnvironmentContext(settings, steps, fn=upgrade) as environment:
        environment.configure(connection=connection, target_metadata=METADATA, transactional_ddl=False)
        environment.run_migrations()


def newest_revision() -> str:
    """Return the last revision there is a step for."""
    return str(ScriptDirectory.from_config(_settings()).get_current_head())


def _settings() -> Config:
    settings = Config()
    settings.set_main_option("script_location", "platewright.io.ledger:migrations")
    settings.set_main_option("path_separator", "os")
    return settings
