"""Nobody in: other origins, other names, old cookies, forms of somebody else, too much at once, and what an error tells."""

from __future__ import annotations

import pytest

from graftbook.web import doors as doors_room
from graftbook.web.doors import Doors
from graftbook.web.kept import Members

PAGES = (
    "/", "/G1", "/P1", "/W1", "/G1/history", "/G1/cause?state=dead", "/many?codes=G1,P1", "/store", "/match?stock=P4", "/more",
    "/find", "/new/graft", "/new/tree", "/new/prune?code=P1", "/plans", "/tags", "/tags/new?codes=G1", "/took", "/took/compare",
)  # fmt: skip


def test_without_having_joined_there_is_nothing(orchard, phone):
    nobody = phone()
    for path in ("/", "/G1", "/find?q=dun", "/store", "/who", "/G1/history", "/many?codes=G1"):
        page = nobody.get(path, follow_redirects=False)
        assert 303 == page.status_code and page.headers["location"].startswith("/join"), path
    assert 401 == nobody.send("/look", token="x", code="G1", state="growing").status_code
    assert 401 == nobody.send("/look", token="x", program=True, code="G1", state="growing").status_code
    assert "Dun" not in nobody.get("/join").text
    assert 403 == nobody.get("/enter?key=guess").status_code


def test_the_key_opens_once_and_roles_hold(orchard, phone):
    key = f"/enter?key={phone().bench.doors.key}"
    owner = phone().enter()
    assert 403 == phone().get(key).status_code
    looker, member = phone().join("Ann", "look"), phone().join("Bess")
    assert "no movement" not in looker.get("/G1").text
    refused = looker.send("/look", code="G1", state="growing")
    assert 403 == refused.status_code and "joined to look" in refused.text
    assert 403 == member.get("/who").status_code
    mine = owner.send("/look", code="G1", state="swelling", program=True).json()["entry"]
    theirs = member.send("/undo", entry=str(mine))
    assert 409 == theirs.status_code and "hat entry is" in theirs.text
    hers = member.send("/look", code="G2", state="swelling", program=True).json()["entry"]
    assert 303 == owner.send("/undo", entry=str(hers)).status_code

    page = owner.get("/who").text
    assert "Bess" in page and owner.bench.doors.codes["record"][:5] in page
    gone = next(each for each in owner.bench.doors.members.every() if each.name == "Bess")
    assert 303 == owner.send("/who/end", member=gone.id).status_code
    assert "/join" in member.get("/G1", follow_redirects=False).headers["location"]


def test_what_comes_from_elsewhere_is_not_done(orchard, phone):
    me = phone().join("Bess")
    token, client = me.token(), me.client
    good = {"token": token, "uid": "019f0000-0000-7000-8000-000000000001", "code": "G1", "state": "growing"}
    for origin in ("http://evil.example", "null", "http://127.0.0.1:9999", "https://127.0.0.1:8017"):
        assert 403 == client.post("/look", data=good, headers={"Origin": origin}).status_code, origin
    assert 403 == client.post("/look", data=good).status_code
    assert 403 == client.post("/look", data=good, headers={"Sec-Fetch-Site": "cross-site"}).status_code
    for host in ("evil.example:8017", "127.0.0.1", "127.0.0.1:80", ""):
        page = client.get("/G1", headers={"Host": host})
        assert 421 == page.status_code and "Dun" not in page.text, host
    other = phone().join("Ann")
    assert 403 == other.send("/look", token=token, code="G1", state="growing").status_code  # a form made for Bess
    assert [] == orchard("look", "list", "--json").rows


def test_headers_cookies_and_pages_hold_to_the_rules(orchard, phone):
    me = phone()
    joined = me.get(f"/enter?key={me.bench.doors.key}", follow_redirects=False)
    cookie = joined.headers["set-cookie"]
    assert all(word in cookie for word in ("HttpOnly", "SameSite=strict", "Path=/"))
    for path in ("/", "/G1", "/nothing", "/static/bench.css", "/find?q=%3Cscript%3E"):
        page = me.get(path)
        policy = page.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy and "unsafe" not in policy
        assert ("nosniff", "DENY") == (page.headers["x-content-type-options"], page.headers["x-frame-options"])
        assert "<script>" not in page.text and " style=" not in page.text and " onclick" not in page.text
    for path in (*PAGES, "/who"):
        page = me.get(path)
        assert 200 == page.status_code and "<b>" not in page.text, path
        forms = [form for form in page.text.split("<form")[1:] if 'method="post"' in form.split(">")[0]]
        assert all('name="token"' in form and 'name="uid"' in form for form in forms), path


