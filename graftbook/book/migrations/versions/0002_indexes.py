"""Indexes for the winter questions: grafts by the day they were made, entries by the moment they were written.

Revision 0002.
"""

from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Two indexes; no row changes."""
    op.create_index("ix_graft_made_on", "graft", ["made_on"])
    op.create_index("ix_entry_at", "entry", ["at"])
