"""Runs of tags, and codes given out ahead on blank tags.

Revision 0003.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Two new tables; no row changes."""
    op.create_table(
        "tag_run",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("medium", sa.String(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=True),
        sa.Column("start_cell", sa.Integer(), nullable=False),
        sa.Column("copies", sa.Integer(), nullable=False),
        sa.Column("in_order", sa.String(), nullable=False),
        sa.Column("printer", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("codes", sa.JSON(), nullable=False),
        sa.CheckConstraint("in_order IN ('asked', 'code', 'place', 'bench')", name=op.f("ck_tag_run_in_order_word")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_tag_run_number_low")),
        sa.CheckConstraint("start_cell >= 1 AND copies >= 1", name=op.f("ck_tag_run_start_and_copies")),
        sa.PrimaryKeyConstraint("id", name="pk_tag_run"),
        sa.UniqueConstraint("number", name="uq_tag_run_number"),
        sa.UniqueConstraint("uid", name="uq_tag_run_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "reserved_code",
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_reserved_code"),
        sa.UniqueConstraint("code", name="uq_reserved_code_code"),
        sa.UniqueConstraint("uid", name="uq_reserved_code_uid"),
        sqlite_autoincrement=True,
    )
