"""plan need: back from orders to grafts, sticks and stocks by grade, against what is in store."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import alive
from graftbook.actions.plan import plan_request, plan_stages, want_counts
from graftbook.actions.trade import own_tables
from graftbook.book import limits, wood_queries
from graftbook.book.balances import balances
from graftbook.book.plans import Want
from graftbook.errors import NoPlan, UsageProblem
from graftbook.fit.need import Need, StageRate
from graftbook.trade import pairs, taxa
from graftbook.units import show_range

if TYPE_CHECKING:
    from graftbook.fit.need_store import LineNeed, StoreWood

USUAL_BUDS = 2


@dataclass(frozen=True)
class NeedWords:
    """What is asked; None means not said. `trees` of `cultivar` are an order by themselves; without `trees` every open want
    is one (`wants`: only these). `grade` lists the grades of stocks that will do, the best liked first."""

    trees: int | None = None
    cultivar: str | None = None
    wants: str | None = None
    through: str | None = None
    stock: str | None = None
    grade: str | None = None
    buds: int = USUAL_BUDS
    sure: float = 0.9
    as_of: str | None = None


@dataclass(frozen=True)
class NeedRow:
    """One order. `grafts` is what must be made so that `trees` are to be expected, each stage rounded up; `sure_grafts` meet
    the order with the chance asked for, `low_grafts` with every stage at the low end of its range, `flat_grafts` is the
    flat percentage on top, too few. `sticks` and `stocks` are those that `grafts` take, `…_short` what is lacking in store;
    `stocks_from` says which stocks in store are given to it."""

    want: int | None
    cultivar: str
    trees: int
    clone: str | None
    grafts: int
    sure_grafts: int
    low_grafts: int | None
    flat_grafts: int
    flat_trees: float
    chance: float
    buds: int
    sticks: int | None
    sticks_short: int
    buds_short: int
    stocks: int
    stocks_short: int
    stocks_from: tuple[str, ...]
    shown: ClassVar = ("cultivar", "trees", "grafts", "sure_grafts", "wood", "clone", "stock")
    headings: ClassVar = {"sure_grafts": "to be sure", "wood": "sticks", "stock": "stocks", "clone": "on"}

    @property
    def wood(self) -> str:
        """`7, 2 short`; where none is in store, the buds it takes."""
        if self.sticks is None:
            return f"none; {self.buds_short:,} buds"
        return f"{self.sticks:,}" + (f", {self.sticks_short:,} short" if self.sticks_short else "")

    @property
    def stock(self) -> str:
        """`7, 2 short`."""
        return f"{self.stocks:,}" + (f", {self.stocks_short:,} short" if self.stocks_short else "")


@dataclass(frozen=True)
class _Order:
    """An order with the stages its grafts come through; `sure` is the chance of meeting it that is asked for."""

    want: int | None
    cultivar: str
    trees: int
    clone: str | None
    taxon: str | None
    stages: tuple[StageRate, ...]
    sure: float

    @cached_property
    def need(self) -> Need:
        """What the order takes."""
        from graftbook.fit.need import grafts_needed

        return grafts_needed(self.trees, self.stages, self.sure)


def need(desk: Desk, words: NeedWords) -> Report:
    """What orders need. Stages not named are those that this book has counted, with their ranges.

    Raises UsageProblem for what cannot be asked or where no rate is known, NoPlan where nothing is ordered.
    """
    from graftbook.fit.need_store import OrderLine, StoreStocks, against_store

    _check(words)
    day = desk.day(words.as_of, future=True)
    with desk.book.read() as session:
        orders = _orders(desk, session, words, min(day, desk.today))
        lots = _lots(session, day, _grades(desk, words.grade), desk.settings.units)
        own = own_tables.own_pairs(session)
        lines = [
            OrderLine(order.cultivar, order.need.grafts, words.buds, _will_do(order, lots, own)) for order in orders
        ]
        wood = _wood(session, {order.cultivar for order in orders}, words)
    found = against_store(lines, [StoreStocks(lot.name, lot.number) for lot in lots], wood)
    rows = tuple(_row(order, line, words.buds) for order, line in zip(orders, found, strict=True))
    steps = [{"stage": step.name, "rate": step.rate, "low": step.low} for step in orders[0].need.steps]
    grafts = sum(row.grafts for row in rows)
    facts = {"as_of": day, "sureness": words.sure, "grafts": grafts, "through": steps}
    trees = count(sum(row.trees for row in rows), "tree")
    title = f"For {trees}: {count(grafts, 'graft')}, scions of {count(words.buds, 'bud')}"
    return Report(NeedRow, rows, tuple(_notes(orders, lots)), facts, title=title)


def _check(words: NeedWords) -> None:
    least, most = limits.bounds(Want, "trees")
    if words.trees is not None and not least <= words.trees <= most:
        raise UsageProblem(f"an order from {least} to {most:,} trees", f"{words.trees:,}")
    if words.trees is None and words.cultivar is not None:
        raise UsageProblem("a cultivar together with --trees", "the cultivar alone", "Or leave it out for all wants")
    if words.trees is not None and words.wants is not None:
        raise UsageProblem("either --trees or --wants", "both")
    if not 1 <= words.buds <= 20:
        raise UsageProblem("from 1 to 20 buds a scion", str(words.buds))
    if not 0 < words.sure < 1:
        raise UsageProblem("a chance of meeting the order between 0 and 1, such as 0.9", f"{words.sure:g}")


def _orders(desk: Desk, session: Session, words: NeedWords, as_of: date) -> list[_Order]:
    clone = naming.clone(words.stock).kept if words.stock else None
    bundles = wood_queries.bundles(session)
    called = shown_names.surely(session, bundles)
    kinds = {naming.key(called[bundle.id] or ""): bundle.taxon for bundle in bundles}
    stages = _stages_of(desk, session, words, as_of)
    if words.trees is not None:
        name = naming.Cultivars.of(session).name(words.cultivar).kept if words.cultivar else "all"
        taxon = kinds.get(naming.key(name))
        return [_Order(None, name, words.trees, clone, taxon, stages(taxon), words.sure)]
    wants = plan_request.wants_meant(session, words.wants)
    had = want_counts.had(session, desk.settings.hemisphere, wants, as_of)
    labels = plan_request.want_labels(session, wants)
    orders = []
    for want in wants:
        name, trees = labels[want.number], want.trees - had[want.number].alive
        taxon = want.taxon or kinds.get(naming.key(name))
        if trees > 0:
            orders.append(_Order(want.number, name, trees, clone or want.clone, taxon, stages(taxon), words.sure))
    if not orders:
        raise NoPlan("every want is met", "", "All wanted trees live already: graftbook want list")
    return orders


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


def _grades(desk: Desk, text: str | None) -> dict[str, tuple[float, float]]:
    """Grades of stocks by their words, the best liked first; empty: any."""
    parts = [part.strip() for part in (text or "").split(",") if part.strip()]
    read = [desk.lengths(part, units.STOCK_DIAMETER) for part in parts]
    return {show_range(*ends, desk.settings.units): ends for ends in read}


@dataclass(frozen=True)
class _Lot:
    """Free stocks alike: of a kind, clone and grade. `liked` is the place of the grade among those asked for."""

    taxon: str
    clone: str
    grade: str
    number: int
    liked: int = 0

    @property
    def name(self) -> str:
        """`MM.106 6-9 mm`."""
        return f"{self.clone or self.taxon or 'kind not known'} {self.grade}"


def _lots(session: Session, day: date, grades: dict[str, tuple[float, float]], unit: str) -> list[_Lot]:
    """Free stocks in store by kind, clone and grade; where grades are asked for, only those that are of one of them."""
    found: Counter[tuple[str, str, str, int]] = Counter()
    for plant in alive.free_stocks(session, day):
        ends = (plant.diameter_mm, plant.diameter_mm) if plant.diameter_mm else (plant.grade_min_mm, plant.grade_max_mm)
        known = (ends[0], ends[1]) if ends[0] is not None and ends[1] is not None else None
        fits = [(name, at) for at, (name, grade) in enumerate(grades.items()) if known and _within(known, grade)]
        if not grades:
            fits = [("size not known" if known is None else show_range(*known, unit), 0)]
        for name, liked in fits[:1]:
            found[plant.taxon or "", plant.clone or "", name, liked] += 1
    return [_Lot(taxon, clone, name, number, liked) for (taxon, clone, name, liked), number in sorted(found.items())]


def _within(ends: tuple[float, float], grade: tuple[float, float]) -> bool:
    return grade[0] - 0.01 <= ends[0] and ends[1] <= grade[1] + 0.01


def _will_do(order: _Order, lots: Sequence[_Lot], own: Sequence[Any]) -> tuple[str, ...]:
    """The names of the lots that an order may stand on, the best liked grades first."""
    fits = [lot for lot in lots if order.clone in (None, lot.clone) and _joins(order, lot, own)]
    return tuple(lot.name for lot in sorted(fits, key=lambda lot: (lot.liked, lot.name)))


def _joins(order: _Order, lot: _Lot, own: Sequence[Any]) -> bool:
    """Whether the union is known to be good or workable; always where the kind of the order is not known."""
    if order.taxon is None:
        return True
    found = pairs.verdict(order.taxon, order.cultivar, lot.taxon, lot.clone or None, own=own)
    return found.word in ("good", "workable")


def _wood(session: Session, names: set[str], words: NeedWords) -> list[StoreWood]:
    from graftbook.fit.need_store import StoreWood

    left, every = balances(session), words.trees is not None and words.cultivar is None
    bundles = [each for each in wood_queries.bundles(session) if each.id in left and left[each.id].left > 0]
    called = shown_names.surely(session, bundles)
    labels = {naming.key(name): name for name in names}
    return [
        StoreWood("all" if every else labels[key], left[bundle.id].left, bundle.buds_per_stick or words.buds)
        for bundle in bundles
        if (key := naming.key(called[bundle.id] or "")) in labels or every
    ]


def _row(order: _Order, line: LineNeed, buds: int) -> NeedRow:
    need, given = order.need, tuple(f"{number} {name}" for name, number in line.stocks)
    return NeedRow(
        order.want, order.cultivar, order.trees, order.clone, need.grafts, need.sure_grafts, need.low_grafts,
        need.flat_grafts, round(need.flat_trees, 1), round(need.chance, 4), buds, line.sticks, line.sticks_short,
        line.buds_short, need.grafts, line.stocks_short, given,
    )  # fmt: skip


def _notes(orders: Sequence[_Order], lots: Sequence[_Lot]) -> Iterator[str]:
    order = max(orders, key=lambda order: order.trees)
    need, of = order.need, f"{order.cultivar}: " if len(orders) > 1 else ""
    steps = (f"{step.name} {step.rate:.0%}: {step.into} in, {step.out} out" for step in need.steps)
    yield f"{of}{'; '.join(steps)}."
    if need.low_grafts is not None and need.low_grafts > need.grafts:
        yield f"{of}In a bad year, every stage at the low end of its range, it would take {need.low_grafts}."
    yield from (f"{of}{why}" for why in need.why)
    yield from dict.fromkeys(_basis(stage) for each in orders for stage in each.stages)
    if not any("grade" in step.name for step in need.steps):
        yield "Trees too poor to sell are not counted: name that stage too, such as --through take=0.85,grade=0.92."
    free = ", ".join(f"{lot.number} {lot.name}" for lot in lots[:12]) or "none that would do"
    more = f" and {len(lots) - 12} kinds more" if len(lots) > 12 else ""
    yield f"Free stocks in store: {free}{more}. They are given to one order only."


def _basis(stage: StageRate) -> str:
    if stage.k is None:
        ends = f", {stage.low:.0%} to {stage.high:.0%}" if stage.low is not None and stage.high is not None else ""
        return f"{stage.name}: {stage.basis}{ends}."
    from graftbook.stats.interval import wilson

    found = wilson(stage.k, stage.n or stage.k)
    ends = f"{found.low or 0:.0%} to {found.high or 0:.0%}, Wilson"
    return f"{stage.name}: {stage.basis}, {stage.k} of {stage.n} ({ends})."
