"""A fair trial: whole blocks, nothing against the gates, as many blocks as can be, and the same lots for the same seed."""

from collections import Counter, defaultdict
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from graftbook.errors import UsageProblem
from graftbook.fit.blocks import TrialUnit, randomise

ARMS = ("cleft", "whip-and-tongue", "saddle")
units = st.lists(
    st.tuples(st.sampled_from(["W1", "W2"]), st.sampled_from(["6-8", "8-10"]), st.sets(st.sampled_from(ARMS))),
    max_size=14,
).map(
    lambda some: [
        TrialUnit(f"{at:02}", bundle, size, tuple(sorted(open_))) for at, (bundle, size, open_) in enumerate(some)
    ]
)


def most_blocks(some, arms):
    """The most whole blocks of a stratum by Hall's condition: every set of ways finds grafts enough that may have it."""
    for number in range(len(some) // len(arms), 0, -1):
        if all(
            sum(any(arm in unit.allowed for arm in chosen) for unit in some) >= number * size
            for size in range(1, len(arms) + 1)
            for chosen in combinations(arms, size)
        ):
            return number
    return 0


@settings(max_examples=150)
@given(units, st.sampled_from([ARMS, ARMS[:2]]), st.integers(0, 10**6))
def test_blocks_are_whole_within_bundle_and_thickness_and_obey_every_gate(some, arms, seed):
    found = randomise(some, arms, seed)
    by_key = {unit.key: unit for unit in some}
    blocks = defaultdict(list)
    for lot in found.assignments:
        assert lot.arm in by_key[lot.unit.key].allowed
        blocks[lot.block].append(lot)
    for block in blocks.values():
        assert sorted(arms) == sorted(lot.arm for lot in block)
        assert 1 == len({(by_key[lot.unit.key].bundle, by_key[lot.unit.key].size_class) for lot in block})
    strata = defaultdict(list)
    for unit in some:
        strata[unit.bundle, unit.size_class].append(unit)
    assert sum(most_blocks(stratum, arms) for stratum in strata.values()) == found.blocks == len(blocks)
    assert 1 == len(set(found.counts))
    assert sorted(by_key) == sorted([lot.unit.key for lot in found.assignments] + [key for key, _ in found.outside])
    assert found == randomise(some[::-1], arms, seed)


def test_every_way_is_drawn_as_often_on_every_graft():
    """2,000 seeds: by the chi-square test of scipy, no graft favours a way."""
    some = [TrialUnit(str(at), "W1", "6-8", ARMS) for at in range(6)]
    drawn = defaultdict(Counter)
    for seed in range(2000):
        for lot in randomise(some, ARMS, seed).assignments:
            drawn[lot.unit.key][lot.arm] += 1
    for counts in drawn.values():
        assert chisquare([counts[arm] for arm in ARMS]).pvalue > 0.001


def test_what_stays_outside_says_why():
    some = [
        TrialUnit("G1", "W1", "6-8", ARMS),
        TrialUnit("G2", "W2", "6-8", ()),
        TrialUnit("G3", "W3", "6-8", ("cleft",)), TrialUnit("G4", "W3", "6-8", ARMS), TrialUnit("G5", "W3", "6-8", ("cleft",)),
        *(TrialUnit(f"G{at}", "W4", "6-8", ARMS) for at in (6, 7, 8)),
    ]  # fmt: skip
    stated = dict(randomise(some, ARMS[:2], 3).outside)
    assert (
        "G1 stays outside the trial: only 1 graft of its bundle and thickness, too few for a block of 2."
        == stated["G1"]
    )
    assert "G2 stays outside the trial: its gates allow none of the ways compared." == stated["G2"]
    assert [
        "allow no whip-and-tongue, and the others make whole blocks." in stated[key]
        for key in ("G3", "G5")
        if key in stated
    ] == [True]
    assert 1 == sum("makes no whole block" in why for why in stated.values())


@pytest.mark.parametrize(
    ("some", "arms", "seed"),
    [([], ("cleft",), 1), ([], ("cleft", "cleft"), 1), ([TrialUnit("1", "", "", ())] * 2, ARMS, 1), ([], ARMS, -1)],
)
def test_trials_that_cannot_be_are_refused(some, arms, seed):
    with pytest.raises(UsageProblem):
        randomise(some, arms, seed)
