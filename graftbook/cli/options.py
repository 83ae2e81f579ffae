"""Options that mean one thing in every verb."""

from pathlib import Path
from typing import Annotated

import typer

On = Annotated[str | None, typer.Option("--on", metavar="DATE", help="When it happened (default: today).")]
AsOf = Annotated[str | None, typer.Option("--as-of", metavar="DATE", help="Up to which day to look (default: today).")]
Who = Annotated[str | None, typer.Option("--who", metavar="NAME", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", metavar="TEXT", help="Anything else worth keeping.")]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]
Csv = Annotated[bool, typer.Option("--csv", help="Print CSV.")]
Place = Annotated[str | None, typer.Option("--place", metavar="PLACE", help="Where it stands.")]
Yes = Annotated[bool, typer.Option("--yes", help="Do not ask.")]
Out = Annotated[Path | None, typer.Option("-o", "--output", metavar="FILE", help="Where to write.")]
Limit = Annotated[int, typer.Option("--limit", min=1, max=1_000_000, help="At most so many rows.")]
