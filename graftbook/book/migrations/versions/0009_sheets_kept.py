"""Growers' own sheets that were read, and every row of them.

Revision 0009.
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Two new tables; no row changes."""
    op.create_table(
        "sheet_read",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("sheet", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("reading", sa.JSON(), nullable=False),
        sa.CheckConstraint("number >= 1", name=op.f("ck_sheet_read_number_low")),
        sa.PrimaryKeyConstraint("id", name="pk_sheet_read"),
        sa.UniqueConstraint("number", name="uq_sheet_read_number"),
        sa.UniqueConstraint("uid", name="uq_sheet_read_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "sheet_row",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("fate", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("made", sa.String(), nullable=True),
        sa.Column("was", sa.Integer(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("cells", sa.JSON(), nullable=False),
        sa.Column("mends", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("offers", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("sheet_read_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("fate IN ('taken', 'held', 'dropped')", name=op.f("ck_sheet_row_fate_word")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_sheet_row_number_low")),
        sa.CheckConstraint("line >= 1", name=op.f("ck_sheet_row_line_low")),
        sa.CheckConstraint("fate <> 'held' OR why IS NOT NULL", name=op.f("ck_sheet_row_held_why")),
        sa.ForeignKeyConstraint(["sheet_read_id"], ["sheet_read.id"], name="fk_sheet_row_sheet_read_id"),
        sa.PrimaryKeyConstraint("id", name="pk_sheet_row"),
        sa.UniqueConstraint("number", name="uq_sheet_row_number"),
        sa.UniqueConstraint("uid", name="uq_sheet_row_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sheet_row_sheet_read_id_line", "sheet_row", ["sheet_read_id", "line"], unique=False)