def test_an_old_or_forged_cookie_lets_nobody_in(orchard, phone, monkeypatch):
    me = phone().join("Bess")
    name, value = next(iter(me.client.cookies.items()))
    for forged in (value[:-2], "x", f"{value}x", "W10.x.y"):
        me.client.cookies.clear()
        me.client.cookies.set(name, forged)
        assert "/join" in me.get("/G1", follow_redirects=False).headers["location"]
    me.client.cookies.clear()
    me.client.cookies.set(name, value)
    assert 200 == me.get("/G1").status_code
    monkeypatch.setattr(doors_room, "DAYS", -1)
    assert "/join" in me.get("/G1", follow_redirects=False).headers["location"]


def test_wrong_codes_are_few(orchard, phone):
    bench, nobody = phone().bench, phone()
    token = bench.doors.token(None)
    for _ in range(doors_room.TRIES):
        assert 403 == nobody.send("/join", token=token, name="Eve", code="AAAAA-AAAAA").status_code
    right = nobody.send("/join", token=token, name="Eve", code=bench.doors.codes["record"])
    assert 403 == right.status_code and "oo many wrong codes" in right.text
    bench.doors._wrong.clear()
    nameless = nobody.send("/join", token=token, code=bench.doors.codes["record"])
    assert 422 == nameless.status_code and "our name" in nameless.text


def test_a_code_is_read_as_people_write_it():
    doors = Doors(Members(None), lan=True)
    code = doors.codes["look"]
    typed = f"{code[:5]} - {code[5:]}".lower().replace("0", "o").replace("1", "l")
    member = doors.join(typed, " Ann ", "a")
    assert member is not None and ("Ann", "look") == (member.name, member.role)
    assert Doors(Members(None), lan=False).join("", "Ann", "a") is None
    assert not any(doors.shut(each) for each in "ab")


def test_who_joined_is_kept_between_two_starts(tmp_path):
    file = tmp_path / "bench" / "kept.json"
    first = Doors(Members(file), lan=True)
    ann = first.members.join("Ann", "record")
    cookie = first.cookie(ann)
    assert 0o600 == file.stat().st_mode & 0o777
    again = Doors(Members(file), lan=True)
    assert ann == again.bearer(cookie)
    again.members.end(ann.id)
    assert Doors(Members(file), lan=True).bearer(cookie) is None
    file.write_text("{nothing", encoding="utf-8")
    assert Doors(Members(file), lan=True).bearer(cookie) is None


@pytest.mark.parametrize("stated", [True, False])
def test_two_hundred_megabytes_are_not_read(orchard, phone, stated):
    me = phone().join("Bess")
    read = 0

    def flood():
        nonlocal read
        for _ in range(200):
            read += 1
            yield b"x" * 1_000_000

    headers = {"Origin": "http://127.0.0.1:8017", "Content-Type": "application/x-www-form-urlencoded"}
    if stated:
        headers["Content-Length"] = "200000000"
    page = me.client.post("/look", content=flood(), headers=headers)
    assert 413 == page.status_code and "too much at once" in page.text
    assert [] == orchard("look", "list", "--json").rows


def test_a_bug_is_said_as_one_and_tells_nothing(orchard, phone, monkeypatch):
    from graftbook.web import one_thing

    me = phone().join("Bess")
    monkeypatch.setitem(one_thing.SHOWS, "G", lambda at, code: 1 / 0)
    page = me.get("/G1")
    assert 500 == page.status_code and "a bug of ours" in page.text
    assert "Traceback" not in page.text and "ZeroDivision" not in page.text and ".py" not in page.text


def test_a_locked_or_full_book_is_said_and_nothing_is_lost(orchard, phone, bench, monkeypatch):
    from graftbook.book import engine
    from graftbook.errors import CannotWrite

    me = phone().join("Bess")
    for found, said in (
        ("database is locked", "is being written by another program"),
        ("database or disk is full", "full"),
    ):
        with monkeypatch.context() as now:
            now.setattr("graftbook.book.unit.one_writer", lambda _c, found=found: _fail(engine, bench, found))
            page = me.send("/look", code="G1", state="growing")
        assert 503 == page.status_code and said in page.text and bench.location not in page.text
        assert isinstance(engine._operational(bench.location, found), CannotWrite)
    assert 303 == me.send("/look", code="G1", state="growing").status_code


def _fail(engine, bench, found):
    raise engine._operational(bench.location, found)
