"""Small problems for the tests of planning, every plan there is for them, and what a list of pairs breaks and is worth."""

from __future__ import annotations

from collections import Counter, defaultdict, namedtuple
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import prod
from random import Random

from hypothesis import strategies as st

from graftbook.fit.plan_facts import HostFact, Pair, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_objectives import (
    A_STICK,
    A_STOCK,
    LAST_SURE,
    OBJECTIVES,
    is_must_have,
    living_chance,
    met_share,
    short_of_sites,
    weight,
)

A2, A1 = PieceFact("A two buds", 2), PieceFact("A one bud", 1)
B2, B3 = PieceFact("B two buds", 2, 1), PieceFact("B three buds", 3)
Rating = namedtuple("Rating", OBJECTIVES)
METHODS = ("cleft", "whip-and-tongue")


def day(**changes) -> PlanProblem:
    """A day with one stick of A, cut into three, two stocks, and one tree of A wanted."""
    plain = PlanProblem(
        sticks=(StickFact("W1/1", "W1", "A", ((A2, A2, A2),), 6),),
        hosts=(HostFact("P1", "apple", "home", "MM.106"), HostFact("P2", "apple", "home", "MM.106")),
        possible=(Possible("A two buds", "apple", "cleft", 0.8, 0.9),),
        wants=(WantFact("1", "A", 1),),
    )
    return replace(plain, **changes)


@st.composite
def problems(draw) -> PlanProblem:
    """Up to three sticks on up to three hosts by two methods for up to three wants, with every rule now and then."""
    sticks = []
    for number in range(draw(st.integers(1, 3))):
        label = draw(st.sampled_from("AB"))
        ways, buds = draw(
            st.sampled_from(
                [(((A2,),), 2), (((A2, A1), (A1, A1, A1)), 3), (((A1, A1),), 2)]
                if label == "A"
                else [(((B2,),), 3), (((B3,), (B2,)), 4)]
            )
        )
        wear = draw(st.sampled_from([0.0, 0.25, 1.0]))
        barred = ("It is under a health note.",) if draw(st.integers(0, 14)) == 14 else ()
        sticks.append(StickFact(f"W{number}", f"W{number}", label, ways, buds, 1, wear, barred=barred))
    hosts = tuple(
        HostFact(
            f"P{number}",
            draw(st.sampled_from(["thin", "thick"])),
            draw(st.sampled_from(["home", "school"])),
            draw(st.sampled_from(["M.26", "MM.106"])),
            positions=draw(st.sampled_from([1, 1, 2])),
        )
        for number in range(draw(st.integers(1, 3)))
    )
    kinds = [(piece.kind, host, how) for piece in (A1, A2, B2, B3) for host in ("thin", "thick") for how in METHODS]
    possible = tuple(
        Possible(
            *kind,
            draw(st.sampled_from([0.3, 0.5, 0.8, 0.85])),
            draw(st.sampled_from([None, 0.4, 0.7, 1.0])),
            draw(st.sampled_from([0.0, 0.5])),
        )
        for kind in kinds
        if draw(st.integers(0, 5))
    )
    wants = [draw(_want(str(number))) for number in range(draw(st.integers(1, 3)))]
    wants[0] = replace(wants[0], label=sticks[0].label)
    return PlanProblem(
        tuple(sticks), hosts, possible, tuple(wants), draw(st.integers(0, 2)), draw(st.sampled_from([0.6, 0.9, 1.0])),
        spare=draw(st.sampled_from([0.0, 0.0, 0.5])),
    )  # fmt: skip


@st.composite
def _want(draw, key: str) -> WantFact:
    number = draw(st.integers(1, 3))
    return WantFact(
        key,
        draw(st.sampled_from("AB")),
        number,
        draw(st.integers(0, number)),
        draw(st.integers(1, min(number, 2))),
        draw(st.integers(1, 3)),
        draw(st.sampled_from([(), (), ("M.26",)])),
        already=draw(st.sampled_from([(), (), (("home", 1),)])),
        last=draw(st.sampled_from([False, False, True])),
    )


