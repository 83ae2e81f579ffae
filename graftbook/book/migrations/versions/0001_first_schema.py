"""The first schema: plants, wood, grafts, what was seen and done, and the ledger under them.

Revision 0001, written out in full so that it never changes with the code.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _cut_graft_key():
    """Wood may be cut from a graft and a graft is made from wood: SQLite takes that key at once, others afterwards."""
    if op.get_bind().dialect.name == "sqlite":
        yield sa.ForeignKeyConstraint(["cut_graft_id"], ["graft.id"], name="fk_bundle_cut_graft_id")


def upgrade() -> None:
    """Every table, in an order in which each finds what it points to."""
    _ledger()
    _plants_and_wood()
    _grafts()
    _seen_and_done()
    if op.get_bind().dialect.name != "sqlite":
        op.create_foreign_key("fk_bundle_cut_graft_id", "bundle", "graft", ["cut_graft_id"], ["id"])


def _ledger() -> None:
    op.create_table(
        "counter",
        sa.Column("letter", sa.String(1), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("letter", name="pk_counter"),
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(200), nullable=True),
        sa.Column("verb", sa.String(40), nullable=False),
        sa.Column("summary", sa.String(4000), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.Column("undone_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["undoes"], ["entry.id"], name="fk_entry_undoes"),
        sa.ForeignKeyConstraint(["undone_by"], ["entry.id"], name="fk_entry_undone_by"),
        sa.PrimaryKeyConstraint("id", name="pk_entry"),
        sa.UniqueConstraint("uid", name="uq_entry_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "own_row",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("trade_table", sa.String(40), nullable=False),
        sa.Column("fields", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_own_row"),
        sa.UniqueConstraint("uid", name="uq_own_row_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "setting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("key", sa.String(40), nullable=False),
        sa.Column("value", sa.String(400), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_setting"),
        sa.UniqueConstraint("key", name="uq_setting_key"),
        sa.UniqueConstraint("uid", name="uq_setting_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(40), nullable=False),
        sa.Column("row_uid", sa.String(36), nullable=False),
        sa.Column("operation", sa.String(10), nullable=False),
        sa.Column("before", sa.JSON(), nullable=True),
        sa.Column("after", sa.JSON(), nullable=True),
        sa.CheckConstraint("operation IN ('insert', 'update', 'delete')", name=op.f("ck_change_operation_word")),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name="fk_change_entry_id"),
        sa.PrimaryKeyConstraint("id", name="pk_change"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_change_entry_id", "change", ["entry_id"], unique=False)
    op.create_index("ix_change_row_uid", "change", ["row_uid"], unique=False)


def _plants_and_wood() -> None:
    op.create_table(
        "plant",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("taxon", sa.String(), nullable=True),
        sa.Column("taxon_typed", sa.String(), nullable=True),
        sa.Column("clone", sa.String(), nullable=True),
        sa.Column("clone_typed", sa.String(), nullable=True),
        sa.Column("cultivar", sa.String(), nullable=True),
        sa.Column("cultivar_typed", sa.String(), nullable=True),
        sa.Column("diameter_mm", sa.Float(), nullable=True),
        sa.Column("grade_min_mm", sa.Float(), nullable=True),
        sa.Column("grade_max_mm", sa.Float(), nullable=True),
        sa.Column("measured_on", sa.Date(), nullable=True),
        sa.Column("site", sa.String(), nullable=True),
        sa.Column("place", sa.String(), nullable=True),
        sa.Column("row", sa.String(), nullable=True),
        sa.Column("order", sa.Integer(), nullable=True),
        sa.Column("acquired_on", sa.Date(), nullable=True),
        sa.Column("source", sa.String(), nullable=True),
        sa.Column("container", sa.String(), nullable=True),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("stage_on", sa.Date(), nullable=True),
        sa.Column("bark", sa.String(), nullable=True),
        sa.Column("lot", sa.String(), nullable=True),
        sa.Column("died_on", sa.Date(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.CheckConstraint("bark IN ('tight', 'slipping')", name=op.f("ck_plant_bark_word")),
        sa.CheckConstraint("code = 'P' || number", name=op.f("ck_plant_code_number")),
        sa.CheckConstraint("kind IN ('tree', 'stock')", name=op.f("ck_plant_kind_word")),
        sa.CheckConstraint("diameter_mm > 0", name=op.f("ck_plant_diameter_mm_low")),
        sa.CheckConstraint(
            "died_on IS NULL OR acquired_on IS NULL OR died_on >= acquired_on", name=op.f("ck_plant_died_after")
        ),
        sa.CheckConstraint("grade_min_mm <= grade_max_mm", name=op.f("ck_plant_grade_order")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_plant_number_low")),
        sa.PrimaryKeyConstraint("id", name="pk_plant"),
        sa.UniqueConstraint("code", name="uq_plant_code"),
        sa.UniqueConstraint("number", name="uq_plant_number"),
        sa.UniqueConstraint("uid", name="uq_plant_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "prune",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("thinning", sa.Integer(), nullable=True),
        sa.Column("heading", sa.Integer(), nullable=True),
        sa.Column("bench", sa.Integer(), nullable=True),
        sa.Column("removed_percent", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("removed_percent BETWEEN 0 AND 100", name=op.f("ck_prune_removed_percent_share")),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_prune_plant_id"),
        sa.PrimaryKeyConstraint("id", name="pk_prune"),
        sa.UniqueConstraint("uid", name="uq_prune_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_prune_plant_id", "prune", ["plant_id"], unique=False)
    op.create_table(
        "bundle",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("taxon", sa.String(), nullable=True),
        sa.Column("cultivar", sa.String(), nullable=True),
        sa.Column("cultivar_typed", sa.String(), nullable=True),
        sa.Column("donor", sa.String(), nullable=True),
        sa.Column("received_on", sa.Date(), nullable=True),
        sa.Column("cut_on", sa.Date(), nullable=True),
        sa.Column("stored_on", sa.Date(), nullable=True),
        sa.Column("store", sa.String(), nullable=True),
        sa.Column("packing", sa.String(), nullable=True),
        sa.Column("temperature_c", sa.Float(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("diameter_min_mm", sa.Float(), nullable=True),
        sa.Column("diameter_max_mm", sa.Float(), nullable=True),
        sa.Column("buds_per_stick", sa.Integer(), nullable=True),
        sa.Column("wood_kind", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("cut_plant_id", sa.Integer(), nullable=True),
        sa.Column("cut_graft_id", sa.Integer(), nullable=True),
        sa.Column("prune_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("code = 'W' || number", name=op.f("ck_bundle_code_number")),
        sa.CheckConstraint("wood_kind IN ('dormant', 'summer')", name=op.f("ck_bundle_wood_kind_word")),
        sa.CheckConstraint(
            "NOT (cut_plant_id IS NOT NULL AND cut_graft_id IS NOT NULL)", name=op.f("ck_bundle_one_source")
        ),
        sa.CheckConstraint("buds_per_stick >= 1", name=op.f("ck_bundle_buds_per_stick_low")),
        sa.CheckConstraint("diameter_min_mm <= diameter_max_mm", name=op.f("ck_bundle_diameter_order")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_bundle_number_low")),
        *_cut_graft_key(),
        sa.ForeignKeyConstraint(["cut_plant_id"], ["plant.id"], name="fk_bundle_cut_plant_id"),
        sa.ForeignKeyConstraint(["prune_id"], ["prune.id"], name="fk_bundle_prune_id"),
        sa.PrimaryKeyConstraint("id", name="pk_bundle"),
        sa.UniqueConstraint("code", name="uq_bundle_code"),
        sa.UniqueConstraint("number", name="uq_bundle_number"),
        sa.UniqueConstraint("uid", name="uq_bundle_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_bundle_cut_graft_id", "bundle", ["cut_graft_id"], unique=False)
    op.create_index("ix_bundle_cut_plant_id", "bundle", ["cut_plant_id"], unique=False)


def _grafts() -> None:
    op.create_table(
        "graft",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("stick", sa.Integer(), nullable=True),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("scion_mm", sa.Float(), nullable=True),
        sa.Column("stock_mm", sa.Float(), nullable=True),
        sa.Column("buds", sa.Integer(), nullable=True),
        sa.Column("tie", sa.String(), nullable=True),
        sa.Column("seal", sa.String(), nullable=True),
        sa.Column("tied_on", sa.Date(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("place", sa.String(), nullable=True),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("bench", sa.Boolean(), nullable=True),
        sa.Column("limb", sa.String(), nullable=True),
        sa.Column("bearing_deg", sa.Integer(), nullable=True),
        sa.Column("height_mm", sa.Float(), nullable=True),
        sa.Column("position", sa.String(), nullable=True),
        sa.Column("trial", sa.String(), nullable=True),
        sa.Column("block", sa.String(), nullable=True),
        sa.Column("cautions", sa.String(), nullable=True),
        sa.Column("sticks_drawn", sa.Integer(), nullable=False),
        sa.Column("buds_left", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=True),
        sa.Column("host_plant_id", sa.Integer(), nullable=True),
        sa.Column("host_graft_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("code = 'G' || number", name=op.f("ck_graft_code_number")),
        sa.CheckConstraint("unit IN ('graft', 'bud')", name=op.f("ck_graft_unit_word")),
        sa.CheckConstraint("(host_plant_id IS NULL) <> (host_graft_id IS NULL)", name=op.f("ck_graft_one_host")),
        sa.CheckConstraint("bearing_deg BETWEEN 0 AND 359", name=op.f("ck_graft_bearing_deg_round")),
        sa.CheckConstraint("host_graft_id IS NULL OR host_graft_id <> id", name=op.f("ck_graft_not_on_itself")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_graft_number_low")),
        sa.CheckConstraint("sticks_drawn >= 0", name=op.f("ck_graft_sticks_drawn_low")),
        sa.CheckConstraint("tied_on >= made_on", name=op.f("ck_graft_tied_after")),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_graft_bundle_id"),
        sa.ForeignKeyConstraint(["host_graft_id"], ["graft.id"], name="fk_graft_host_graft_id"),
        sa.ForeignKeyConstraint(["host_plant_id"], ["plant.id"], name="fk_graft_host_plant_id"),
        sa.PrimaryKeyConstraint("id", name="pk_graft"),
        sa.UniqueConstraint("code", name="uq_graft_code"),
        sa.UniqueConstraint("number", name="uq_graft_number"),
        sa.UniqueConstraint("uid", name="uq_graft_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_graft_bundle_id", "graft", ["bundle_id"], unique=False)
    op.create_index("ix_graft_host_graft_id", "graft", ["host_graft_id"], unique=False)
    op.create_index("ix_graft_host_plant_id", "graft", ["host_plant_id"], unique=False)


def _seen_and_done() -> None:
    op.create_table(
        "caution_note",
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("status", sa.String(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("source", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("bundle_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("kind IN ('health', 'rights')", name=op.f("ck_caution_note_kind_word")),
        sa.CheckConstraint("(plant_id IS NULL) <> (bundle_id IS NULL)", name=op.f("ck_caution_note_one_subject")),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_caution_note_bundle_id"),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_caution_note_plant_id"),
        sa.PrimaryKeyConstraint("id", name="pk_caution_note"),
        sa.UniqueConstraint("uid", name="uq_caution_note_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_caution_note_bundle_id", "caution_note", ["bundle_id"], unique=False)
    op.create_index("ix_caution_note_plant_id", "caution_note", ["plant_id"], unique=False)
    op.create_table(
        "inspection",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('sound', 'swelling', 'drying', 'mould', 'dead')", name=op.f("ck_inspection_condition_word")
        ),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_inspection_bundle_id"),
        sa.PrimaryKeyConstraint("id", name="pk_inspection"),
        sa.UniqueConstraint("uid", name="uq_inspection_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_inspection_bundle_id", "inspection", ["bundle_id"], unique=False)
    op.create_table(
        "movement",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("sticks", sa.Integer(), nullable=False),
        sa.Column("counted", sa.Integer(), nullable=True),
        sa.Column("receiver", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(kind IN ('saved', 'received', 'found') AND sticks >= 0) OR (kind IN ('given', 'discarded') AND sticks <= 0) OR kind = 'counted'",
            name=op.f("ck_movement_sticks_sign"),
        ),
        sa.CheckConstraint("counted IS NULL OR kind = 'counted'", name=op.f("ck_movement_counted_kind")),
        sa.CheckConstraint(
            "kind IN ('saved', 'received', 'given', 'discarded', 'found', 'counted')",
            name=op.f("ck_movement_kind_word"),
        ),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_movement_bundle_id"),
        sa.PrimaryKeyConstraint("id", name="pk_movement"),
        sa.UniqueConstraint("uid", name="uq_movement_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_movement_bundle_id", "movement", ["bundle_id"], unique=False)
    op.create_table(
        "care",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("graft_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("(plant_id IS NULL) <> (graft_id IS NULL)", name=op.f("ck_care_one_subject")),
        sa.ForeignKeyConstraint(["graft_id"], ["graft.id"], name="fk_care_graft_id"),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_care_plant_id"),
        sa.PrimaryKeyConstraint("id", name="pk_care"),
        sa.UniqueConstraint("uid", name="uq_care_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_care_graft_id", "care", ["graft_id"], unique=False)
    op.create_index("ix_care_plant_id", "care", ["plant_id"], unique=False)
    op.create_table(
        "look",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("shoot_mm", sa.Float(), nullable=True),
        sa.Column("cause", sa.String(), nullable=True),
        sa.Column("union_fault", sa.String(), nullable=True),
        sa.Column("stock_fate", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("photo", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("graft_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "state IN ('no-movement', 'swelling', 'pushing', 'growing', 'stalled', 'shrivelled', 'dead', 'not-found', 'set', 'not-set', 'forced')",
            name=op.f("ck_look_state_word"),
        ),
        sa.CheckConstraint("union_fault IN ('yes', 'no', 'unsure')", name=op.f("ck_look_union_fault_word")),
        sa.ForeignKeyConstraint(["graft_id"], ["graft.id"], name="fk_look_graft_id"),
        sa.PrimaryKeyConstraint("id", name="pk_look"),
        sa.UniqueConstraint("uid", name="uq_look_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_look_graft_id_on", "look", ["graft_id", "on"], unique=False)
