"""plan need: back from orders to grafts, sticks and stocks by grade, against what is in store."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.names import shown_names
from graftbook.actions.plan import need_lots, need_words, plan_request, plan_stages, want_counts
from graftbook.actions.plan.need_rows import NeedOrder, NeedRow, StandingRow
from graftbook.actions.trade import own_tables
from graftbook.book import limits, wood_queries
from graftbook.book.plans import Want
from graftbook.errors import NoPlan, UsageProblem
from graftbook.fit.need import StageRate
from graftbook.trade import taxa

if TYPE_CHECKING:
    from graftbook.fit.need_store import LineNeed

USUAL_BUDS = 2


@dataclass(frozen=True)
class NeedWords:
    """What is asked; None means not said. `trees` of `cultivar` are an order by themselves; without `trees` every open want
    is one (`wants`: only these). `grade` lists the grades of stocks that will do, the best liked first; `standing` what stands
    already of an order, `flat` the grower's own percentage, to be set beside."""

    trees: int | None = None
    cultivar: str | None = None
    wants: str | None = None
    through: str | None = None
    stock: str | None = None
    grade: str | None = None
    buds: int = USUAL_BUDS
    sure: float = 0.9
    as_of: str | None = None
    standing: str | None = None
    flat: str | None = None


def need(desk: Desk, words: NeedWords) -> Report:
    """What orders need beside what stands of them. Stages not named are those that this book has counted, with their ranges.

    Raises UsageProblem for what cannot be asked or where no rate is known, NoPlan where nothing is ordered.
    """
    from graftbook.fit.need import apportioned
    from graftbook.fit.need_store import OrderLine, StoreStocks, against_store

    _check(words)
    day = desk.day(words.as_of, future=True)
    with desk.book.read() as session:
        orders = _orders(desk, session, words, min(day, desk.today))
        lots = need_lots.lots(session, day, need_lots.grades(desk, words.grade), desk.settings.units)
        own = own_tables.own_pairs(session)
        grafts = apportioned([order.need.exact for order in orders])
        lines = [
            OrderLine(order.cultivar, number, words.buds, need_lots.will_do(order, lots, own), order.priority)
            for order, number in zip(orders, grafts, strict=True)
        ]
        every = words.trees is not None and words.cultivar is None
        wood = need_lots.wood(session, {order.cultivar for order in orders}, words.buds, every)
    found = against_store(lines, [StoreStocks(lot.name, lot.number) for lot in lots], wood)
    kind = StandingRow if any(order.need.standing for order in orders) else NeedRow
    rows = tuple(
        _row(kind, order, number, line, words.buds) for order, number, line in zip(orders, grafts, found, strict=True)
    )
    steps = [{"stage": step.name, "rate": step.rate, "low": step.low} for step in orders[0].need.steps]
    facts = {"as_of": day, "sureness": words.sure, "grafts": sum(grafts), "standing": sum(row.standing for row in rows),
             "gives": round(sum(row.gives for row in rows), 1), "short": round(sum(row.short for row in rows), 1),
             "by_stock": _by_stock(found), "through": steps}  # fmt: skip
    trees, more = count(sum(row.trees for row in rows), "tree"), " more" if facts["standing"] else ""
    title = f"For {trees}: {count(sum(grafts), 'graft')}{more}, scions of {count(words.buds, 'bud')}"
    return Report(kind, rows, tuple(need_words.notes(orders, rows, lots)), facts, title=title)


def _check(words: NeedWords) -> None:
    least, most = limits.bounds(Want, "trees")
    if words.trees is not None and not least <= words.trees <= most:
        raise UsageProblem(f"an order from {least} to {most:,} trees", f"{words.trees:,}")
    if words.trees is None and words.cultivar is not None:
        raise UsageProblem("a cultivar together with --trees", "the cultivar alone", "Or leave it out for all wants")
    if words.trees is not None and words.wants is not None:
        raise UsageProblem("either --trees or --wants", "both")
    if words.standing is not None and words.trees is None:
        raise UsageProblem(
            "--standing together with --trees", "--standing alone", "Of wants the book knows what stands"
        )
    if not 1 <= words.buds <= 20:
        raise UsageProblem("from 1 to 20 buds a scion", str(words.buds))
    if not 0 < words.sure < 1:
        raise UsageProblem("a chance of meeting the order between 0 and 1, such as 0.9", f"{words.sure:g}")


