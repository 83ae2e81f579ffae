"""A fair trial inside a plan: which grafts are made which way, drawn by lot within blocks, and what so many can show."""

from __future__ import annotations

import random
import secrets
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlmodel import Session

from graftbook.actions import own_tables, plan_ask, plan_minds
from graftbook.actions.desk import Desk
from graftbook.actions.plan_ask import Asked, PlanWords
from graftbook.actions.plant_words import whole
from graftbook.actions.results import count
from graftbook.errors import NoPlan, UsageProblem
from graftbook.fit.plan_facts import Pair, Possible
from graftbook.stats.power import needed_a_side, shown_by
from graftbook.units import show_range

FACTORS = ("method", "date", "tie", "buds")
MOST_WAYS = 6
LARGEST_SEED = 1_000_000_000
POWER = 0.8
# A difference worth knowing, for which the number needed is told beside what this trial can show.
WORTH_KNOWING = 0.15


@dataclass(frozen=True)
class Trial:
    """A comparison as asked: the ways as they are kept, and the seed by which they are drawn."""

    factor: str
    ways: tuple[str, ...]
    seed: int

    @property
    def text(self) -> str:
        """`method=cleft,whip-and-tongue`."""
        return f"{self.factor}={','.join(self.ways)}"


@dataclass(frozen=True)
class Split:
    """What was drawn, in whole sentences."""

    notes: tuple[str, ...]


def read(desk: Desk, text: str, seed: int | None) -> Trial:
    """A comparison from words such as `method=cleft,whip-and-tongue`; `seed` None draws a new one. Raises UsageProblem."""
    factor, found, rest = text.partition("=")
    factor = factor.strip().casefold()
    said = [part.strip() for part in rest.split(",") if part.strip()]
    if not found or factor not in FACTORS:
        raise UsageProblem(f"{', '.join(FACTORS)} and two ways of it, such as method=cleft,whip-and-tongue", repr(text))
    with desk.book.read() as session:
        ways = tuple(dict.fromkeys(_way(desk, session, factor, part) for part in said))
    if not 2 <= len(ways) <= MOST_WAYS:
        raise UsageProblem(f"from 2 to {MOST_WAYS} different ways to compare", f"{len(ways)} in {text!r}")
    if seed is not None and not 0 <= seed <= LARGEST_SEED:
        raise UsageProblem(f"a seed from 0 to {LARGEST_SEED:,}", str(seed))
    return Trial(factor, ways, secrets.randbelow(LARGEST_SEED) if seed is None else seed)


def _way(desk: Desk, session: Session, factor: str, text: str) -> str:
    if factor == "method":
        return own_tables.method_named(session, text).method
    if factor == "date":
        return desk.day(text, future=True).isoformat()
    if factor == "buds":
        return str(whole(text, "the buds on a scion", 1, 3))
    return text[:200]


def ask(desk: Desk, session: Session, words: PlanWords, trial: Trial) -> Asked:
    """The question of a plan whose grafts can be made by every way, where they can. Raises UsageProblem for words that speak
    of the same thing twice."""
    if trial.factor == "method":
        if words.method is not None:
            raise UsageProblem("the methods either to compare or with --method", "both")
        methods = [own_tables.method_named(session, way) for way in trial.ways]
        return _open_to_all(plan_ask.ask(desk, session, words, methods, every_method=True), trial)
    if trial.factor == "date":
        if words.on is not None:
            raise UsageProblem("the days either to compare or with --on", "both")
        return plan_ask.ask(desk, session, replace(words, on=min(trial.ways)))
    if trial.factor == "buds":
        most = max(int(way) for way in trial.ways)
        plain = plan_ask.methods_meant(session, words)
        return plan_ask.ask(
            desk, session, words, [replace(m, buds_min=most, buds_default=most) for m in plain if not m.is_bud]
        )
    return plan_ask.ask(desk, session, words)


def _open_to_all(asked: Asked, trial: Trial) -> Asked:
    """One possible graft for each pair of kinds that all ways suit, with the mean of their chances and the worst of their
    joints; pairs that some way does not suit stay open to the others and are not in the trial."""
    by_pair: dict[tuple[str, str], list[Possible]] = defaultdict(list)
    for each in asked.allowed.possible:
        by_pair[each.piece, each.host].append(each)
    found = []
    for ways in by_pair.values():
        if len(ways) == len(trial.ways):
            shares = [way.share for way in ways if way.share is not None]
            first = next(way for way in ways if way.method == trial.ways[0])
            chance = sum(way.chance for way in ways) / len(ways)
            found.append(replace(first, chance=chance, share=min(shares) if shares else None))
        else:
            found.append(max(ways, key=lambda way: (way.chance, way.share or 0.0)))
    allowed = replace(asked.allowed, possible=tuple(found))
    open_pairs = frozenset(pair for pair, ways in by_pair.items() if len(ways) == len(trial.ways))
    return replace(
        asked, allowed=allowed, question=replace(asked.question, possible=tuple(found)), open_to_all=open_pairs
    )


