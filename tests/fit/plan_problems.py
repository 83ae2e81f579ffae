"""Small problems for the tests of planning, and every plan there is for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from hypothesis import strategies as st

from graftbook.fit.plan_check import faults
from graftbook.fit.plan_facts import HostFact, Pair, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_objectives import rate

A2, A1 = PieceFact("A two buds", 2), PieceFact("A one bud", 1)
B2, B3 = PieceFact("B two buds", 2, 1), PieceFact("B three buds", 3)
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
        Possible(*kind, draw(st.sampled_from([0.3, 0.5, 0.8, 0.85])), draw(st.sampled_from([None, 0.4, 0.7, 1.0])))
        for kind in kinds
        if draw(st.integers(0, 5))
    )
    wants = [draw(_want(str(number))) for number in range(draw(st.integers(1, 3)))]
    wants[0] = replace(wants[0], label=sticks[0].label)
    return PlanProblem(
        tuple(sticks), hosts, possible, tuple(wants), draw(st.integers(0, 2)), draw(st.sampled_from([0.6, 0.9, 1.0]))
    )


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
                                    how.chance, how.basis, how.share, want.key)  # fmt: skip
                        yield from pieces(at, way, piece + 1, (*taken, pair))

    for number, pairs in enumerate(sticks(0, ())):
        if number >= most:
            raise OverflowError
        yield pairs


def best_of(problem: PlanProblem) -> tuple[float, ...]:
    """The objectives of the best of all plans."""
    best: tuple[float, ...] | None = None
    for pairs in every_plan(problem):
        values = tuple(round(value, 7) for value in rate(problem, pairs).in_order())
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