def every_plan(problem: PlanProblem, most: int = 12_000) -> Iterator[tuple[Pair, ...]]:
    """Every list of pairs that breaks no rule, tried one by one from the single facts; stops short of no more than `most`."""
    places = [(host, at) for host in problem.hosts for at in range(1, host.positions + 1)]

    def sticks(at: int, taken: tuple[Pair, ...]) -> Iterator[tuple[Pair, ...]]:
        if at == len(problem.sticks):
            yield taken
            return
        for way in dict.fromkeys(problem.sticks[at].ways):
            yield from pieces(at, way, 0, taken)

    def pieces(at: int, way: tuple[PieceFact, ...], piece: int, taken: tuple[Pair, ...]) -> Iterator[tuple[Pair, ...]]:
        if piece == len(way):
            yield from sticks(at + 1, taken)
            return
        yield from pieces(at, way, piece + 1, taken)
        stick, cut = problem.sticks[at], way[piece]
        used = {(pair.host, pair.position) for pair in taken}
        for host, position in places:
            if (host.key, position) in used:
                continue
            for how in problem.possible:
                for want in problem.wants:
                    if (how.piece, how.host, want.label) == (cut.kind, host.kind, stick.label):
                        pair = Pair(stick.key, 1, piece + 1, cut, host.key, position, host.site, how.method,
                                    how.chance, how.share, want.key)  # fmt: skip
                        yield from pieces(at, way, piece + 1, (*taken, pair))

    for number, pairs in enumerate(sticks(0, ())):
        if number >= most:
            raise OverflowError
        yield pairs


def best_of(problem: PlanProblem) -> tuple[float, ...]:
    """The objectives of the best of all plans."""
    best: tuple[float, ...] | None = None
    for pairs in every_plan(problem):
        values = tuple(round(value, 7) for value in rate(problem, pairs))
        if (best is None or values > best) and not faults(problem, pairs):
            best = values
    assert best is not None
    return best


def large_day() -> PlanProblem:
    """Three hundred sticks of twenty cultivars, three hundred stocks of two clones on three sites, two methods."""
    draw = Random(5)
    sticks = []
    for number in range(60):
        label, size = f"C{number % 20}", draw.choice(("thin", "thick"))
        two, three = (PieceFact(f"{label} {size} {buds}", buds) for buds in (2, 3))
        sticks.append(
            StickFact(f"W{number}", f"W{number}", label, ((two, two, two), (three, three)), 7, 5, wear=draw.random())
        )
    hosts = [
        HostFact(f"P{number}", f"{size}|{clone}", draw.choice("xyz"), clone, diameter_mm=draw.uniform(5, 12))
        for number in range(300)
        for size, clone in [(draw.choice(("thin", "middle", "thick")), draw.choice(("M.26", "MM.106")))]
    ]
    able = [
        Possible(
            f"C{label} {size} {buds}",
            f"{on}|{clone}",
            method,
            chance - 0.1 * (on != size),
            draw.choice((0.4, 0.7, 0.9)),
        )
        for label in range(20)
        for size in ("thin", "thick")
        for buds in (2, 3)
        for on in ("thin", "middle", "thick")
        for clone in ("M.26", "MM.106")
        for method, chance in (("cleft", 0.7), ("whip-and-tongue", 0.8))
        if (size, on) != ("thick", "thin")
    ]
    wants = [
        WantFact(str(n), f"C{n}", draw.randint(6, 30), draw.randint(0, 5), draw.randint(1, 3), draw.randint(1, 3),
                 draw.choice(((), ("M.26",))))
        for n in range(20)
    ]  # fmt: skip
    return PlanProblem(tuple(sticks), tuple(hosts), tuple(able), tuple(wants), hold_back=2)


def faults(problem: PlanProblem, pairs: Sequence[Pair]) -> tuple[str, ...]:
    """Every constraint that a list of pairs breaks, a sentence each; empty when the list is feasible."""
    found = [*_places(problem, pairs), *_gates(problem, pairs), *_cuts(problem, pairs)]
    return tuple(found)


def _places(problem: PlanProblem, pairs: Iterable[Pair]) -> Iterable[str]:
    hosts = {host.key: host for host in problem.hosts}
    for (key, position), count in Counter((pair.host, pair.position) for pair in pairs).items():
        if key not in hosts:
            yield f"{key} is no host of this day."
        elif count > 1:
            yield f"Place {position} of {key} is given {count} times."
        elif not 1 <= position <= hosts[key].positions:
            yield f"{key} has no place {position}."
        elif hosts[key].barred:
            yield f"{key}: {hosts[key].barred[0]}"


def _gates(problem: PlanProblem, pairs: Iterable[Pair]) -> Iterable[str]:
    hosts = {host.key: host for host in problem.hosts}
    wants = {want.key: want for want in problem.wants}
    sticks = {stick.key: stick for stick in problem.sticks}
    able = {(each.piece, each.host, each.method) for each in problem.possible}
    for pair in pairs:
        want, host, stick = wants.get(pair.want), hosts.get(pair.host), sticks.get(pair.stick)
        if want is None or stick is None:
            yield f"{pair.want} or {pair.stick} is unknown."
        elif want.label != stick.label:
            yield f"{pair.stick} is {stick.label}, and {want.label} is wanted."
        elif host is not None:
            if want.clones and host.clone not in want.clones:
                yield f"{pair.host} stands on {host.clone or 'an unknown rootstock'}, not on {' or '.join(want.clones)}."
            if (pair.cut.kind, host.kind, pair.method) not in able:
                yield f"{pair.stick} does not go on {pair.host} by {pair.method}."


