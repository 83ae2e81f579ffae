"""What is said when a graft is made: doubts of fit, which are kept with it, and what can hurt.

Hosts that differ in nothing but their code are judged once, so that a run of thousands is quick.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.results import code_list, count
from graftbook.actions.grafts import matching
from graftbook.actions.grafts.graft_hosts import Host
from graftbook.actions.trade import own_tables
from graftbook.book.wood import Bundle
from graftbook.fit.facts import StockFacts
from graftbook.fit.gate import Gate
from graftbook.fit.match import Judgement, judge_all
from graftbook.trade.methods import Method

_HERE = "⟨host⟩"

_MOST = 8

# Answered elsewhere when a graft is recorded: by drawing the sticks, and by asking whether the host is alive.
_ASKED_ALREADY = frozenset({"sticks left", "stock alive"})

_SAP = (("fig", "fig-sap"), ("citrus", "citrus-sap"), ("lacquer", "lacquer-sap"))


@dataclass(frozen=True)
class Doubts:
    """Hosts alike, and what was said of them: `barred` what the trade's tables call impossible, `cautions` the rest.

    The sentences hold a mark where the host's code belongs; `of` and `worded` fill it in.
    """

    codes: tuple[str, ...]
    barred: tuple[str, ...]
    cautions: tuple[str, ...]

    def of(self, code: str) -> str | None:
        """Everything said of one host, one sentence a line; None when nothing was."""
        return "\n".join(line.replace(_HERE, code) for line in (*self.barred, *self.cautions))[:4000] or None

    def worded(self, lines: Sequence[str]) -> list[str]:
        """Sentences for people, with all the hosts they are about."""
        return [line.replace(_HERE, code_list(self.codes)) for line in lines]


def doubts(
    session: Session, bundle: Bundle, hosts: Sequence[Host], method: Method, day: date, values: Mapping[str, Any], unit: str
) -> tuple[Doubts, ...]:  # fmt: skip
    """What the gates of fit say of a bundle on hosts by a method on a day, hosts alike together.

    `values` are those of the graft: diameters measured at the union and a growth stage go before what the book has of
    bundle and plant. `unit` is that of lengths in the sentences.
    """
    if bundle.taxon is None:
        unknown = f"The kind of {bundle.code} is not recorded, so nothing can be said of how it fits {_HERE}."
        return (Doubts(tuple(host.code for host in hosts), (), (unknown,)),)
    wood = _measured(matching.wood_facts(session, [bundle], day)[0], values.get("scion_mm"))
    alike: dict[StockFacts, list[str]] = {}
    for host, facts in zip(hosts, matching.stock_facts(session, hosts, day), strict=True):
        at_union = _measured(
            replace(facts, code=_HERE, stage=values.get("stage") or facts.stage), values.get("stock_mm")
        )
        alike.setdefault(at_union, []).append(host.code)
    judged = judge_all((wood,), tuple(alike), (method,), day, own_tables.own_pairs(session), unit, given=None)
    return tuple(_doubts(judgement, codes) for judgement, codes in zip(judged, alike.values(), strict=True))


def _measured(facts: Any, diameter: float | None) -> Any:
    return facts if diameter is None else replace(facts, diameter_mm=(diameter, diameter))


def _doubts(judgement: Judgement, codes: Sequence[str]) -> Doubts:
    gates = [gate for gate in judgement.gates if gate.name not in _ASKED_ALREADY]
    barred = tuple(gate.reason for gate in gates if gate.outcome == "no")
    cautions = tuple(gate.reason for gate in gates if _is_caution(gate))
    return Doubts(tuple(codes), barred, cautions)


def _is_caution(gate: Gate) -> bool:
    """Whether a doubt is worth keeping: a caution, or a pair of kinds of which nothing is known."""
    return gate.outcome == "caution" or (gate.outcome == "unknown" and gate.name == "compatibility")


def notes_of(found: Sequence[Doubts]) -> tuple[str, ...]:
    """The doubts as notes for people, each said once; the first eight in words."""
    lines = [f"Caution: {line}" for each in found for line in each.worded((*each.barred, *each.cautions))]
    if len(lines) <= _MOST:
        return tuple(lines)
    more = f"{count(len(lines) - _MOST, 'more caution')}, each kept with its graft: graftbook graft show CODE."
    return (*lines[:_MOST], more)


def safety(kinds: Sequence[str | None], seal: str | None, before: frozenset[str | None]) -> tuple[str, ...]:
    """What can hurt while grafting these kinds: knives and hot wax with the first grafts of a season, saps that burn with
    the first of their kind. `before` are the kinds grafted earlier in the season; None is a kind not known."""
    from graftbook.trade import cautions

    new = _saps(kinds) - _saps(before)
    keys = [key for sap, key in _SAP if sap in new]
    if not before:
        keys = ["knife", *keys, *(["hot-wax"] if _is_hot_wax(seal) else [])]
    return cautions.words(keys)


def _is_hot_wax(seal: str | None) -> bool:
    """Whether a seal is wax that is melted: neither a film nor called cold."""
    words = (seal or "").casefold()
    return "wax" in words and "film" not in words and "cold" not in words


def _saps(kinds: Iterable[str | None]) -> set[str]:
    from graftbook.trade import taxa

    return {taxon.sap for taxon in map(taxa.nearest_to, kinds) if taxon is not None}
