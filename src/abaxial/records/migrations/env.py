"""What alembic runs: the migrations, on the connection and in the transaction it is handed."""

from alembic import context

from abaxial.records.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    transactional_ddl=True,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
