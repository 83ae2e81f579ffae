"""Wants and plans read back, and what a plan asks of the book in bulk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book import asking
from graftbook.book.asking import rows, things
from graftbook.book.grafts import Graft
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle


def wants(session: Session, numbers: Sequence[int] | None = None, standing: bool = True) -> list[Want]:
    """Wants by number: those with the numbers given (None: every one), only such as still stand unless `standing` is False."""
    asked = [] if numbers is None else [Want.number.in_(list(numbers))]
    stands = [Want.done_on.is_(None), Want.withdrawn_on.is_(None)] if standing else []
    return things(session, Want, *asked, *stands)


def plan(session: Session, number: int | None) -> Plan | None:
    """A plan by its number, the newest when it is None; None where there is none."""
    query = select(Plan).order_by(Plan.number.desc()).limit(1)
    if number is not None:
        query = query.where(Plan.number == number)
    return session.execute(query).scalar_one_or_none()


def plans(session: Session, limit: int) -> list[tuple[Plan, int]]:
    """Plans, newest first, each with the number of its lines."""
    sizes = select(PlanRow.plan_id, func.count().label("lines")).group_by(PlanRow.plan_id).subquery()
    query = select(Plan, func.coalesce(sizes.c.lines, 0)).outerjoin(sizes, sizes.c.plan_id == Plan.id)
    return [tuple(row) for row in session.execute(query.order_by(Plan.number.desc()).limit(limit))]


def open_plans(session: Session, since: date) -> list[Plan]:
    """Plans for this day or a later one that are neither done nor dropped, oldest first."""
    return things(session, Plan, Plan.done_on.is_(None), Plan.dropped_on.is_(None), Plan.day >= since)


class PlannedGraft(NamedTuple):
    """A line of a plan with what it speaks of."""

    row: PlanRow
    bundle: Bundle
    host: Plant
    want: Want | None


def plan_lines(session: Session, plan_id: int) -> list[PlannedGraft]:
    """Every line of a plan in bench order."""
    query = (
        select(PlanRow, Bundle, Plant, Want)
        .join(Bundle, PlanRow.bundle_id == Bundle.id)
        .join(Plant, PlanRow.host_plant_id == Plant.id)
        .outerjoin(Want, PlanRow.want_id == Want.id)
        .where(PlanRow.plan_id == plan_id)
        .order_by(PlanRow.line)
    )
    return [PlannedGraft(*row) for row in session.execute(query)]


class HeldLine(NamedTuple):
    """A line of a plan, as far as it says what is kept for it; `kind` is that of the host."""

    plan_id: int
    line: int
    bundle_id: int
    stick: int
    buds: int
    wood: str
    host: str
    kind: str


def held_lines(session: Session, plan_ids: Iterable[int]) -> list[HeldLine]:
    """Every line of some plans, with the codes of its wood and its host."""
    query = (
        select(
            PlanRow.plan_id,
            PlanRow.line,
            PlanRow.bundle_id,
            PlanRow.stick,
            PlanRow.buds,
            Bundle.code,
            Plant.code,
            Plant.kind,
        )
        .join(Bundle, PlanRow.bundle_id == Bundle.id)
        .join(Plant, PlanRow.host_plant_id == Plant.id)
    )
    return asking.lines(session, HeldLine, query, PlanRow.plan_id, plan_ids)


def lines(session: Session, plan_numbers: Iterable[int]) -> set[tuple[int, int]]:
    """Number of the plan and of the line, for every line of some plans."""
    query = select(Plan.number, PlanRow.line).join(PlanRow, PlanRow.plan_id == Plan.id)
    return set(map(tuple, rows(session, query, Plan.number, plan_numbers)))


def codes_in_use(session: Session, codes: Sequence[str]) -> set[str]:
    """Which of these codes of grafts a graft has already."""
    return set(asking.ids_by(session, Graft, "code", codes))


class Grafted(NamedTuple):
    """A graft with what it stands on; of a graft on a graft the host's columns are None."""

    id: int
    code: str
    bundle_id: int | None
    taxon: str | None
    made_on: date
    method: str
    site: str | None
    place: str | None
    host: str | None
    clone: str | None


def grafted(session: Session, bundles: Iterable[int], grafts: Iterable[int], since: date, as_of: date) -> list[Grafted]:
    """Every graft made within two days that is of these bundles or among these grafts, by number."""
    query = (
        select(
            Graft.id, Graft.code, Graft.bundle_id, Bundle.taxon, Graft.made_on, Graft.method, Plant.site,
            func.coalesce(Graft.place, Plant.place), Plant.code, Plant.clone, Graft.number,
        )
        .outerjoin(Bundle, Graft.bundle_id == Bundle.id)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .where(Graft.made_on >= since, Graft.made_on <= as_of)
    )  # fmt: skip
    found = {
        row.id: row
        for column, ids in ((Graft.bundle_id, bundles), (Graft.id, grafts))
        for row in rows(session, query, column, ids)
    }
    return [Grafted._make(row[:-1]) for row in sorted(found.values(), key=lambda row: row.number)]
