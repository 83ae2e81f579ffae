"""bench: the page for phones and for people who never see a terminal."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.grouping import app
from graftbook.cli.options import option
from graftbook.cli.shared import say
from graftbook.errors import UsageProblem


@app.command()
def bench(
    ctx: typer.Context,
    port: Annotated[
        int | None,
        option("--port", "The port to serve at (default: the first free one from 8017 on).", min=0, max=65535),
    ] = None,
    no_browser: Annotated[bool, option("--no-browser", "Do not open the browser, only print the address.")] = False,
    lan: Annotated[bool, option("--lan", "Serve the network, so that phones can join.")] = False,
    cert: Annotated[Path | None, option("--cert", "Your own certificate, for HTTPS.", "FILE")] = None,
    key: Annotated[Path | None, option("--key", "The key of the certificate.", "FILE")] = None,
    name: Annotated[
        list[str] | None, option("--name", "A name this computer goes by on the network; may be given twice.", "NAME")
    ] = None,
) -> None:
    """Serve the page at the bench, and open it in the browser, until it is stopped with Ctrl-C.

    It serves this computer alone. With --lan phones on the network join by a code, which is shown here to scan.

    Example:

        graftbook bench

        graftbook bench --lan --port 8020
    """
    try:
        import itsdangerous  # noqa: F401
        import jinja2  # noqa: F401
        import python_multipart  # noqa: F401
        import starlette  # noqa: F401
        import uvicorn  # noqa: F401
    except ModuleNotFoundError as error:
        raise UsageProblem(
            "the libraries of the page", f"no module {error.name}", "Install them with: pip install 'graftbook[web]'"
        ) from error
    from graftbook.web import serving

    how = serving.Serving(port, lan, cert, key, tuple(name or ()), not no_browser)
    serving.serve(ctx.obj, how, lambda line: say(line))
