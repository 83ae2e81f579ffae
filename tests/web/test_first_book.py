"""The first book, from nothing to a printed tag, by the screens alone; and a stop half-way."""

from __future__ import annotations

import re
from pathlib import Path

from graftbook.web.bench import Address, Bench
from graftbook.web.doors import Doors
from graftbook.web.kept import Members


def test_five_screens_from_nothing_to_a_tag(command, tmp_path, phone_of):
    place = tmp_path / "new.sqlite"
    bench = Bench(
        str(place), Doors(Members(None), lan=True), Address("x", 1, frozenset({"127.0.0.1:8017"})), str(place)
    )
    me, helper = phone_of(bench).enter(), phone_of(bench).join("Ann")
    start = me.get("/")
    assert "1 of 5" in start.text and start.url.path == "/first/book"
    missing = helper.get("/first")
    assert 503 == missing.status_code and str(place) not in missing.text
    assert 422 == me.send("/first/book", hemisphere="middle").status_code and not place.exists()
    screens = (
        ("/first/book", {"name": "Balcony", "who": "Una", "units": "mm", "dates": "day-first", "hemisphere": "south"}),
        ("/first/tree", {"cultivar": "Dun Reinette", "species": "apple"}),
        ("/first/wood", {"code": "P1", "save": "3 sticks 6-9mm 6 buds", "on": "2027-08-01", "store": "fridge"}),
        (
            "/first/graft",
            {"wood": "W1", "clone": "MM.106", "diameter": "8mm", "method": "whip-and-tongue", "on": "2027-09-01"},
        ),
        ("/first/tag", {"codes": "G1,P1,W1", "medium": "a4-21up"}),
    )
    for path, typed in screens:
        assert path == me.get("/first").url.path
        assert 200 == me.get(path).status_code
        if path == "/first/graft":
            bad = me.send(path, **{**typed, "method": "glue"})
            assert 422 == bad.status_code and "glue" in bad.text
        done = me.send(path, **typed)
        assert 303 == done.status_code, done.text
    assert me.get("/tags/1.pdf").content.startswith(b"%PDF")
    assert "/" == me.get("/first").url.path
    bench.close()
    assert 1 == len(command("--book", place, "stock", "list", "--json").rows)  # the refused graft left no second stock
    assert {"Una"} == {
        row["who"] for row in command("--book", place, "journal", "--json").rows if row["verb"] != "start"
    }
    again = command("--book", place, "settings", "--json").rows
    assert "south" in {row["value"] for row in again} and Path(place).exists()
    assert re.search("G1", command("--book", place, "tags", "runs").out)
