"""Stages on the way from graft to tree: as typed, or as this book has counted them."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.outcome import alive, endpoints
from graftbook.actions.outcome.endpoints import outcome_by
from graftbook.actions.takes import factor_text
from graftbook.book import seen
from graftbook.errors import UsageProblem
from graftbook.fit.need import StageRate
from graftbook.numbers import DECIMAL
from graftbook.season import turn

# The stages that looks can tell: of the grafts made those that took, of those that took those that grew the season after.
OWN = ("take", "winter")

_COUNT = re.compile(r"(\d{1,9})\s*(?:/|of)\s*(\d{1,9})$")

_SHARE = re.compile(rf"({DECIMAL})\s*(%?)$")


def read(text: str) -> tuple[StageRate, ...]:
    """Stages as typed, first stage first: `take=0.85,winter=96%,grade=170/200`, a range as `take=0.8-0.9`.

    Raises UsageProblem naming every part that is none.
    """
    found, wrong = [], []
    for part in (part.strip() for part in text.split(",") if part.strip()):
        name, given, value = part.partition("=")
        rate = _stage(name.strip().casefold(), value.strip()) if given and name.strip() else None
        if rate is None:
            wrong.append(repr(part))
        else:
            found.append(rate)
    names = Counter(stage.name for stage in found)
    wrong += [f"{name} {number} times" for name, number in names.items() if number > 1]
    if wrong or not found:
        raise UsageProblem("stages with the share that comes through each, such as take=0.85,winter=96%,grade=170/200, each once",
                           ", ".join(wrong) or repr(text))  # fmt: skip
    return tuple(found)


def _stage(name: str, value: str) -> StageRate | None:
    if (match := _COUNT.match(value)) is not None:
        k, n = int(match[1]), int(match[2])
        return StageRate(name, k / n, k=k, n=n, basis="as counted") if 0 < k <= n else None
    low, dash, high = value.partition("-")
    ends = [share(low), share(high)] if dash else [share(value)]
    if any(end is None for end in ends):
        return None
    first, last = float(ends[0] or 0), float(ends[-1] or 0)
    if not 0 < first <= last <= 1:
        return None
    middle = round((first + last) / 2, 6)
    return StageRate(name, middle, first, last, basis="as given") if dash else StageRate(name, first, basis="as given")


def share(text: str) -> float | None:
    """A share as typed, such as `0.85`, `85%` or `85`; None where it is none."""
    match = _SHARE.match(text.strip())
    if match is None:
        return None
    value = float(match[1].replace(",", "."))
    return round(value / 100, 6) if match[2] or value > 1 else value


def standing(text: str, stages: Sequence[StageRate]) -> list[int]:
    """What stands as typed, by the stages it has come through: `made=1436,take=10964` (took, alive). Raises UsageProblem."""
    names = ["made", *(stage.name for stage in stages)]
    found, wrong = [0] * len(names), []
    for part in (part.strip() for part in text.split(",") if part.strip()):
        name, given, number = part.partition("=")
        key = _ALIASES.get(name.strip().casefold(), name.strip().casefold())
        if given and key in names and number.strip().isdecimal():
            found[names.index(key)] += int(number)
        else:
            wrong.append(repr(part))
    if wrong:
        accepted = f"grafts by the last of {', '.join(names)} that they came through, such as made=120,take=80"
        raise UsageProblem(accepted, ", ".join(wrong))
    return found


_ALIASES = {"took": "take", "wintered": "winter", "graded": "grade"}

# What stands for all kinds in the count, and the outcomes by which a graft does not come through a stage.
_ALL = "all kinds"
_LOST = {"take": ("failed",), "winter": ("failed", "lost")}


@dataclass(frozen=True)
class Counted:
    """How grafts came through the stages that looks can tell: how many by kind (`all kinds`: in all), stage and outcome, and in
    which seasons they were made."""

    tally: Mapping[tuple[str | None, str, str], int]
    seasons: Mapping[tuple[str | None, str], set[str]]

    def stage(self, name: str, kind: str | None) -> StageRate | None:
        """A stage as counted for a kind (None: not known), else as counted for all kinds; None where nothing came through."""
        for of in (kind, _ALL):
            k = self.tally.get((of, name, "yes"), 0)
            n = k + sum(self.tally.get((of, name, outcome), 0) for outcome in _LOST[name])
            if k:
                made = sorted(self.seasons[of, name])
                when = made[0] if len(made) == 1 else f"{made[0]} to {made[-1]}"
                return StageRate(name, k / n, k=k, n=n, basis=f"own count, {of}, grafts of {when}")
        return None


def counted(session: Session, hemisphere: str, as_of: date) -> Counted:
    """The stages that the looks of this book tell by a day; what is not decided is not counted."""
    stories, ended = seen.stories(session, as_of), alive.ended_unseen(session, as_of)
    tally: Counter[tuple[str | None, str, str]] = Counter()
    seasons: dict[tuple[str | None, str], set[str]] = defaultdict(set)
    names = ("id", "method", "made_on", "taxon", "host_taxon")
    for graft_id, method, made_on, taxon, host_taxon in seen.graft_columns(session, names, None, as_of):
        end = ended.get(graft_id)
        if end is not None and not end.dead:
            continue
        frame = endpoints.frame(made_on, endpoints.judge_days(method), hemisphere, as_of)
        held = stories.get(graft_id, seen.UNSEEN).looks
        took = outcome_by("took", held, frame, end)
        for kind in (factor_text.species(taxon, host_taxon), _ALL):
            outcomes = [("take", took)]
            if took == "yes":
                outcomes.append(("winter", outcome_by("established", held, frame, end)))
            for name, outcome in outcomes:
                tally[kind, name, outcome] += 1
                if outcome == "yes" or outcome in _LOST[name]:
                    seasons[kind, name].add(turn.season_of(made_on, hemisphere))
    return Counted(tally, seasons)
