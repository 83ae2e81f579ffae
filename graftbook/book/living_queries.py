"""Where a cultivar lives: the plants and grafts that hold it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import NamedTuple

from sqlalchemy import or_, select
from sqlmodel import Session

from graftbook.book.graft_queries import foot_plants, last_looks
from graftbook.book.grafts import Graft
from graftbook.book.match_queries import ENDED
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle


class Living(NamedTuple):
    """A living plant or graft that holds a cultivar, on its plant."""

    cultivar: str
    code: str
    plant: str


def holders(session: Session, cultivars: Collection[str], day: date) -> list[Living]:
    """Every living plant and graft that holds one of these cultivars on a day, by the name the book keeps."""
    names = sorted(set(cultivars))
    alive = or_(Plant.died_on.is_(None), Plant.died_on > day)
    trees = session.execute(select(Plant.cultivar, Plant.code).where(Plant.cultivar.in_(names), alive))
    found = [Living(cultivar, code, code) for cultivar, code in trees]
    made = session.execute(
        select(Graft, Bundle.cultivar)
        .join(Bundle, Graft.bundle_id == Bundle.id)
        .where(Bundle.cultivar.in_(names), Graft.made_on <= day)
    ).all()
    looks = last_looks(session, [graft.id for graft, _name in made], day)
    feet = foot_plants(session, [graft for graft, _name in made])
    for graft, cultivar in made:
        look, foot = looks.get(graft.id), feet[graft.id]
        if not (look is not None and look.state in ENDED) and (foot.died_on is None or foot.died_on > day):
            found.append(Living(cultivar, graft.code, foot.code))
    return found
