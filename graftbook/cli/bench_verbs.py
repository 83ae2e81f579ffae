"""bench: the page for phones and for people who never see a terminal."""

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
) -> None:
    """Serve the page at the bench on this computer, and open it in the browser, until it is stopped with Ctrl-C.

    Example:

        graftbook bench --port 8020 --no-browser
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

    serving.serve(ctx.obj, port=port, browser=not no_browser, say=lambda line: say(line))
