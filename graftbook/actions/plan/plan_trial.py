"""A fair trial inside a plan: which grafts are made which way, drawn by lot within blocks, and what so many can show."""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import count
from graftbook.actions.desk.typed import whole
from graftbook.actions.plan import plan_cautions, plan_request
from graftbook.actions.plan.circumstances import PlanWords
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.trade import own_tables
from graftbook.errors import NoPlan, UsageProblem
from graftbook.fit.blocks import TrialDesign, TrialUnit, randomise
from graftbook.fit.plan_facts import Pair, Possible
from graftbook.stats.power import TrialPower, trial_power
from graftbook.units import show_range

FACTORS = ("method", "date", "tie", "buds")

MOST_WAYS = 6

LARGEST_SEED = 1_000_000_000


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


def read(desk: Desk, text: str, seed: int | None) -> Trial:
    """A comparison from words such as `method=cleft,whip-and-tongue`; `seed` None draws a new one. Raises UsageProblem."""
    factor, found, rest = text.partition("=")
    factor = factor.strip().casefold()
    parts = [part.strip() for part in rest.split(",") if part.strip()]
    if not found or factor not in FACTORS:
        raise UsageProblem(f"{', '.join(FACTORS)} and two ways of it, such as method=cleft,whip-and-tongue", repr(text))
    with desk.book.read() as session:
        ways = tuple(dict.fromkeys(_way(desk, session, factor, part) for part in parts))
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
        return _open_to_all(plan_request.ask(desk, session, words, methods, every_method=True), trial)
    if trial.factor == "date":
        if words.on is not None:
            raise UsageProblem("the days either to compare or with --on", "both")
        return plan_request.ask(desk, session, replace(words, on=min(trial.ways)))
    if trial.factor == "buds":
        most = max(int(way) for way in trial.ways)
        plain = plan_request.methods_meant(session, words)
        return plan_request.ask(
            desk, session, words, [replace(m, buds_min=most, buds_default=most) for m in plain if not m.is_bud]
        )
    return plan_request.ask(desk, session, words)


def _open_to_all(asked: Asked, trial: Trial) -> Asked:
    """One possible graft for each pair of kinds that all ways suit, with the mean of their chances and the worst of their
    joints; pairs that some way does not suit stay open to the others and are not in the trial."""
    by_pair: dict[tuple[str, str], list[Possible]] = defaultdict(list)
    for each in asked.question.possible:
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
    return replace(asked, question=replace(asked.question, possible=tuple(found)))


def assign(
    session: Session, trial: Trial, rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair], unit: str
) -> tuple[str, ...]:
    """Draw the ways by lot within blocks and put them into the rows; what was drawn, in whole sentences.

    Raises NoPlan where no block can be made.
    """
    allowed = _ways_open(session, trial, rows, asked, pairs)
    several = trial.factor != "method" and len({pair.method for pair in pairs}) > 1
    units = [
        TrialUnit(str(row["line"]), *_stratum(asked, pair, several, unit), tuple(ways))
        for row, pair, ways in zip(rows, pairs, allowed, strict=True)
    ]
    drawn = randomise(units, trial.ways, trial.seed)
    if not drawn.assignments:
        raise NoPlan(
            f"no {len(trial.ways)} grafts of one bundle on stocks alike suit every way of {trial.text}",
            next_step="Nearest: plan without --compare, or with more sticks of one bundle or more stocks of one size",
        )
    for lot in drawn.assignments:
        at = int(lot.unit.key) - 1
        name = f"{lot.block}: {', '.join(part for part in (lot.unit.bundle, lot.unit.size_class) if part)}"
        _put(trial, rows[at], lot.arm, name, asked, pairs[at])
    return tuple(_sentences(trial, rows, drawn))


def _stratum(asked: Asked, pair: Pair, several: bool, unit: str) -> tuple[str, str]:
    """What else differs most: the bundle (and the method, where that is not compared) and the stock's class of thickness."""
    size = asked.hosts.kinds[asked.host_kinds[pair.host]].diameter_mm
    bundle = asked.wood.bundles[pair.stick].code
    words = "size not known" if size is None else show_range(*size, unit)
    return bundle, f"{words}, {pair.method}" if several else words


def _ways_open(
    session: Session, trial: Trial, rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair]
) -> list[Sequence[str]]:
    """The ways that suit each row."""
    if trial.factor == "method":
        chances = asked.allowed.chances
        kinds = [(pair.cut.kind, asked.host_kinds[pair.host]) for pair in pairs]
        return [[way for way in trial.ways if (*kind, way) in chances] for kind in kinds]
    if trial.factor == "date":
        goes = {way: plan_cautions.go_on(session, asked, pairs, date.fromisoformat(way)) for way in trial.ways}
        return [[way for way in trial.ways if goes[way][at]] for at in range(len(rows))]
    if trial.factor == "buds":
        return [[way for way in trial.ways if int(way) <= row["buds"]] for row in rows]
    return [trial.ways] * len(rows)


def _put(trial: Trial, row: dict[str, Any], way: str, block: str, asked: Asked, pair: Pair) -> None:
    row["block"], row["treatment"] = block, way
    if trial.factor == "buds":
        row["buds"] = int(way)
        row["treatment"] = count(int(way), "bud")
    if trial.factor == "method":
        key = pair.cut.kind, asked.host_kinds[pair.host], way
        chance, share = asked.allowed.chances[key], asked.allowed.possible[key].share
        row |= {
            "method": way,
            "chance": round(chance.value, 6),
            **chance.columns,
            "joint_share": share and round(share, 4),
        }


def _sentences(trial: Trial, rows: list[dict[str, Any]], drawn: TrialDesign) -> Iterator[str]:
    made = ", ".join(f"{number} {way}" for way, number in zip(trial.ways, drawn.counts, strict=True))
    lots = count(len(drawn.assignments), "graft")
    yield (f"Drawn by lot with seed {trial.seed}: {lots} in {count(drawn.blocks, 'block')}, each way once in every block, within "
           f"bundle and stock size ({made}).")  # fmt: skip
    for _key, why in drawn.outside[:3]:
        yield f"Line {why}"
    if len(drawn.outside) > 3:
        yield f"{count(len(drawn.outside) - 3, 'more line')} outside the trial, made as the plan has it."
    first = next(row["chance"] for row in rows if row.get("block") is not None)
    yield from _power_words(trial_power(drawn.counts, first))
    asked = trial.text if trial.factor != "date" else f"'on<{max(trial.ways)}'"
    yield f"Afterwards, within the blocks kept with each graft: graftbook take compare {asked}."


def _power_words(able: TrialPower) -> Iterator[str]:
    """What so many grafts could show, in plain words, before the day."""
    other = able.rate - able.of_interest
    ends = [f"{able.down_to:.0%} or less"] if able.down_to is not None else []
    ends += [f"{able.up_to:.0%} or more"] if able.up_to is not None else []
    rate, sure = f"{able.rate:.0%}", f"{able.power:.0%}"
    if ends:
        apart = f"{able.a_side} a way would tell {rate} from {' and from '.join(ends)} with a chance of {sure}"
        yield f"{apart}; closer ones may stay hidden."
    else:
        yield f"{able.a_side} a way would tell no difference from {rate} at all with a chance of {sure}."
    sooner = f"{rate} against {other:.0%} would be told apart with a chance of {able.chance:.0%}"
    yield f"{sooner}." if able.chance >= able.power else f"{sooner} only; {able.needed} a way would make it {sure}."
