"""What Alembic runs: `crewjobs.storage.schema.migrate` hands it the connection, inside a transaction."""

from alembic import context

from crewjobs.storage.records import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,  # SQLite changes a table by copying it
)
with context.begin_transaction():
    context.run_migrations()
