"""Which file holds which verb, in the order help lists them."""

import typer

from graftbook.cli import (
    book_verbs,
    file_verbs,
    graft_verbs,
    match_verbs,
    plan_verbs,
    plant_verbs,
    prune_verbs,
    round_verbs,
    tag_verbs,
    take_verbs,
    trade_verbs,
    want_verbs,
    wood_verbs,
)


def add_to(app: typer.Typer) -> None:
    """Hang every verb on the app."""
    book_verbs.add_to(app)
    plant_verbs.add_to(app)
    prune_verbs.add_to(app)
    wood_verbs.add_to(app)
    want_verbs.add_to(app)
    match_verbs.add_to(app)
    plan_verbs.add_to(app)
    graft_verbs.add_to(app)
    round_verbs.add_to(app)
    tag_verbs.add_to(app)
    take_verbs.add_to(app)
    trade_verbs.add_to(app)
    file_verbs.add_to(app)
