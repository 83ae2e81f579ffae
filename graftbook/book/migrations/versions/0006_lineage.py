"""Namings, synonyms, people and requests; sticks that were mixed, and which stick was given away.

Revision 0006.
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

_KINDS = "kind IN ('saved', 'received', 'given', 'discarded', 'found', 'counted', 'mixed')"
_SIGN = (
    "(kind IN ('saved', 'received', 'found') AND sticks >= 0) OR (kind IN ('given', 'discarded', 'mixed') AND sticks <= 0)"
    " OR kind = 'counted'"
)
_INTO = "(into_bundle_id IS NOT NULL) = (kind = 'mixed')"
_NOT_ITSELF = "into_bundle_id IS NULL OR into_bundle_id <> bundle_id"
_STICK = "stick IS NULL OR stick >= 1"
_CHECKS = (
    (_SIGN, "ck_movement_sticks_sign"), ("counted IS NULL OR kind = 'counted'", "ck_movement_counted_kind"),
    (_KINDS, "ck_movement_kind_word"), (_INTO, "ck_movement_into_kind"), (_NOT_ITSELF, "ck_movement_not_into_itself"),
    (_STICK, "ck_movement_stick_low"),
)  # fmt: skip
_OLD = 'id, uid, bundle_id, "on", kind, sticks, counted, receiver, who, note'


def upgrade() -> None:
    """Four new tables, two columns and one word for movements; no row changes."""
    if op.get_bind().dialect.name == "sqlite":
        _movements_rebuilt()
    else:
        _movements_altered()
    op.create_index("ix_movement_into_bundle_id", "movement", ["into_bundle_id"])
    _naming()
    _names_people_requests()


def _movements_altered() -> None:
    op.add_column("movement", sa.Column("stick", sa.Integer(), nullable=True))
    op.add_column("movement", sa.Column("into_bundle_id", sa.Integer(), nullable=True))
    op.create_foreign_key("fk_movement_into_bundle_id", "movement", "bundle", ["into_bundle_id"], ["id"])
    for name in ("ck_movement_sticks_sign", "ck_movement_kind_word"):
        op.drop_constraint(op.f(name), "movement", type_="check")
    for rule, name in _CHECKS:
        if name != "ck_movement_counted_kind":
            op.create_check_constraint(op.f(name), "movement", rule)


def _movements_rebuilt() -> None:
    """SQLite cannot change a rule of a table: the rows go into a new one, and ids given before are not given again."""
    bind = op.get_bind()
    last = bind.execute(sa.text("SELECT seq FROM sqlite_sequence WHERE name = 'movement'")).scalar()
    op.create_table(
        "movement_anew",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("sticks", sa.Integer(), nullable=False),
        sa.Column("counted", sa.Integer(), nullable=True),
        sa.Column("receiver", sa.String(), nullable=True),
        sa.Column("stick", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.Column("into_bundle_id", sa.Integer(), nullable=True),
        *(sa.CheckConstraint(rule, name=op.f(name)) for rule, name in _CHECKS),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_movement_bundle_id"),
        sa.ForeignKeyConstraint(["into_bundle_id"], ["bundle.id"], name="fk_movement_into_bundle_id"),
        sa.PrimaryKeyConstraint("id", name="pk_movement"),
        sa.UniqueConstraint("uid", name="uq_movement_uid"),
        sqlite_autoincrement=True,
    )
    op.execute(f"INSERT INTO movement_anew ({_OLD}) SELECT {_OLD} FROM movement")
    op.drop_table("movement")
    op.rename_table("movement_anew", "movement")
    op.create_index("ix_movement_bundle_id", "movement", ["bundle_id"])
    if last is not None:
        bind.execute(sa.text("DELETE FROM sqlite_sequence WHERE name = 'movement'"))
        bind.execute(sa.text("INSERT INTO sqlite_sequence (name, seq) VALUES ('movement', :last)"), {"last": last})


def _naming() -> None:
    op.create_table(
        "naming",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("candidates", sa.String(), nullable=True),
        sa.Column("typed", sa.String(), nullable=True),
        sa.Column("nickname", sa.String(), nullable=True),
        sa.Column("sure", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("stick", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("bundle_id", sa.Integer(), nullable=True),
        sa.Column("graft_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "sure IN ('believed', 'verified by fruit', 'tested', 'doubtful')", name=op.f("ck_naming_sure_word")
        ),
        sa.CheckConstraint(
            "(CASE WHEN plant_id IS NULL THEN 0 ELSE 1 END) + (CASE WHEN bundle_id IS NULL THEN 0 ELSE 1 END)"
            " + (CASE WHEN graft_id IS NULL THEN 0 ELSE 1 END) = 1",
            name=op.f("ck_naming_one_subject"),
        ),
        sa.CheckConstraint(
            "stick IS NULL OR (stick >= 1 AND bundle_id IS NOT NULL)", name=op.f("ck_naming_stick_of_bundle")
        ),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_naming_plant_id"),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundle.id"], name="fk_naming_bundle_id"),
        sa.ForeignKeyConstraint(["graft_id"], ["graft.id"], name="fk_naming_graft_id"),
        sa.PrimaryKeyConstraint("id", name="pk_naming"),
        sa.UniqueConstraint("uid", name="uq_naming_uid"),
        sqlite_autoincrement=True,
    )
    for column in ("plant_id", "bundle_id", "graft_id"):
        op.create_index(f"ix_naming_{column}", "naming", [column])


def _names_people_requests() -> None:
    op.create_table(
        "synonym",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("preferred", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_synonym"),
        sa.UniqueConstraint("uid", name="uq_synonym_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "person",
        sa.Column("initials", sa.String(), nullable=True),
        sa.Column("contact", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("name", name="uq_person_name"),
        sa.UniqueConstraint("uid", name="uq_person_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "wood_request",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("receiver", sa.String(), nullable=False),
        sa.Column("cultivar", sa.String(), nullable=False),
        sa.Column("typed", sa.String(), nullable=True),
        sa.Column("sticks", sa.Integer(), nullable=False),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("who", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.CheckConstraint("number >= 1", name=op.f("ck_wood_request_number_low")),
        sa.CheckConstraint("sticks >= 1", name=op.f("ck_wood_request_sticks_low")),
        sa.CheckConstraint('closed_on IS NULL OR closed_on >= "on"', name=op.f("ck_wood_request_closed_after")),
        sa.PrimaryKeyConstraint("id", name="pk_wood_request"),
        sa.UniqueConstraint("number", name="uq_wood_request_number"),
        sa.UniqueConstraint("uid", name="uq_wood_request_uid"),
        sqlite_autoincrement=True,
    )
