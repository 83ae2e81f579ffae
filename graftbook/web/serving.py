"""Starting the bench: a port taken, the addresses said, the browser opened, and the server run until it is stopped."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from graftbook.actions.desk import desk as desks
from graftbook.errors import CannotWrite, GraftbookError, UsageProblem
from graftbook.web.bench import Address, Bench, no_book
from graftbook.web.doors import Doors, in_groups
from graftbook.web.kept import Members
from graftbook.web.site import make_site

PORT = 8017
"""Taken where none is named, or the next ones that are free."""
LOOPBACK, EVERYWHERE = "127.0.0.1", "0.0.0.0"
LOCAL_NAMES = ("127.0.0.1", "localhost", "[::1]")
NO_ADDRESS = "192.0.2.1"
"""An address kept for documents (RFC 5737), to which nothing is sent: asked for the way to it, the computer names its own."""


@dataclass(frozen=True)
class Serving:
    """How to serve. `port` None takes the first free one from PORT on; `lan` serves the network; `cert` and `key` are files of the
    grower's own for TLS; `names` are more names the computer goes by."""

    port: int | None = None
    lan: bool = False
    cert: Path | None = None
    key: Path | None = None
    names: tuple[str, ...] = ()
    browser: bool = True

    @property
    def secure(self) -> bool:
        """Whether it is served with TLS."""
        return self.cert is not None


def serve(
    location: str | None, how: Serving, say: Callable[[str], None], started: Callable[[Any], None] | None = None
) -> None:
    """Serve the book at a location until it is stopped; `say` gets the lines for the terminal, `started` the server that runs.

    Raises UsageProblem for a port that is taken and for files that are no certificate and its key, and as opening a book does.
    """
    import uvicorn

    _check_tls(how)
    taken = _listen(EVERYWHERE if how.lan else LOOPBACK, how.port)
    where = location if location is not None else desks.default_location()
    bench = None
    try:
        port = taken.getsockname()[1]
        bench = Bench(where, Doors(Members.of_book(where), lan=how.lan), _address(how, port), location)
        _sound(bench)
        server = uvicorn.Server(uvicorn.Config(
            make_site(bench), log_level="warning", access_log=False, server_header=False, lifespan="off",
            timeout_graceful_shutdown=5, ssl_certfile=how.cert, ssl_keyfile=how.key,
        ))  # fmt: skip
        for line in _lines(bench, how):
            say(line)
        if how.browser:
            _open(_owners(bench))
        if started is not None:
            started(server)
        server.run(sockets=[taken])
    finally:
        taken.close()
        if bench is not None:
            bench.close()


def _lines(bench: Bench, how: Serving) -> Iterator[str]:
    """What stands in the terminal."""
    at = bench.address
    if how.lan:
        there = f"{at.scheme}://{_own_address()}:{at.port}/"
        code = bench.doors.codes["record"]
        yield f"The page at the bench: {there}"
        yield _qr(f"{there}join?code={in_groups(code)}")
        yield f"Phones on this network scan it to join, or type the address and the code {in_groups(code)}."
        yield f"The code for those who only look: {in_groups(bench.doors.codes['look'])}."
        if not how.secure:
            yield "Anyone on this network can read along: use a network you trust, or give --cert and --key."
    else:
        yield f"The page at the bench: {at.scheme}://{LOOPBACK}:{at.port}/ (this computer alone; --lan for phones)."
    yield f"To come in at this computer, once: {_owners(bench)}"
    yield "To stop: Ctrl-C."


def _owners(bench: Bench) -> str:
    return f"{bench.address.scheme}://{LOOPBACK}:{bench.address.port}/enter?key={bench.doors.key}"


def _qr(address: str) -> str:
    from labels.layout import Tag
    from labels.picture import text

    return text(Tag(address, "join"))


def _address(how: Serving, port: int) -> Address:
    names = [*LOCAL_NAMES, *how.names]
    if how.lan:
        host = socket.gethostname()
        names += [_own_address(), host, f"{host.partition('.')[0]}.local"]
    usual = port == (443 if how.secure else 80)
    known = {f"{name.lower()}:{port}" for name in names} | ({name.lower() for name in names} if usual else set())
    return Address(EVERYWHERE if how.lan else LOOPBACK, port, frozenset(known), how.secure)


def _own_address() -> str:
    """This computer's address on the network it would send by; that of the computer alone where there is no network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect((NO_ADDRESS, 9))
            return str(asked.getsockname()[0])
        except OSError:
            return LOOPBACK


def _check_tls(how: Serving) -> None:
    if how.cert is None and how.key is None:
        return
    if how.cert is None or how.key is None:
        raise UsageProblem("--cert and --key together", "one of them", "The certificate and its key are two files")
    import ssl

    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(how.cert, how.key, password="")
    except (OSError, ValueError) as error:
        found = getattr(error, "reason", None) or getattr(error, "strerror", None) or str(error)
        raise UsageProblem("a certificate and its key, in PEM and without a password", str(found).lower()) from error


def _sound(bench: Bench) -> None:
    """Open the book once before anybody comes, so that what is wrong with it is said in the terminal; no book at all is no
    fault, since the page makes one. Raises as opening does."""
    try:
        bench.open()
    except GraftbookError as error:
        if not no_book(error):
            raise


def _listen(host: str, port: int | None) -> socket.socket:
    wanted = range(PORT, PORT + 20) if port is None else (port,)
    for each in wanted:
        taken = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            taken.bind((host, each))
            taken.listen(128)
        except OSError as error:
            taken.close()
            if port is not None:
                raise UsageProblem(
                    "a port that is free", f"{port}: {error.strerror}", "Name another with --port"
                ) from error
            continue
        return taken
    raise CannotWrite(f"no port from {PORT} to {PORT + 19} is free", "", "Name one with --port")


def _open(address: str) -> None:
    """Open the browser; a computer without one is no fault."""
    import webbrowser
    from threading import Thread

    def opened() -> None:
        try:
            webbrowser.open(address)
        except (OSError, webbrowser.Error):
            return

    Thread(target=opened, daemon=True).start()
