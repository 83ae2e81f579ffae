"""Entries of books that were merged into this one, and what things were known as before.

Revision 0010.
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    """Three new tables; no row changes."""
    _merged_entry()
    _merged_change()
    _former()


def _merged_entry() -> None:
    op.create_table(
        "merged_entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("merge_id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(200), nullable=True),
        sa.Column("verb", sa.String(40), nullable=False),
        sa.Column("summary", sa.String(4000), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["merge_id"], ["entry.id"], name="fk_merged_entry_merge_id"),
        sa.PrimaryKeyConstraint("id", name="pk_merged_entry"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_merged_entry_merge_id", "merged_entry", ["merge_id"])
    op.create_index("ix_merged_entry_uid", "merged_entry", ["uid"])


def _merged_change() -> None:
    op.create_table(
        "merged_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("merged_entry_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(40), nullable=False),
        sa.Column("row_uid", sa.String(36), nullable=False),
        sa.Column("operation", sa.String(10), nullable=False),
        sa.Column("before", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("after", sa.JSON(none_as_null=True), nullable=True),
        sa.CheckConstraint("operation IN ('insert', 'update', 'delete')", name=op.f("ck_merged_change_operation_word")),
        sa.ForeignKeyConstraint(["merged_entry_id"], ["merged_entry.id"], name="fk_merged_change_merged_entry_id"),
        sa.PrimaryKeyConstraint("id", name="pk_merged_change"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_merged_change_merged_entry_id", "merged_change", ["merged_entry_id"])
    op.create_index("ix_merged_change_row_uid", "merged_change", ["row_uid"])


def _former() -> None:
    op.create_table(
        "former",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("thing", sa.String(40), nullable=False),
        sa.Column("of_uid", sa.String(36), nullable=False),
        sa.Column("code", sa.String(12), nullable=True),
        sa.Column("was_uid", sa.String(36), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.CheckConstraint("code IS NOT NULL OR was_uid IS NOT NULL", name=op.f("ck_former_something_former")),
        sa.PrimaryKeyConstraint("id", name="pk_former"),
        sa.UniqueConstraint("uid", name="uq_former_uid"),
        sqlite_autoincrement=True,
    )
    for column in ("of_uid", "code", "was_uid"):
        op.create_index(f"ix_former_{column}", "former", [column])
