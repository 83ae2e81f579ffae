"""Weather stations and their days, the weather of places, and where things were moved from and to.

Revision 0004.
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Three new tables, and two columns of care that are empty in every row there is."""
    op.add_column("care", sa.Column("place", sa.String(200), nullable=True))
    op.add_column("care", sa.Column("place_before", sa.String(200), nullable=True))
    op.create_table(
        "weather_station",
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("known_as", sa.String(), nullable=True),
        sa.Column("latitude", sa.Float(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.CheckConstraint("latitude BETWEEN -90 AND 90", name=op.f("ck_weather_station_latitude_range")),
        sa.PrimaryKeyConstraint("id", name="pk_weather_station"),
        sa.UniqueConstraint("name", name="uq_weather_station_name"),
        sa.UniqueConstraint("uid", name="uq_weather_station_uid"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "weather_year",
        sa.Column("year", sa.Integer(), nullable=False),
        sa.Column("lows", sa.String(), nullable=False),
        sa.Column("highs", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("station_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("year BETWEEN 1900 AND 2200", name=op.f("ck_weather_year_year_range")),
        sa.ForeignKeyConstraint(["station_id"], ["weather_station.id"], name="fk_weather_year_station_id"),
        sa.PrimaryKeyConstraint("id", name="pk_weather_year"),
        sa.UniqueConstraint("station_id", "year", name="uq_weather_year_station_id_year"),
        sa.UniqueConstraint("uid", name="uq_weather_year_uid"),
        sqlite_autoincrement=True,
    )
    _place_weather()


def _place_weather() -> None:
    op.create_table(
        "place_weather",
        sa.Column("place", sa.String(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("low_c", sa.Float(), nullable=True),
        sa.Column("high_c", sa.Float(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(36), nullable=False),
        sa.Column("station_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(station_id IS NOT NULL AND low_c IS NULL AND high_c IS NULL)"
            " OR (station_id IS NULL AND low_c IS NOT NULL AND high_c IS NOT NULL)",
            name=op.f("ck_place_weather_station_or_kept"),
        ),
        sa.CheckConstraint("low_c <= high_c", name=op.f("ck_place_weather_low_high_order")),
        sa.ForeignKeyConstraint(["station_id"], ["weather_station.id"], name="fk_place_weather_station_id"),
        sa.PrimaryKeyConstraint("id", name="pk_place_weather"),
        sa.UniqueConstraint("uid", name="uq_place_weather_uid"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_place_weather_station_id", "place_weather", ["station_id"])
