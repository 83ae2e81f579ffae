"""What a plan rests on, fetched from the book, and the question put to the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import code_list
from graftbook.actions.names import shown_names, where_alive
from graftbook.actions.plan import plan_hosts, plan_stages, plan_wood, want_counts, wants
from graftbook.actions.plan.circumstances import Circumstances, PlanWords
from graftbook.actions.plan.plan_chances import Chances
from graftbook.actions.plan.plan_hosts import Allowed, PlanHosts
from graftbook.actions.plan.plan_wood import PlanWood
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import plan_reserved
from graftbook.actions.wood.plan_reserved import Reserved
from graftbook.book import plan_queries as queries
from graftbook.book import wood_queries
from graftbook.book.plans import Want
from graftbook.errors import NoPlan, NotFound, UsageProblem
from graftbook.fit.plan_facts import PlanProblem, WantFact
from graftbook.trade.methods import Method

# Methods that are planned when nobody names any: for wood at rest, and for buds cut in summer.
FOR_DORMANT = ("whip-and-tongue", "splice", "cleft", "bark", "side-veneer")

FOR_SUMMER = ("chip-bud", "T-bud")


@dataclass(frozen=True)
class Asked:
    """Everything a plan rests on; `alone` are the cultivars of which nothing lives in this book but the wood, `kept`
    what other plans keep."""

    day: date
    wants: tuple[Want, ...]
    methods: tuple[Method, ...]
    wood: PlanWood
    hosts: PlanHosts
    allowed: Allowed
    question: PlanProblem
    notes: tuple[str, ...] = ()
    alone: frozenset[str] = frozenset()
    kept: Reserved = field(default_factory=Reserved)

    @cached_property
    def host_kinds(self) -> dict[str, str]:
        """The kind of every host, by its code."""
        return {host.key: host.kind for host in self.question.hosts}


def ask(
    desk: Desk, session: Session, words: PlanWords, methods: Sequence[Method] | None = None, every_method: bool = False
) -> Asked:
    """The question of a plan. `methods` None means as the words say; with `every_method` pieces go by each that suits them.

    Raises NotFound for wants there are not, NoPlan where the book holds nothing to plan with.
    """
    _check(words)
    day = desk.day(words.on, future=True)
    open_wants = tuple(wants_meant(session, words.wants))
    chosen = tuple(_methods(session, words.method, open_wants) if methods is None else methods)
    if not chosen:
        raise UsageProblem("at least one method that puts on a scion", "none")
    around = Circumstances(words, chosen, day, usual=words.method is None and methods is None)
    labels = want_labels(session, open_wants)
    kept = plan_reserved.reserved(session, desk.today, day)
    wood = plan_wood.gather(session, labels.values(), around, kept)
    hosts = plan_hosts.gather(session, around, desk.settings.units, kept)
    chances = Chances.of_book(desk, session, min(day, desk.today), day)
    allowed = plan_hosts.allowed(desk, session, wood, hosts, around, chances, every_method)
    had = want_counts.had(session, desk.settings.hemisphere, open_wants, min(day, desk.today))
    alone = _nowhere_else(session, labels.values(), min(day, desk.today))
    facts, notes = _facts(open_wants, labels, had, session, chances, _last(wood, alone, open_wants, labels))
    things = tuple(wood.sticks), tuple(hosts.facts), tuple(allowed.possible.values()), facts
    spare = _share(words.spare, "--spare")
    question = PlanProblem(*things, words.hold_back, words.sure, words.seconds, spare=spare)
    return Asked(day, open_wants, chosen, wood, hosts, allowed, question, notes, alone, kept)


def _nowhere_else(session: Session, labels: Iterable[str], day: date) -> frozenset[str]:
    """The cultivars, of those wanted, of which nothing lives: what wood there is of them is all there is in this book."""
    living = {naming.key(home.cultivar) for home in where_alive.homes(session, day).of.values() if home.living}
    return frozenset(label for label in labels if naming.key(label) not in living)


def _last(wood: PlanWood, alone: Collection[str], open_wants: Sequence[Want], labels: Mapping[int, str]) -> set[int]:
    """The wants whose wood is the last of its kind: nothing of it lives, and it was cut here or it must live."""
    cut_here = {
        stick.label for stick in wood.sticks
        if wood.bundles[stick.key].cut_plant_id is not None or wood.bundles[stick.key].cut_graft_id is not None
    }  # fmt: skip
    return {
        want.number
        for want in open_wants
        if labels[want.number] in alone and (want.living or labels[want.number] in cut_here)
    }


def _share(text: str | None, option: str) -> float:
    """A share as typed, `10%` or `0.1`, from 0 to 1; 0 where none was. Raises UsageProblem."""
    if text is None:
        return 0.0
    share = plan_stages.share(text)
    if share is None or not 0 <= share <= 1:
        raise UsageProblem(f"a share from 0 to 100% with {option}, such as 10%", repr(text))
    return share


def methods_meant(session: Session, words: PlanWords) -> list[Method]:
    """The methods of a plan, as named or the usual ones for its wood. Raises as ask."""
    return _methods(session, words.method, wants_meant(session, words.wants))


def _check(words: PlanWords) -> None:
    if not 0 <= words.hold_back <= 1000:
        raise UsageProblem("from 0 to 1000 buds held back", str(words.hold_back))
    if not 0 < words.sure <= 1:
        raise UsageProblem("a chance above 0 and up to 1 at which a must-have is safe, such as 0.95", f"{words.sure:g}")
    if not 0 < words.seconds <= 36_000:
        raise UsageProblem("a time limit above 0 seconds", f"{words.seconds:g}")


def wants_meant(session: Session, text: str | None) -> list[Want]:
    """The wants a person means, by number, or every open one. Raises NotFound, Refused for ended ones, NoPlan for none."""
    if text is None:
        found = queries.wants(session)
        if not found:
            raise NoPlan(
                "nothing is wanted: the book has no open want",
                next_step="Say what is wanted: graftbook want add 'Stoneway Pearmain' 3 --living 2 --priority 1",
            )
        return found
    numbers = wants.read_numbers(text)
    held = {want.number: want for want in queries.wants(session, numbers, standing=False)}
    missing = [str(number) for number in numbers if number not in held]
    if missing:
        raise NotFound(f"no want {', '.join(missing)}", "", "List them with: graftbook want list")
    meant = [held[number] for number in numbers]
    wants.refuse_ended(meant)
    return meant


def want_labels(session: Session, open_wants: Sequence[Want]) -> dict[int, str]:
    """The name that each want goes by in a plan, by its number: the preferred one, so that wood of either name will do."""
    known = naming.Cultivars.of(session)
    return {want.number: known.name(want.cultivar).kept for want in open_wants}


def _methods(session: Session, text: str | None, open_wants: Sequence[Want]) -> list[Method]:
    if text is not None:
        named = [own_tables.method_named(session, name) for name in text.split(",") if name.strip()]
        return list({method.method: method for method in named}.values())
    names = {naming.key(name) for name in want_labels(session, open_wants).values()}
    bundles = wood_queries.bundles(session)
    called = shown_names.surely(session, bundles)
    kinds = {bundle.wood_kind for bundle in bundles if naming.key(called[bundle.id] or "") in names}
    usual = (FOR_DORMANT if kinds != {"summer"} else ()) + (FOR_SUMMER if "summer" in kinds else ())
    known = own_tables.all_methods(session)
    return [known[name] for name in usual if name in known]


def _facts(
    open_wants: Sequence[Want],
    labels: Mapping[int, str],
    had: Mapping[int, want_counts.Had],
    session: Session,
    chances: Chances,
    last: Collection[int],
) -> tuple[tuple[WantFact, ...], tuple[str, ...]]:
    known, facts, notes = own_tables.all_methods(session), [], []
    for want in open_wants:
        living, counted = _already(had[want.number], known, chances)
        facts.append(WantFact(
            str(want.number), labels[want.number], want.trees, want.living or 0, want.sites, want.priority,
            (want.clone,) if want.clone else (), tuple(sorted(living.items())), want.number in last and not living,
        ))  # fmt: skip
        waiting = tuple(graft.row.code for graft in had[want.number].grafts if graft.outcome == "waiting")
        if waiting:
            one = len(waiting) == 1
            notes.append(f"Of want {want.number}, {code_list(waiting)} {'is' if one else 'are'} made and not decided: counted as "
                         f"{counted} living, by the chance of each.")  # fmt: skip
    return tuple(facts), tuple(notes)


def _already(had: want_counts.Had, known: Mapping[str, Method], chances: Chances) -> tuple[Counter[str], int]:
    """Living by site, and how many of those not decided were counted in: the sum of their chances on a site, rounded down."""
    living = Counter(graft.site for graft in had.grafts if graft.outcome == "yes")
    hoped: dict[str, float] = {}
    for graft in had.grafts:
        if graft.outcome == "waiting":
            method = known.get(graft.row.method)
            value = chances.of(graft.row.taxon or "", method).value if method is not None else 0.5
            hoped[graft.site] = hoped.get(graft.site, 0.0) + value
    counted = {site: int(value + 1e-9) for site, value in hoped.items()}
    living.update({site: number for site, number in counted.items() if number})
    return living, sum(counted.values())
