"""Alembic's way in: the connection is handed over by graftbook.book.versions, never read from a file."""

from alembic import context

from graftbook.book.tables import METADATA

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=METADATA, render_as_batch=True)
context.run_migrations()
