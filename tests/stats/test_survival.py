"""Times to something: against published curves, against lifelines on random data, and what must never be said."""

from __future__ import annotations

import csv
import warnings
from math import inf, isfinite, sqrt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.stats.survival import CensoredInterval, Course, kaplan_meier, turnbull

DATA = Path(__file__).parent / "data"

# Freireich and others (1963): share in remission and its standard error, as R's survival package prints them for these
# data (survfit, Greenwood).
REMISSION = ((6, 0.8571, 0.0764), (7, 0.8067, 0.0869), (10, 0.7529, 0.0963), (13, 0.6902, 0.1068), (16, 0.6275, 0.1141),
             (22, 0.5378, 0.1282), (23, 0.4482, 0.1346))  # fmt: skip
PLACEBO = ((1, 0.9048), (2, 0.8095), (3, 0.7619), (4, 0.6667), (5, 0.5714), (8, 0.3810), (11, 0.2857), (12, 0.1905),
           (15, 0.1429), (17, 0.0952), (22, 0.0476), (23, 0.0))  # fmt: skip


def read(name: str) -> list[dict[str, str]]:
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def remission(treatment: str, level: float = 0.95) -> Course:
    rows = [row for row in read("leukaemia_6mp.csv") if row["treat"] == treatment]
    return kaplan_meier([float(row["weeks"]) for row in rows], [row["event"] == "1" for row in rows], level)


def test_the_curve_of_freireich_and_others_comes_out_as_published():
    """Freireich, E. J. and others (1963). Blood 21:699-716, arm of 6-mercaptopurine."""
    found = remission("6-MP")
    assert [
        (time, pytest.approx(share, abs=5e-5), pytest.approx(error, abs=5e-5)) for time, share, error in REMISSION
    ] == [(step.time, 1 - step.happened, step.error) for step in found.steps]
    assert (21, 9, "kaplan-meier") == (found.n, found.k, found.method)
    assert (23, 23) == found.when(0.5)


def test_the_curve_of_the_placebo_arm_comes_out_as_published():
    """The same source; everyone relapsed, so the last share has no error, and its low end is that of the step before."""
    found = remission("control")
    assert [(time, pytest.approx(share, abs=5e-5)) for time, share in PLACEBO] == [
        (step.time, 1 - step.happened) for step in found.steps
    ]
    last, before = found.steps[-1], found.steps[-2]
    assert (None, before.low, 1.0) == (last.error, last.low, last.high)
    assert (8, 8) == found.when(0.5)


def test_turnbulls_curve_of_the_two_treatments_comes_out_as_published():
    """Data of Finkelstein and Wolfe (1985), Biometrics 41:933-945. The shares of radiotherapy alone are those that R's
    survival package prints for them (survfit of interval-censored data)."""
    spans = {
        group: [
            CensoredInterval(float(row["left"]), float(row["right"]))
            for row in read("cosmesis_94.csv")
            if row["group"] == group
        ]
        for group in ("RT", "RCT")
    }
    found = turnbull(spans["RT"])
    assert (46, "turnbull") == (found.n, found.method)
    assert [0.954, 0.920, 0.832] == [pytest.approx(1 - step.happened, abs=6e-4) for step in found.steps[:3]]
    assert [(4, 5), (6, 7), (7, 8)] == [(step.since, step.time) for step in found.steps[:3]]
    assert turnbull(spans["RCT"]).at(31).happened > found.at(31).happened


def test_the_range_of_kaplan_and_meier_is_the_log_log_one_of_lifelines():
    """lifelines as referee, on the data of Freireich and others, at two levels."""
    from lifelines import KaplanMeierFitter

    rows = [row for row in read("leukaemia_6mp.csv") if row["treat"] == "6-MP"]
    for level in (0.95, 0.8):
        fitter = KaplanMeierFitter(alpha=1 - level)
        fitter.fit([float(row["weeks"]) for row in rows], [row["event"] == "1" for row in rows])
        band = fitter.confidence_interval_
        for step in remission("6-MP", level).steps:
            low, high = band.loc[step.time]
            assert (pytest.approx(1 - high, abs=1e-9), pytest.approx(1 - low, abs=1e-9)) == (step.low, step.high)


followed = st.lists(st.tuples(st.integers(1, 30), st.booleans()), min_size=2, max_size=40)


@given(followed)
def test_kaplan_and_meiers_share_and_error_are_those_of_lifelines(rows):
    """lifelines as referee; its error through its own cumulative Greenwood sum."""
    from lifelines import KaplanMeierFitter

    times, happened = [float(time) for time, _ in rows], [yes for _, yes in rows]
    found = kaplan_meier(times, happened)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter = KaplanMeierFitter().fit(times, happened)
        for step in found.steps:
            share = float(fitter.survival_function_at_times(step.time).iloc[0])
            assert pytest.approx(share, abs=1e-12) == 1 - step.happened
            if share > 1e-12:
                assert pytest.approx(share * sqrt(float(fitter._cumulative_sq_.loc[step.time])), abs=1e-9) == step.error


