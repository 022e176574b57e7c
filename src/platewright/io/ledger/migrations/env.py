"""Alembic runs this: the steps use the connection, and the transaction, that the caller holds."""

from alembic import context

from platewright.io.ledger.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    transactional_ddl=False,  # the caller's transaction holds all steps
)
context.run_migrations()
