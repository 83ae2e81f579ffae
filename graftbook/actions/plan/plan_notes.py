"""What is said of a plan: what each want gets and lacks, whose chances these are, what is left over, what is in one place only."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Usual, code_list, count
from graftbook.actions.names import where_alive
from graftbook.actions.plan import plan_choices
from graftbook.actions.plan.plan_lines import PlanLine, numbers_words
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.plan.plan_wood import PAST, wood_words
from graftbook.errors import NoPlan
from graftbook.fit.plan_facts import LeftOver, NextBest, SolvedPlan, WantResult
from graftbook.trade import sources, takes

MOST = 12

ENOUGH, LAST = "has all it was wanted for.", "It is the last wood of"

NOT_NEEDED = (ENOUGH, "is not wanted.", "see what it lacks.", "No graft of the plan needs it.")
"""How a reason ends after which nothing is to be done."""

UNSURE = "the union being apt to part, poor or unknown"


def notes(
    desk: Desk, session: Session, asked: Asked, found: SolvedPlan, lines: Sequence[PlanLine], more: Sequence[str] = (),
    others: Sequence[NextBest] = (),
) -> tuple[str, ...]:  # fmt: skip
    """Whole sentences under a plan, the weightiest first; `more` stand after what is short, `others` say the next best."""
    beside = {each.want: each for each in others}
    late = found.timed_out
    sentences = [
        f"{found.message} Give it longer with --time-limit {asked.question.seconds * 4:.0f}." if late else "",
        *_few([_want(asked, found, want, beside) for want in found.wants], "more wants: --json has every one"),
        *_few(list(_short(found)), "more things are short: --json has every one"),
        *more,
        *_left_over(asked, found),
        *_in_one_place(desk, session, {line.cultivar for line in lines}),
        *map(Usual, _chances(asked, lines)),
        *_cautions(lines),
        *asked.kept.words, *asked.kept.shared({line.host for line in lines}),
        *asked.notes, *asked.wood.unused, *asked.wood.notes, *asked.hosts.notes,
        *_sites(asked), _doubtful(asked), Usual(_looked_at(asked)), "" if late else Usual(found.message),
    ]  # fmt: skip
    return tuple(sentence for sentence in dict.fromkeys(sentences) if sentence)


def facts(asked: Asked, found: SolvedPlan, trial: Any) -> dict[str, Any]:
    """What is true of the whole plan, for programs."""
    numbers = {str(want.number): want.number for want in asked.wants}
    return {
        "status": found.status, "message": found.message, "seconds": round(found.seconds, 2),
        "methods": [method.method for method in asked.methods],
        "seed": None if trial is None else trial.seed, "compare": None if trial is None else trial.text,
        "wants": [
            {"want": numbers[want.key], "cultivar": want.label, "grafts": want.grafts, "living_already": want.already,
             "chance": None if want.chance is None else round(want.chance, 6), "expected": round(want.expected, 3),
             "sites": list(want.sites), "met": want.met}
            for want in found.wants
        ],
        "short": [
            {"want": numbers[short.want], "of": short.of, "number": short.number, "clone": short.clone or None,
             "grade": short.grade or None, "words": short.words}
            for short in found.shortages
        ],
        "left_over": [
            {"of": left.of, "code": left.key, "number": left.number, "why": left.why} for left in found.left_over
        ],
        "levels": [
            {"name": level.name, "value": round(level.value, 6), "bound": round(level.bound, 6), "gap": round(level.gap, 6),
             "proven": level.proven}
            for level in found.objectives
        ],
    }  # fmt: skip


def no_plan(asked: Asked, found: SolvedPlan) -> NoPlan:
    """Why nothing can be grafted, and the nearest thing that could be done."""
    ways = [*dict.fromkeys(_plainly(way) for way in found.in_the_way), *asked.kept.words, *asked.wood.unused]
    if asked.allowed.doubtful:
        ways.append(f"{count(asked.allowed.doubtful, 'kind')} of pairs would go, {UNSURE}: --doubtful plans them.")
    ways += [short.words for short in found.shortages if not any(way in short.words for way in ways)]
    in_the_way = " ".join(ways[:MOST]) or found.message
    more = f" And {len(ways) - MOST} more." if len(ways) > MOST else ""
    nearest = found.nearest.rstrip(".")
    return NoPlan(
        f"no graft can be made on {asked.day.isoformat()}: {(in_the_way + more).rstrip('.')}",
        next_step=f"{f'Nearest: {nearest[:1].lower()}{nearest[1:]}. ' if nearest else ''}Try {_hint(asked)}",
    )


def _plainly(way: str) -> str:
    """`W3/hand: W3 was cut …` without the name said twice."""
    name, found, rest = way.partition(": ")
    return rest if found and rest.startswith(name.split("/")[0]) else way


def _hint(asked: Asked) -> str:
    if not asked.question.sticks:
        return "graftbook wood list for what there is"
    if not asked.question.hosts:
        return "graftbook stock list for what there is"
    return "graftbook match --barred for every pair and its reasons"


def _want(asked: Asked, found: SolvedPlan, want: WantResult, others: Mapping[str, NextBest]) -> str:
    fact = next(each for each in asked.question.wants if each.key == want.key)
    where = f" on {', '.join(site or 'a site not recorded' for site in want.sites)}" if want.sites else ""
    had = f" beside {want.already} living" if want.already else ""
    mix = f" ({plan_choices.scions(plan_choices.mix_of(found, want.key))})" if want.grafts else ""
    line = f"Want {want.key}, '{want.label}': {count(want.grafts, 'graft')}{mix}{had}{where}; "
    line += f"{want.expected:.1f} trees expected, {fact.number} wanted"
    if want.chance is not None:
        each = f", one on each of {fact.sites} sites," if fact.sites > 1 else ""
        line += f", and the chance that {fact.living} live{each} is {plan_choices.percent(want.chance)}"
    other = others.get(want.key)
    more = f" {plan_choices.next_words(fact, want, other)}" if other is not None else ""
    return f"{line}.{more}" if want.met else f"{line}: not met.{more}"


def _short(found: SolvedPlan) -> Iterator[str]:
    grafts = {want.key: want.grafts for want in found.wants}
    for short in found.shortages:
        if grafts[short.want] or short.of not in ("sites", "chance"):
            yield f"Short: {short.words}"


def _few(sentences: list[str], more: str, most: int = MOST) -> list[str]:
    """The first of them, and how many more there are."""
    return sentences if len(sentences) <= most else [*sentences[:most], f"{len(sentences) - most} {more}."]


def _left_over(asked: Asked, found: SolvedPlan) -> list[str]:
    """What is left over, put together by the reason."""
    by_why: dict[tuple[str, str], list[LeftOver]] = defaultdict(list)
    for left in found.left_over:
        past = f"Past the longest such wood is known to keep: {PAST}"
        by_why[left.of, past if left.why.endswith(PAST) else left.why].append(left)
    sentences = []
    labels = {stick.key: stick.label for stick in asked.question.sticks}
    for (of, why), lefts in by_why.items():
        codes = code_list(tuple(dict.fromkeys(left.key.split("/")[0] for left in lefts)))
        what = count(sum(left.number for left in lefts), "bud" if of == "wood" else "free place")
        alone = why.endswith(ENOUGH) and labels.get(lefts[0].key) in asked.alone
        keep = " No tree of it lives in this book, so keep what is left, or plan more with --spare." if alone else ""
        said = f"{'Keep' if why.startswith(LAST) else 'Left over'}: {what} ({codes}). {why}{keep}"
        sentences.append(Usual(said) if why.endswith(NOT_NEEDED) and not alone else said)
    return _few(sentences, "more kinds of things are left over: --json has every one", 8)


def _chances(asked: Asked, lines: Sequence[PlanLine]) -> Iterator[str]:
    """Whose chances these are, once each, with the sources of printed ones."""
    behind = Counter(f"{line.method}: {line.basis_words}" for line in lines)
    for words, number in list(behind.items())[:8]:
        yield f"Chance by {words} ({count(number, 'graft')})."
    bases = {line.basis for line in lines}
    if "published" in bases:
        taxa = {bundle.taxon for bundle in asked.wood.bundles.values() if bundle.taxon is not None}
        keys = {row.source for method in {line.method for line in lines if line.basis == "published"} for taxon in taxa
                for row in takes.of(method, taxon).rows if row.source}  # fmt: skip
        cited = [cite for cite in (sources.cite(key) for key in sorted(keys)) if cite]
        yield from (f"Source: {cite}" for cite in cited[:4])
    if "own" in bases:
        yield ("A small count is drawn toward what stands behind it as by two grafts more, so that one of one is not read as "
               "certain; rows of ten and more of three kinds or more as take --shrink does it.")  # fmt: skip
    if bases - {"own"}:
        yield "A printed chance is a yardstick from another place; your own looks take over, kind by kind and method by method."


def _cautions(lines: Sequence[PlanLine]) -> list[str]:
    """The cautions, each sentence once with the lines it is about."""
    about: dict[str, list[int]] = defaultdict(list)
    for line in lines:
        for sentence in (line.cautions or "").splitlines():
            about[sentence.replace(line.host, "the stock")].append(line.line)
    sentences = [f"Caution, {numbers_words(numbers)}: {sentence}" for sentence, numbers in about.items()]
    return _few(sentences, "more cautions, each kept with its line: --json", 8)


def _in_one_place(desk: Desk, session: Session, planned: Collection[str | None]) -> Iterator[str]:
    """Cultivars that live on one site only, so that one spade or one frost could end them, and are not in the plan."""
    homes = where_alive.homes(session, desk.today)
    known = {naming.key(name) for name in planned if name is not None}
    spots = {home.cultivar: homes.spots(home) for home in homes.of.values() if home.sure}
    alone = [(name, some[0].site or some[0].place or "") for name, some in sorted(spots.items()) if len(some) == 1]
    alone = [(name, site) for name, site in alone if naming.key(name) not in known]
    if alone:
        named = ", ".join(f"'{name}'" + (f" ({site})" if site else "") for name, site in alone[:MOST])
        more = f" and {len(alone) - MOST} more" if len(alone) > MOST else ""
        yield f"In one place only, and not in this plan: {named}{more}."


def _sites(asked: Asked) -> Iterator[str]:
    """Where stocks have no site of their own and a want asks for several."""
    bare = tuple(code for code, plant in asked.hosts.plants.items() if plant.site is None)
    if bare and any(want.sites > 1 for want in asked.question.wants):
        yield (f"No site is recorded for {code_list(bare)}: the place where they stand now is taken for one. Say where they are to "
               f"grow: graftbook stock amend {bare[0]} --site NAME.")  # fmt: skip


def _looked_at(asked: Asked) -> str:
    free = [host for host in asked.question.hosts if not host.barred]
    how = ", ".join(method.method for method in asked.methods)
    return f"Looked at {wood_words(asked.wood)} and {count(len(free), 'free host')}, by {how}."


def _doubtful(asked: Asked) -> str:
    left_out = asked.allowed.doubtful
    return f"{count(left_out, 'kind')} of pairs left out, {UNSURE}: --doubtful plans them." if left_out else ""
