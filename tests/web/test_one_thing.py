"""One thing on a phone: what it is, a look by a tap, the cause of a loss, care, wood, undo; and finding it."""

from __future__ import annotations

from uuid6 import uuid7

from graftbook.actions.rounds import rounds


def test_a_round_on_a_phone(orchard, phone):
    me = phone().join("Bess")
    page = me.get("/g1")
    assert 200 == page.status_code
    for said in ("G1-", "whip-and-tongue", "2027-03-28", "no movement", "tie released", "rub off", "What was written"):
        assert said in page.text, said
    assert "<b>" not in page.text and "Dun &lt;b&gt;Reinette&lt;/b&gt;" in page.text

    done = me.send("/look", code="G1", state="growing", back="/G1")
    assert (303, "/G1?entry=") == (done.status_code, done.headers["location"][:10])
    seen = me.get(done.headers["location"]).text
    assert "G1: 1 graft growing, 2027-04-28" in seen and "Undo this" in seen
    looks = orchard("look", "list", "G1", "--json").rows
    assert [("growing", "Bess")] == [(row["state"], row["who"]) for row in looks]

    assert "Was the union to blame?" in me.get("/G2/cause?state=dead").text
    done = me.send("/look", code="G2", state="dead", cause="dried out", union="no", stock_fate="alive", back="/G2")
    assert "dried out, not the union" in me.get(done.headers["location"]).text
    assert "dried out" in me.get("/G1/cause?state=dead").text  # the book's own words are offered again
    assert 303 == me.send("/care", code="G1,P2", care="rubbed-off", note="twice", back="/G1").status_code

    entry = (
        orchard("look", "list", "G2", "--json").rows and orchard("journal", "--verb", "look", "--json").rows[0]["entry"]
    )
    assert "Undo" in me.get("/G2/history").text
    assert 303 == me.send("/undo", entry=str(entry), back="/G2").status_code
    assert [] == orchard("look", "list", "G2", "--json").rows


def test_wood_is_counted_inspected_and_given(orchard, phone):
    me = phone().join("Bess")
    for fields in (
        {"condition": "sound"},
        {"sticks": "2", "move": "counted"},
        {"sticks": "1", "move": "given", "to": "Ilo"},
    ):
        done = me.send("/wood", code="W1", back="/W1", **fields)
        assert 303 == done.status_code, done.text
    assert 1 == orchard("wood", "list", "--json").rows[0]["sticks_left"]
    bad = me.send("/wood", code="W1", sticks="many", move="found")
    assert 422 == bad.status_code and "how many sticks, as a whole number" in bad.text
    more = me.send("/wood", code="W1", sticks="40", move="given", to="Ilo")
    assert 409 == more.status_code and "W1" in more.text


def test_what_the_action_refuses_is_said_in_its_words(orchard, phone):
    me = phone().join("Bess")
    early = me.send("/look", code="G1", state="growing", on="2027-03-01")
    assert 409 == early.status_code and "hese were not made yet on 2027-03-01" in early.text
    late = me.send("/look", code="G1", state="growing", on="2031-05-01", program=True)
    assert 409 == late.status_code
    assert "2031-05-01 lies after today, 2027-04-28" in late.json()["refused"]
    assert 422 == me.send("/look", code="G1", state="flowering").status_code
    assert 422 == me.send("/look", state="growing").status_code
    assert 404 == me.get("/G99").status_code
    assert [] == orchard("look", "list", "--json").rows


def test_sent_twice_is_recorded_once_even_after_a_restart(orchard, phone, bench):
    me, uid = phone().join("Bess"), str(uuid7())
    first = me.send("/look", uid, program=True, code="G1", state="swelling").json()
    bench.close()
    second = me.send("/look", uid, program=True, code="G1", state="swelling").json()
    assert (False, True, first["entry"]) == (first["again"], second["again"], second["entry"])
    assert 1 == len(orchard("look", "list", "--json").rows)
    assert 403 == me.send("/look", "not-a-uid", code="G1", state="swelling").status_code


def test_typing_a_code_and_finding_without_one(orchard, phone):
    me = phone().join("Bess")
    assert "/G1" == me.get("/find?q=g1", follow_redirects=False).headers["location"]
    tag = orchard("tags", "show", "G1", "--json").rows[0]
    good = next(value for value in tag.values() if str(value).startswith("G1-"))
    assert 200 == me.get(f"/{good}").status_code
    wrong = "G1-" + ("A" if good[-1] != "A" else "C")
    for path in (f"/{wrong}", f"/find?q={wrong}"):
        page = me.get(path)
        assert 422 == page.status_code and "did you mean" in page.text and 'href="/G1"' in page.text
    assert 'href="/P1"' in me.get("/find?q=reinet").text
    assert "P2" in me.get("/find?place=shed").text
    for path in (
        "/../etc/passwd",
        "/..%2f..%2fetc%2fpasswd",
        "/static/../site.py",
        "/static/%2e%2e/site.py",
        "/G1/../../x",
    ):
        assert me.get(path).status_code in (404, 422), path


def test_what_is_no_text_or_beyond_all_numbers_is_refused_and_another_s_last_entry_stays(orchard, phone):
    me = phone().join("Bess")
    for path, fields in (
        ("/look", {"code": "G1", "state": "growing", "note": "a\0b"}), ("/look", {"code": "G1\0", "state": "growing"}),
        ("/new/tree", {"cultivar": "a\0", "species": "apple"}), ("/undo", {}), ("/undo", {"entry": "last"}),
        ("/undo", {"entry": "9" * 30}),
        ("/wood", {"code": "W1", "sticks": "9" * 20, "move": "found"}),
    ):  # fmt: skip
        assert 422 == me.send(path, **fields).status_code, (path, fields)
    for path in ("/find?q=a%00b", "/?place=%00", "/?entry=%00&place=%00", "/many?codes=P1-P99999999", f"/G{'9' * 20}"):
        assert 422 == me.get(path).status_code, path
    for path in (f"/plan/{'9' * 20}", f"/tags/{'9' * 20}.pdf"):
        assert 404 == me.get(path).status_code, path
    assert [] == orchard("look", "list", "--json").rows
    assert 2 == len(orchard("graft", "list", "--json").rows)  # the last entry, which nobody named, was not undone


def test_what_one_thing_wants_is_what_the_round_says_of_it(orchard, bench):
    for words in (("look", "G1", "growing", "--on", "2027-04-25"), ("care", "P3", "rub off", "--on", "2027-04-20"),
                  ("graft", "W1", "P4", "--method", "cleft", "--on", "2027-04-01"), ("look", "G3", "dead")):  # fmt: skip
        assert 0 == orchard(*words, today="2027-04-28").code
    at = bench.open().again("Bess", None)
    every = rounds.gather(at).rows
    assert {"G1", "G2"} < {row.code for row in every} | {"W1"}
    for code in ("G1", "G2", "G3", "W1"):
        assert [row for row in every if row.code == code] == list(rounds.due_of(at, code)), code