def assign(
    session: Session, trial: Trial, rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair], unit: str
) -> Split:
    """Draw the ways by lot within blocks and put them into the rows. Raises NoPlan where no block can be made."""
    blocks = _blocks(_may_join(session, trial, rows, asked, pairs), rows, asked, pairs, len(trial.ways), unit)
    if not blocks:
        raise NoPlan(
            f"{len(trial.ways)} grafts of one bundle on stocks alike that every way of {trial.text} suits", "none",
            "Nearest: plan without --compare, or with more sticks of one bundle or more stocks of one size",
        )  # fmt: skip
    lot = random.Random(trial.seed)
    drawn = 0
    for name, places in blocks:
        kept = places if len(places) % len(trial.ways) == 0 else sorted(lot.sample(places, _whole(places, trial)))
        ways = list(trial.ways) * (len(kept) // len(trial.ways))
        lot.shuffle(ways)
        for place, way in zip(kept, ways, strict=True):
            _put(trial, rows[place], way, name, asked, pairs[place])
        drawn += len(kept)
    return Split(tuple(_said(trial, rows, drawn, len(blocks))))


def _whole(places: Sequence[int], trial: Trial) -> int:
    return len(places) // len(trial.ways) * len(trial.ways)


def _may_join(
    session: Session, trial: Trial, rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair]
) -> list[int]:
    """Places of the rows that every way suits."""
    if trial.factor == "method":
        return [
            at for at, pair in enumerate(pairs) if (pair.cut.kind, asked.host_kinds[pair.host]) in asked.open_to_all
        ]
    if trial.factor == "date":
        return plan_minds.go_on_days(session, asked, pairs, trial.ways)
    if trial.factor == "buds":
        most = max(int(way) for way in trial.ways)
        return [at for at, row in enumerate(rows) if row["buds"] == most]
    return list(range(len(rows)))


def _blocks(
    places: Sequence[int], rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair], ways: int, unit: str
) -> list[tuple[str, list[int]]]:
    """Rows of one bundle on stocks of one class of thickness (and by one method, unless methods are compared), where there
    are enough of them for every way; a block's name and the places of its rows."""
    by: dict[tuple[str, Any, str], list[int]] = defaultdict(list)
    several = len({pairs[at].method for at in places}) > 1
    for at in places:
        kind = asked.hosts.kinds[asked.host_kinds[pairs[at].host]]
        by[asked.wood.bundles[pairs[at].stick].code, kind.diameter_mm, pairs[at].method if several else ""].append(at)
    found = []
    for (bundle, size, method), held in by.items():
        words = "size not known" if size is None else show_range(*size, unit)
        if len(held) >= ways:
            found.append((" ".join(part for part in (f"{bundle}, {words}", method) if part), held))
    return found


def _put(trial: Trial, row: dict[str, Any], way: str, block: str, asked: Asked, pair: Pair) -> None:
    row["block"], row["treatment"] = block, way
    if trial.factor == "buds":
        row["buds"] = int(way)
        row["treatment"] = count(int(way), "bud")
    if trial.factor == "method":
        chance = asked.allowed.chances[pair.cut.kind, asked.host_kinds[pair.host], way]
        row |= {"method": way, "chance": round(chance.value, 6), "basis": chance.basis, "basis_words": chance.words[:200],
                "k": chance.k, "n": chance.n,
                "joint_share": asked.allowed.shares.get((pair.cut.kind, asked.host_kinds[pair.host], way))}  # fmt: skip


def _said(trial: Trial, rows: list[dict[str, Any]], drawn: int, blocks: int) -> Iterator[str]:
    made = Counter(row["treatment"] for row in rows if row.get("block") is not None)
    a_side = min(made.values())
    ways = ", ".join(f"{number} {way}" for way, number in sorted(made.items()))
    yield (f"Drawn by lot with seed {trial.seed}: {count(drawn, 'graft')} in {count(blocks, 'block')} within bundle and stock size "
           f"({ways}).")  # fmt: skip
    if len(rows) > drawn:
        yield f"{count(len(rows) - drawn, 'graft')} of the plan stand outside it: no full block, or a way that does not suit."
    first = next(row["chance"] for row in rows if row.get("block") is not None)
    gap = shown_by(a_side, first, POWER)
    least = max(first - WORTH_KNOWING, 0.01)
    need = needed_a_side(first, least, POWER)
    if gap is None:
        yield f"{a_side} a way would show no difference at all with a chance of {POWER:.0%}."
    else:
        yield (f"{a_side} a way would show {first:.0%} apart from {max(first - gap, 0):.0%} or less with a chance of "
               f"{POWER:.0%}; a smaller difference would likely stay hidden.")  # fmt: skip
    yield f"To tell {first:.0%} from {least:.0%}, {need} a way are needed (Fleiss' formula with its correction, two-sided at 0.05)."
    asked = trial.text if trial.factor != "date" else f"'on<{max(trial.ways)}'"
    yield f"Afterwards, within the blocks kept with each graft: graftbook take compare {asked}."
