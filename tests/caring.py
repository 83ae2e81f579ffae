"""Grafts, rules and rounds for tests of aftercare, in short words."""

from dataclasses import replace
from datetime import date, timedelta

from graftbook.season.aftercare import CareRound
from graftbook.season.care_facts import GraftFacts
from graftbook.trade import aftercare, schema

TABLE = aftercare.rules()
MADE = date(2027, 3, 20)
GRAFT = GraftFacts("G1", "whip-and-tongue", "graft", MADE)
BUD = GraftFacts("G2", "chip-bud", "bud", date(2026, 8, 10))
SOUTH_BUD = replace(BUD, made_on=date(2027, 2, 10))


def due(graft, rules, on, hemisphere, **options):
    return CareRound(rules, on, hemisphere, **options).due(graft)


def on_day(days, graft=GRAFT, hemisphere="north", rules=TABLE, **options):
    return due(graft, rules, graft.made_on + timedelta(days=days), hemisphere, **options)


def whats(items):
    return {item.what for item in items}


def looked(days, state, graft=GRAFT, **changes):
    on = graft.made_on + timedelta(days=days)
    return replace(graft, state=state, state_on=on, last_look_on=on, **changes)


def cared(*cares, graft=GRAFT):
    return replace(graft, cares=tuple((graft.made_on + timedelta(days=days), what) for days, what in cares))


def own(rule, after, **cells):
    blank = dict.fromkeys(schema.table("aftercare").header(), "")
    return aftercare.from_row(
        {**blank, "key": f"mine-{rule}", "rule": rule, "unit": "graft", "after_from": str(after), "words": "Mine.",
         "basis": "own", "source": "my notes", **cells}
    )  # fmt: skip
