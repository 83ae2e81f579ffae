"""Plans that were dropped, and the crew a plan was dealt to.

Revision 0008.
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Two columns for plans; no row changes."""
    op.add_column("plan", sa.Column("dropped_on", sa.Date(), nullable=True))
    op.add_column("plan", sa.Column("crew", sa.Integer(), nullable=True))
