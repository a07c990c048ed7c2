"""What Alembic runs revisions in: the connection it is handed, and nothing that it reads from a file."""

from alembic import context
from sqlalchemy import Connection

from core.storage.tables import metadata

connection = context.config.attributes["connection"]
if not isinstance(connection, Connection):
    raise TypeError("migrations run on the connection that core/storage/upgrades.py hands over")

context.configure(
    connection=connection,
    target_metadata=metadata,
    # SQLite changes a table by making it anew.
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
