"""Growth stages as seen day by day, and where bundles of wood were kept one place after the other.

Revision 0005.
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Two new tables; no row changes. What plants and bundles hold themselves goes on speaking where these are silent."""
    op.create_table(
        "stage_note",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("bbch", sa.String(), nullable=True),
        sa.Column("bark", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("bark IN ('tight', 'slipping')", name=op.f("ck_stage_note_bark_word")),
        sa.CheckConstraint("stage IS NOT NULL OR bark IS NOT NULL", name=op.f("ck_stage_note_something_seen")),
        sa.CheckConstraint("bbch IS NULL OR stage IS NOT NULL", name=op.f("ck_stage_note_bbch_with_stage")),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_stage_note_plant_id"),
        sa.PrimaryKeyConstraint("id", name="pk_stage_note"),
        sa.UniqueConstraint("uid", name="uq_stage_note_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_stage_note_plant_id_on", "stage_note", ["plant_id", "on"], unique=False)
    op.create_table(
        "stay",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("store", sa.String(), nullable=True),
        sa.Column("packing", sa.String(), nullable=True),
        sa.Column("temperature_c", sa.Float(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_stay_bundle_id"),
        sa.PrimaryKeyConstraint("id", name="pk_stay"),
        sa.UniqueConstraint("uid", name="uq_stay_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_stay_bundle_id", "stay", ["bundle_id"], unique=False)
