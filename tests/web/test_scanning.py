"""A photo of a tray becomes looks; what is no photo, or too large a one, is refused before it is decoded."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from uuid6 import uuid7

HERE = {"Origin": "http://127.0.0.1:8017"}


def sent(me, *photos):
    files = [("photo", ("x.png", data, "image/png")) for data in photos]
    return me.client.post("/scan", data={"token": me.token(), "uid": str(uuid7())}, files=files, headers=HERE)


def picture(width, height, form="PNG"):
    out = io.BytesIO()
    Image.new("1", (width, height), 1).convert("L" if form == "JPEG" else "1").save(out, form)
    return out.getvalue()


def test_a_photo_of_a_tray_becomes_looks_of_all_that_stay_ticked(orchard, phone, tmp_path):
    tray = Image.new("L", (1500, 500), 255)
    for at, code in enumerate(("G1", "G2", "W1")):
        file = tmp_path / f"{code}.png"
        assert 0 == orchard("tags", "show", code, "--png", file, "--dpi", 200).code
        tray.paste(Image.open(file).convert("L"), (20 + 490 * (at % 3), 40))
    out = io.BytesIO()
    tray.save(out, "JPEG")
    me = phone().join("Bess")
    page = sent(me, out.getvalue())
    assert 200 == page.status_code, page.text
    assert 'value="G1" checked' in page.text and 'value="G2" checked' in page.text and 'value="W1"' not in page.text
    assert 303 == me.send("/look", code=["G1", "G2"], state="swelling").status_code
    assert {"G1", "G2"} == {row["graft"] for row in orchard("look", "list", "--json").rows}


def test_what_is_no_photo_is_refused(orchard, phone):
    me = phone().join("Bess")
    for data in (b"%!PS-Adobe-3.0 EPSF-3.0", b"GIF89a", b"<svg/>", b"PK\x03\x04"):
        page = sent(me, data)
        assert 422 == page.status_code and "JPEG, PNG or WebP" in page.text
    broken = sent(me, b"\xff\xd8\xffnothing")
    assert 422 == broken.status_code and "photo 1" in broken.text and "/tmp" not in broken.text
    assert 422 == sent(me).status_code
    blank = sent(me, picture(400, 300))
    assert 200 == blank.status_code and "No code was read" in blank.text


@pytest.mark.parametrize("size", [(10_000, 10_000), (20_000, 20_000)])
def test_a_picture_of_a_hundred_megapixels_is_not_decoded(orchard, phone, size, monkeypatch):
    me, data = phone().join("Bess"), picture(*size)
    monkeypatch.setattr(Image.Image, "convert", lambda *_: pytest.fail("it was decoded"))
    page = sent(me, data)
    assert 422 == page.status_code and "89 million pixels" in page.text and "graftbook-" not in page.text


def test_thirty_megabytes_are_too_much(orchard, phone):
    page = sent(phone().join("Bess"), b"\xff\xd8\xff" + b"x" * 30_000_000)
    assert 413 == page.status_code and "20 MB" in page.text
