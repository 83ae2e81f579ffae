"""What stands in a code: the bare code, or a site's address with the code at its end; and the code got back again.

A bare code stays readable when a site is long gone. An address is opened by a phone's own camera. Its scheme stays in
small letters, since some readers will not open one in capitals, though RFC 3986, 3.1, says that case does not matter;
the rest is in capitals, which take eleven bits a pair where small letters take sixteen.
"""

from __future__ import annotations

import re
from urllib.parse import unquote

from labels.errors import BadPayload

_ACCEPTED = "http:// or https://, a host, and a path of letters, digits and - . / : % $ * +, with no ? & = # _"
_SITE = re.compile(r"(https?)://([^/]+)(/.*)?", re.IGNORECASE)
_HOST = re.compile(r"(?!-)[A-Z0-9-]+(?<!-)(?:\.(?!-)[A-Z0-9-]+(?<!-))*(?::[0-9]{1,5})?", re.IGNORECASE)
_PATH = re.compile(r"[A-Z0-9\-./:%$*+]*", re.IGNORECASE)
_CODE = re.compile(r"[A-Z0-9]+(?:-[A-Z0-9]+)*", re.IGNORECASE)


def address(site: str, code: str) -> str:
    """The address of a code on a site, as it goes into a QR code: `https://tag.example/t/` and G105-K give
    `https://TAG.EXAMPLE/T/G105-K`.

    `site`: in any case, with or without the last slash; the server must answer to host, path and code in capitals.
    `code`: letters, digits and hyphens. Raises BadPayload saying what is accepted.
    """
    text = site.strip()
    matched = _SITE.fullmatch(text)
    if matched is None:
        raise BadPayload(_ACCEPTED, text or "nothing", "write the site as in https://tag.example/t/")
    scheme, host, path = matched[1].lower(), matched[2], matched[3] or "/"
    if not host.isascii() or _HOST.fullmatch(host) is None:
        raise BadPayload("a host of letters, digits, dots and hyphens, perhaps with a port", host, _next(host))
    if not path.isascii() or _PATH.fullmatch(path) is None:
        raise BadPayload(_ACCEPTED, f"{_odd(path)} in {site}", "put the code at the end of a plain path")
    if not code.isascii() or _CODE.fullmatch(code.strip()) is None:
        raise BadPayload("a code of letters, digits and hyphens", repr(code), "give the code as printed on the tag")
    return f"{scheme}://{host.upper()}{path.upper().rstrip('/')}/{code.strip().upper()}"


def code_in(text: str) -> str | None:
    """The code in what a reader read, in capitals: the whole of a bare text, or the last part of an address's path.

    In any case, with or without scheme, a query or a last slash. None when there is nothing that could be a code; it
    is not checked whether such a code exists.
    """
    plain = re.split("[?#]", text.strip(), maxsplit=1)[0]
    _, separator, rest = plain.rpartition("://")
    parts = [part for part in unquote(rest).split("/") if part]
    if separator and len(parts) < 2:
        return None
    code = parts[-1].strip() if parts else ""
    return code.upper() if code.isascii() and _CODE.fullmatch(code) else None


def _odd(path: str) -> str:
    return " ".join(dict.fromkeys(c for c in path if _PATH.fullmatch(c) is None or not c.isascii()))


def _next(host: str) -> str:
    if not host.isascii():
        return "write the host in its ASCII form, beginning xn--"
    return "use the plain host name, without user, password or brackets"
