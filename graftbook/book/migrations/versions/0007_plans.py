"""Wants, plans for a grafting day, and their lines.

Revision 0007.
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Three new tables; no row changes."""
    _want()
    _plan()
    _plan_row()


def _text(*names: str) -> list[sa.Column]:
    return [sa.Column(name, sa.String(), nullable=True) for name in names]


def _keys(table: str) -> list:
    return [
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
        sa.UniqueConstraint("uid", name=f"uq_{table}_uid"),
    ]


def _want() -> None:
    op.create_table(
        "want",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("cultivar", sa.String(), nullable=False),
        *_text("cultivar_typed", "taxon"),
        sa.Column("trees", sa.Integer(), nullable=False),
        sa.Column("living", sa.Integer(), nullable=True),
        sa.Column("sites", sa.Integer(), nullable=False),
        sa.Column("priority", sa.Integer(), nullable=False),
        *_text("for_whom", "clone", "clone_typed"),
        sa.Column("done_on", sa.Date(), nullable=True),
        sa.Column("withdrawn_on", sa.Date(), nullable=True),
        *_text("who", "note"),
        *_keys("want"),
        sa.CheckConstraint("number >= 1", name=op.f("ck_want_number_low")),
        sa.CheckConstraint("trees >= 1", name=op.f("ck_want_trees_low")),
        sa.CheckConstraint("living IS NULL OR (living >= 1 AND living <= trees)", name=op.f("ck_want_living_within")),
        sa.CheckConstraint("sites >= 1 AND sites <= trees", name=op.f("ck_want_sites_within")),
        sa.CheckConstraint("priority BETWEEN 1 AND 9", name=op.f("ck_want_priority_range")),
        sa.CheckConstraint("done_on IS NULL OR withdrawn_on IS NULL", name=op.f("ck_want_one_end")),
        sa.UniqueConstraint("number", name="uq_want_number"),
        sqlite_autoincrement=True,
    )


def _plan() -> None:
    op.create_table(
        "plan",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("outcome", sa.String(), nullable=False),
        *_text("message"),
        sa.Column("seed", sa.Integer(), nullable=True),
        *_text("compare"),
        sa.Column("first_graft", sa.Integer(), nullable=True),
        sa.Column("done_on", sa.Date(), nullable=True),
        *_text("who", "note"),
        sa.Column("settings", sa.JSON(), nullable=False),
        *_keys("plan"),
        sa.CheckConstraint("outcome IN ('optimal', 'gap')", name=op.f("ck_plan_outcome_word")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_plan_number_low")),
        sa.UniqueConstraint("number", name="uq_plan_number"),
        sqlite_autoincrement=True,
    )


def _plan_row() -> None:
    whole = [sa.Column(name, sa.Integer(), nullable=False) for name in ("line", "stick", "piece", "buds")]
    sizes = [sa.Column(name, sa.Float(), nullable=True) for name in ("from_mm", "to_mm", "scion_mm")]
    keys = [
        sa.Column(f"{name}_id", sa.Integer(), nullable=name == "want")
        for name in ("plan", "want", "bundle", "host_plant")
    ]
    tables = {"plan_id": "plan", "want_id": "want", "bundle_id": "bundle", "host_plant_id": "plant"}
    op.create_table(
        "plan_row",
        *whole,
        *sizes,
        sa.Column("spot", sa.Integer(), nullable=False),
        *_text("position"),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("chance", sa.Float(), nullable=False),
        sa.Column("basis", sa.String(), nullable=False),
        *_text("basis_words"),
        sa.Column("k", sa.Integer(), nullable=True),
        sa.Column("n", sa.Integer(), nullable=True),
        sa.Column("joint_share", sa.Float(), nullable=True),
        *_text("trial", "block", "treatment", "cautions"),
        *keys,
        *_keys("plan_row"),
        *(
            sa.ForeignKeyConstraint([column], [f"{table}.id"], name=f"fk_plan_row_{column}")
            for column, table in tables.items()
        ),
        sa.CheckConstraint("basis IN ('own', 'published', 'working value')", name=op.f("ck_plan_row_basis_word")),
        sa.CheckConstraint("line >= 1", name=op.f("ck_plan_row_line_low")),
        sa.CheckConstraint("chance BETWEEN 0 AND 1", name=op.f("ck_plan_row_chance_share")),
        sa.UniqueConstraint("plan_id", "line", name="uq_plan_row_plan_id_line"),
        sqlite_autoincrement=True,
    )
    for column in ("want_id", "bundle_id", "host_plant_id"):
        op.create_index(f"ix_plan_row_{column}", "plan_row", [column])
