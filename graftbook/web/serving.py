"""Starting the bench: a port taken, the address said, the browser opened, and the server run until it is stopped."""

from __future__ import annotations

import socket
from collections.abc import Callable
from typing import Any

from graftbook.actions.desk import desk as desks
from graftbook.errors import CannotWrite, GraftbookError, UsageProblem
from graftbook.web.bench import Address, Bench
from graftbook.web.doors import Doors
from graftbook.web.kept import Members
from graftbook.web.site import make_site

PORT = 8017
"""Taken where none is named, or the next ones that are free."""
LOOPBACK = "127.0.0.1"


def serve(
    location: str | None,
    *,
    port: int | None,
    browser: bool,
    say: Callable[[str], None],
    stop: Callable[[Any], None] | None = None,
) -> None:
    """Serve the book at a location on this computer alone until it is stopped.

    `port` None takes the first free one from PORT on; `say` gets the lines for the terminal; `stop` gets the server before it
    runs, for who would end it. Raises UsageProblem for a port that is taken.
    """
    import uvicorn

    taken = _listen(LOOPBACK, port)
    at = Address(LOOPBACK, taken.getsockname()[1], frozenset())
    where = location if location is not None else desks.default_location()
    try:
        bench = Bench(where, Doors(Members.of_book(where), lan=False), _named(at, ("127.0.0.1", "localhost", "[::1]")))
        _sound(bench)
        server = uvicorn.Server(uvicorn.Config(
            make_site(bench), log_level="warning", access_log=False, server_header=False, lifespan="off",
            timeout_graceful_shutdown=5,
        ))  # fmt: skip
        key = f"http://{LOOPBACK}:{at.port}/enter?key={bench.doors.key}"
        say(f"The page at the bench: http://{LOOPBACK}:{at.port}/ (this computer alone).")
        say(f"To come in, once: {key}")
        say("To stop: Ctrl-C.")
        if browser:
            _open(key)
        if stop is not None:
            stop(server)
        try:
            server.run(sockets=[taken])
        finally:
            bench.close()
    finally:
        taken.close()


def _named(at: Address, names: tuple[str, ...]) -> Address:
    usual = 443 if at.secure else 80
    with_port = {f"{name}:{at.port}" for name in names} | (set(names) if at.port == usual else set())
    return Address(at.host, at.port, frozenset(with_port), at.secure)


def _sound(bench: Bench) -> None:
    """Open the book once before anybody comes, so that what is wrong with it is said in the terminal; no book at all is no
    fault, since the page makes one. Raises as opening does."""
    from graftbook.web.bench import no_book

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
