"""Alembic's entry: migrate on the open connection it is handed, inside its transaction."""

from alembic import context

from stashkeeper.catalogue.tables import Row

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Row.metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
