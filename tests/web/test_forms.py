"""Everything there is a form for, filled as a person fills it: new things, a grafting day, tags; and what took."""

from __future__ import annotations

import io

from pypdf import PdfReader


def test_from_a_tree_to_a_printed_tag(graftbook, phone):
    me = phone().join("Bess")
    done = me.send("/new/tree", cultivar="Dun Reinette", species="apple", place="Home row", acquired="2019-03-01")
    assert "/P1?entry=" in done.headers["location"]
    assert "Home row" in me.get(done.headers["location"]).text
    assert 303 == me.send("/new/stock", clone="MM.106", count="3", diameter="8mm", acquired="2026-02-01").status_code
    saved = {
        "code": "P1",
        "save": "3 sticks 6-9mm 6 buds\n2 sticks 8mm",
        "store": "fridge",
        "temperature": "3C",
        "on": "2027-01-14",
    }
    assert "/W1?" in me.send("/new/prune", **saved, thinning="4").headers["location"]
    assert "whip-and-tongue" in me.get("/new/graft?wood=W1&hosts=P2").text
    fits = me.get("/match?wood=W1")
    assert 200 == fits.status_code and "P2" in fits.text
    graft = {"wood": "W1", "hosts": "P2-P3", "method": "whip-and-tongue", "tie": "rubber", "on": "2027-03-28"}
    assert "/G1?" in me.send("/new/graft", **graft).headers["location"]

    assert "a4-21up" in me.get("/tags/new?codes=G1").text
    run = me.send("/tags/new", codes="G1-G2,P1", medium="a4-21up", start="4")
    assert "/tags?" in run.headers["location"] and "/tmp" not in me.get(run.headers["location"]).text
    sheet = me.get("/tags/1.pdf")
    assert ("application/pdf", b"%PDF") == (sheet.headers["content-type"], sheet.content[:4])
    text = PdfReader(io.BytesIO(sheet.content)).pages[0].extract_text()
    assert "G1-" in text and "G2-" in text and "P1-" in text
    assert 303 == me.send("/tags/new", blanks="5", medium="a4-21up").status_code
    assert 404 == me.get("/tags/9.pdf").status_code
    assert 2 == len(graftbook("tags", "runs", "--json").rows)
    assert {"Bess"} == {row["who"] for row in graftbook("journal", "--json").rows}


def test_a_form_that_is_refused_comes_back_with_what_was_typed(orchard, phone):
    me = phone().join("Bess")
    bad = me.send("/new/graft", wood="W1", hosts="P4", method="glue", note='a "quoted" <note>')
    assert 422 == bad.status_code and "glue" in bad.text
    assert 'value="P4"' in bad.text and "a &#34;quoted&#34; &lt;note&gt;" in bad.text
    for path, fields, said in (
        ("/new/tree", {"cultivar": "Dun"}, "species"), ("/new/stock", {"clone": "MM.106", "count": "many"}, "how many"),
        ("/new/prune", {"code": "P1", "save": "a few"}, "24 sticks"), ("/new/wood", {"cultivar": "Dun"}, "how many sticks"),
        ("/tags/new", {"codes": "G1", "medium": "stone"}, "stone"), ("/new/prune", {"code": "../../etc"}, "etc"),
    ):  # fmt: skip
        page = me.send(path, **fields)
        assert page.status_code in (404, 409, 422) and said in page.text, path
    assert 403 == phone().join("Ann", "look").get("/new/tree").status_code


def test_a_planned_day_is_recorded_with_what_went_otherwise(orchard, phone):
    for words in (("want", "add", "Dun <b>Reinette</b>", 2), ("plan", "--on", "2027-04-28")):
        assert 0 == orchard(*words).code, orchard(*words).err
    me = phone().join("Bess")
    assert "/plan/1" in me.get("/plans").text
    page = me.get("/plan/1").text
    assert "Record the day" in page and "dry stick" in page
    lines = [row["line"] for row in orchard("plan", "show", 1, "--json").rows]
    done = me.send("/plan/1", **{f"how-{lines[-1]}": "skip"}, tie="rubber")
    assert 303 == done.status_code, done.text
    assert len(lines) - 1 == len(orchard("graft", "list", "--json").rows) - 2
    assert 404 == me.get("/plan/7").status_code
    again = me.send("/plan/1")
    assert 409 == again.status_code


def test_what_took_is_said_with_the_same_sentences(orchard, phone):
    me = phone().join("Bess", "look")
    for code, state in (("G1", "growing"), ("G2", "dead")):
        assert 0 == orchard("look", code, state, "--on", "2027-07-20", today="2027-11-30").code
    page = me.get("/took?by=method")
    assert (
        200 == page.status_code and "1 of 2" in page.text and "whip-and-tongue" in page.text and "Wilson" in page.text
    )
    assert "What is compared" in me.get("/took/compare").text
    for path in ("/took?by=colour", "/took/compare?compare=method", "/took/curve?x=moon"):
        assert 422 == me.get(path).status_code, path
    assert 200 == me.get("/took/curve").status_code and "curve.svg?" not in me.get("/took/curve").text
    assert 409 == me.get("/took/curve.svg").status_code
    assert 200 == me.get("/took/review").status_code
