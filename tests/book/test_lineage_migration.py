"""Bringing an older book to the version with lineage: movements stay as they were, and ids given before stay given."""

from sqlalchemy import text

from graftbook.book import versions
from graftbook.book.engine import make_engine


def test_movements_and_their_ids_come_through_the_rebuilding_of_their_table(tmp_path):
    where = str(tmp_path / "old.sqlite")
    engine = make_engine(where, create=True)
    versions.upgrade(engine, "0003")
    with engine.begin() as connection:
        connection.execute(text("INSERT INTO bundle (number, code, uid, wood_kind) VALUES (1, 'W1', 'b', 'dormant')"))
        for number in (1, 2, 3):
            connection.execute(
                text(
                    "INSERT INTO movement (\"on\", kind, sticks, uid, bundle_id) VALUES ('2027-01-01', 'saved', :n, :u, 1)"
                ),
                {"n": number, "u": f"m{number}"},
            )
        connection.execute(text("DELETE FROM movement WHERE id = 3"))
    versions.upgrade(engine)
    with engine.begin() as connection:
        rows = connection.execute(text("SELECT id, sticks, uid, stick, into_bundle_id FROM movement ORDER BY id")).all()
        assert [(1, 1, "m1", None, None), (2, 2, "m2", None, None)] == [tuple(row) for row in rows]
        connection.execute(
            text(
                "INSERT INTO movement (\"on\", kind, sticks, uid, bundle_id) VALUES ('2027-01-01', 'saved', 1, 'm4', 1)"
            )
        )
        assert 4 == connection.execute(text("SELECT max(id) FROM movement")).scalar()
    engine.dispose()
