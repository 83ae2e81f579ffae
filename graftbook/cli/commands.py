"""Which file holds which verb, in the order help lists them."""

import typer

from graftbook.cli import book_verbs


def add_to(app: typer.Typer) -> None:
    """Hang every verb on the app."""
    book_verbs.add_to(app)