def _cuts(problem: PlanProblem, pairs: Sequence[Pair]) -> Iterable[str]:
    sticks = {stick.key: stick for stick in problem.sticks}
    cut: dict[tuple[str, int], list[Pair]] = {}
    for pair in pairs:
        cut.setdefault((pair.stick, pair.stick_number), []).append(pair)
    used: Counter[str] = Counter()
    for (key, number), some in cut.items():
        stick = sticks.get(key)
        if stick is None:
            continue
        used[stick.label] += sum(pair.cut.buds + pair.cut.lost for pair in some)
        asked = Counter((pair.piece, pair.cut) for pair in some)
        if stick.barred:
            yield f"{key}: {stick.barred[0]}"
        if not 1 <= number <= stick.many:
            yield f"There is no stick {number} of {key}."
        if max(asked.values()) > 1 or not any(
            all(1 <= at <= len(way) and way[at - 1] == piece for at, piece in asked) for way in stick.ways
        ):
            yield f"Stick {number} of {key} cannot be cut like that."
    buds: Counter[str] = Counter()
    for stick in problem.sticks:
        if not stick.barred:
            buds[stick.label] += stick.buds * stick.many
    for label, taken in used.items():
        if buds[label] - taken < min(problem.hold_back, buds[label]):
            yield f"Too few buds of {label} are held back."


def rate(problem: PlanProblem, pairs: Iterable[Pair]) -> Rating:
    """Every objective for a list of pairs, whoever made it, by its words and not by the product's own sums.

    KeyError for a pair with a stick that the problem lacks.
    """
    of: dict[str, list[Pair]] = defaultdict(list)
    pairs = tuple(pairs)
    for pair in pairs:
        of[pair.want].append(pair)
    wear = {stick.key: stick.wear for stick in problem.sticks}
    kinds = {host.key: host.kind for host in problem.hosts}
    short = {(each.piece, each.host, each.method, each.chance, each.share): each.short for each in problem.possible}
    values = dict.fromkeys(OBJECTIVES, 0.0)
    values["strong"] -= A_STICK * len({(pair.stick, pair.stick_number) for pair in pairs})
    for want in problem.wants:
        made = of[want.key]
        lacking = short_of_sites(want, len(made), {pair.site for pair in made})
        values["sites" if is_must_have(want) else "spread"] -= weight(want) * lacking
        chance = chance_had(want, made, sites_within_reach(problem, want))
        if is_must_have(want):
            values["chance"] += weight(want) * min(problem.sure, chance)
        if want.last:
            values["last"] += weight(want) * min(max(LAST_SURE, problem.sure), chance)
        trees = want.living_already + sum(pair.chance for pair in made)
        start = want.living_already
        values["value"] += weight(want) * max(0.0, min(want.number, trees) - start)
        more = min(want.number * (1 + problem.spare), trees) - max(want.number, start)
        values["spare"] += weight(want) * max(0.0, more)
        for pair in made:
            kind = pair.cut.kind, kinds[pair.host], pair.method, pair.chance, pair.share
            values["strong"] -= 1 - met_share(pair.share) + short.get(kind, 0.0)
            values["wear"] -= 1 - wear[pair.stick] + A_STOCK
    return Rating(**values)


def sites_within_reach(problem: PlanProblem, want: WantFact) -> set[str]:
    """The sites on which some host would take some piece of a want."""
    wood = [stick for stick in problem.sticks if stick.label == want.label and not stick.barred]
    pieces = {piece.kind for stick in wood for way in stick.ways for piece in way}
    able = {each.host for each in problem.possible if each.piece in pieces}
    return {
        host.site for host in problem.free_hosts if host.kind in able and (not want.clones or host.clone in want.clones)
    }


def chance_had(want: WantFact, made: Sequence[Pair], reach: set[str]) -> float:
    """The chance that enough live, and on as many new sites as are asked for and within reach: every outcome added up, where
    these are not too many."""
    old = {site for site, count in want.already if count}
    needed = max(want.living, int(want.last)) - want.living_already
    sites = min(max(0, want.sites - len(old)), len(reach - old)) if want.living and want.sites > 1 else 0
    if len(made) > 12:
        return living_chance(want, [(pair.site, pair.chance) for pair in made], sites)
    total = 0.0
    for lives in product((False, True), repeat=len(made)):
        alive = [pair for pair, lived in zip(made, lives, strict=True) if lived]
        if len(alive) >= needed and len({pair.site for pair in alive} - old) >= sites:
            total += prod(pair.chance if lived else 1 - pair.chance for pair, lived in zip(made, lives, strict=True))
    return total