@given(followed)
def test_on_days_that_are_known_turnbull_gives_kaplan_and_meiers_curve_and_error(rows):
    known = kaplan_meier([float(time) for time, _ in rows], [yes for _, yes in rows])
    found = turnbull([CensoredInterval(float(time), float(time) if yes else inf) for time, yes in rows])
    assert [(step.time, pytest.approx(step.happened, abs=1e-6)) for step in known.steps] == [
        (step.time, step.happened) for step in found.steps
    ]
    for one, other in zip(known.steps, found.steps, strict=True):
        assert (one.error is None) == (other.error is None)
        assert one.known == other.known
        if one.error is not None:
            assert pytest.approx(one.error, abs=1e-5) == other.error


between = st.lists(
    st.tuples(st.integers(0, 12), st.integers(1, 6), st.booleans()).map(
        lambda parts: (float(parts[0]), float(parts[0] + parts[1]) if parts[2] else inf)
    ),
    min_size=3,
    max_size=20,
).filter(lambda spans: any(isfinite(by) for _, by in spans))


@given(between)
def test_turnbulls_shares_are_at_least_as_likely_as_those_of_lifelines(spans):
    """lifelines as referee; it takes closed stretches, so the left ends are moved a hair. Where the likeliest shares are not
    the only ones, the likelihoods must agree."""
    from lifelines import KaplanMeierFitter

    found = turnbull([CensoredInterval(after, by) for after, by in spans])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter = KaplanMeierFitter().fit_interval_censoring(
            [after + 1e-6 for after, _ in spans], [by for _, by in spans]
        )
    theirs = fitter.survival_function_

    def lived(time: float) -> float:
        """The share to come just after a time, by lifelines' upper curve."""
        reached = theirs[theirs.index <= time + 1e-9]
        return (float(reached.iloc[-1, 0]) if len(reached) else 1.0) if isfinite(time) else 0.0

    def ours(time: float) -> float:
        step = found.at(time) if isfinite(time) else None
        return (1.0 if step is None else 1 - step.happened) if isfinite(time) else 0.0

    def likelihood(curve) -> float:
        result = 1.0
        for after, by in spans:
            result *= max(curve(after) - curve(by), 0.0)
        return result

    assert likelihood(ours) >= likelihood(lived) * (1 - 1e-4)


def test_nothing_is_certain_when_all_have_happened_at_once():
    """Three of three: the low end is the exact one, the third root of the tail."""
    (step,) = kaplan_meier([4, 4, 4], [True, True, True]).steps
    assert (1.0, None, 1.0) == (step.happened, step.error, step.high)
    assert pytest.approx(0.025 ** (1 / 3)) == step.low


def test_what_never_comes_keeps_its_place_among_all():
    """Two of four pushed; the two that died never will, and half of all is what the curve comes to."""
    found = kaplan_meier([10, 20, inf, inf], [True, True, False, False])
    assert [(10, 0.25), (20, 0.5)] == [(step.time, step.happened) for step in found.steps]
    assert found.when(0.75) is None
    same = turnbull([CensoredInterval(5, 10), CensoredInterval(15, 20), CensoredInterval(inf, inf, 2)])
    assert [(5, 10, pytest.approx(0.25)), (15, 20, pytest.approx(0.5))] == [
        (step.since, step.time, step.happened) for step in same.steps
    ]


def test_nothing_seen_gives_no_steps():
    assert () == kaplan_meier([3, 5], [False, False]).steps
    assert () == turnbull([CensoredInterval(3, inf), CensoredInterval(0, inf)]).steps
    assert (0, 0) == (turnbull([]).n, kaplan_meier([], []).n)


def test_before_the_first_step_there_is_none():
    found = kaplan_meier([4, 6], [True, True])
    assert found.at(3) is None
    assert 0.5 == found.at(5).happened


@pytest.mark.parametrize("level", [0, 1, -0.5, True, "0.95"])
def test_a_level_outside_nought_and_one_is_refused(level):
    with pytest.raises(UsageProblem, match="a level between 0 and 1"):
        kaplan_meier([1], [True], level)
    with pytest.raises(UsageProblem, match="a level between 0 and 1"):
        turnbull([CensoredInterval(0, 1)], level)


def test_times_that_are_none_are_refused():
    with pytest.raises(UsageProblem, match="a time of 0 or more"):
        kaplan_meier([-1], [True])
    with pytest.raises(UsageProblem, match="a time of 0 or more"):
        turnbull([CensoredInterval(float("nan"), 3)])
    with pytest.raises(UsageProblem, match="ends on or after"):
        turnbull([CensoredInterval(5, 3)])
    with pytest.raises(UsageProblem, match="a time for each"):
        kaplan_meier([1, 2], [True])
