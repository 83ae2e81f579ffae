"""Which file holds which verb, in the order help lists them."""

import typer

from graftbook.cli import (
    book_verbs,
    collection_verbs,
    doctor_verbs,
    file_verbs,
    graft_verbs,
    match_verbs,
    name_verbs,
    people_verbs,
    plan_verbs,
    plant_verbs,
    prune_verbs,
    round_verbs,
    standing_verbs,
    tag_verbs,
    take_verbs,
    trace_verbs,
    trade_verbs,
    want_verbs,
    weather_verbs,
    wood_verbs,
)


def add_to(app: typer.Typer) -> None:
    """Hang every verb on the app."""
    book_verbs.add_to(app)
    plant_verbs.add_to(app)
    standing_verbs.add_to(app)
    prune_verbs.add_to(app)
    wood_verbs.add_to(app)
    want_verbs.add_to(app)
    match_verbs.add_to(app)
    plan_verbs.add_to(app)
    graft_verbs.add_to(app)
    round_verbs.add_to(app)
    tag_verbs.add_to(app)
    take_verbs.add_to(app)
    weather_verbs.add_to(app)
    name_verbs.add_to(app)
    trace_verbs.add_to(app)
    people_verbs.add_to(app)
    collection_verbs.add_to(app)
    trade_verbs.add_to(app)
    file_verbs.add_to(app)
    doctor_verbs.add_to(app)