def _orders(desk: Desk, session: Session, words: NeedWords, as_of: date) -> list[NeedOrder]:
    clone = naming.clone(words.stock).kept if words.stock else None
    bundles = wood_queries.bundles(session)
    called = shown_names.surely(session, bundles)
    kinds = {naming.key(called[bundle.id] or ""): bundle.taxon for bundle in bundles}
    stages = _stages_of(desk, session, words, as_of)
    flat = None if words.flat is None else _flat(words.flat)
    if words.trees is not None:
        name = naming.Cultivars.of(session).name(words.cultivar).kept if words.cultivar else "all"
        taxon = kinds.get(naming.key(name))
        through = stages(taxon)
        stands = () if words.standing is None else plan_stages.standing(words.standing, through)
        return [NeedOrder(None, name, words.trees, clone, taxon, through, words.sure, 1, stands, flat)]
    wants = plan_request.wants_meant(session, words.wants)
    had = want_counts.had(session, desk.settings.hemisphere, wants, as_of)
    labels = plan_request.want_labels(session, wants)
    orders = []
    for want in sorted(wants, key=lambda want: (want.priority, want.number)):
        name = labels[want.number]
        taxon = want.taxon or kinds.get(naming.key(name))
        through = stages(taxon)
        stands = _stands(had[want.number], through)
        order = NeedOrder(
            want.number, name, want.trees, clone or want.clone, taxon, through, words.sure, want.priority, stands, flat
        )
        if order.need.short > 0:
            orders.append(order)
    if not orders:
        raise NoPlan("every want is met", "", "What stands gives all the trees wanted: graftbook want list")
    return orders


def _flat(text: str) -> float:
    share = plan_stages.share(text)
    if share is None:
        raise UsageProblem("a share to put on top with --flat, such as 15%", repr(text))
    return share


def _stands(had: want_counts.Had, stages: Sequence[StageRate]) -> list[int]:
    """What stands of a want by how many of the stages it has come through; a stage that looks cannot tell is still ahead."""
    names = [stage.name for stage in stages]
    found = [0] * (len(names) + 1)
    took = names.index("take") + 1 if "take" in names else 0
    grown = names.index("winter") + 1 if "winter" in names else took
    found[0] += had.waiting
    found[took] += had.alive - had.grown
    found[max(took, grown)] += had.grown
    return found


def _stages_of(
    desk: Desk, session: Session, words: NeedWords, as_of: date
) -> Callable[[str | None], tuple[StageRate, ...]]:
    """The stages of a kind: those named; where none is, those that this book has counted."""
    given = plan_stages.read(words.through) if words.through is not None else ()
    counted = plan_stages.counted(session, desk.settings.hemisphere, as_of)

    def stages(taxon: str | None) -> tuple[StageRate, ...]:
        kind = taxa.common_name(taxon)
        own = (counted.stage(name, kind) for name in plan_stages.OWN)
        found = given or tuple(stage for stage in own if stage is not None)
        if not found:
            raise UsageProblem(
                "a rate for at least one stage", "no graft in this book that took",
                "Name the stages: --through take=0.85,winter=0.96,grade=0.92",
            )  # fmt: skip
        return found

    return stages


def _row(kind: type[NeedRow], order: NeedOrder, grafts: int, line: LineNeed, buds: int) -> NeedRow:
    need, given = order.need, tuple(f"{number} {name}" for name, number in line.stocks)
    return kind(
        order.want, order.cultivar, order.trees, order.clone, grafts, need.sure_grafts, need.low_grafts,
        need.flat_grafts, round(need.flat_trees, 1), round(need.chance, 4), buds, line.sticks, line.sticks_short,
        line.buds_short, grafts, line.stocks_short, given, need.standing, round(need.gives, 1), round(need.short, 1),
    )  # fmt: skip


def _by_stock(found: Sequence[LineNeed]) -> list[dict[str, Any]]:
    """The stocks that are given, by rootstock and grade."""
    totals: Counter[str] = Counter()
    for line in found:
        totals.update(dict(line.stocks))
    return [{"stock": name, "stocks": number} for name, number in totals.most_common()]
