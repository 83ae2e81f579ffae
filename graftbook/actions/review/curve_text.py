"""The sentences of curves: a best window or why none, the counts it rests on, and what is confounded with x."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from graftbook.actions.desk.results import count
from graftbook.actions.review.curve_facts import Curves, KindCounts, KindCurve
from graftbook.actions.takes.confounders import word
from graftbook.actions.takes.early import so_far, verb
from graftbook.actions.takes.timing import by_x
from graftbook.actions.takes.timing import sentence as effect_sentence
from graftbook.stats import curve as rules
from graftbook.stats.association import measure_association
from graftbook.stats.curve import Curve, NoCurve, Window

MOST, MOST_VALUES = 2, 6
"""How many values of a factor are named on each side, and at how many values of x the counts are named one by one."""
SPREAD_SAID = 1.2
"""From so much overdispersion between days on it is mentioned: a rule of this book."""


def sentences(found: Curves) -> Iterator[str]:
    """A sentence for each kind's line and its confounders; kinds with too few to draw from are named together in one."""
    few = []
    for one in found.kinds:
        if isinstance(one.curve, NoCurve) and one.curve.why == "few":
            few.append(f"{one.name} {one.curve.k} of {one.curve.n}" if one.curve.n else f"{one.name} none")
            continue
        yield sentence(found, one)
        yield from confounded(found, one)
    if few:
        yield f"Too few decided to draw a line from (fewer than {rules.DECIDED}): {', '.join(few)}."


def sentence(found: Curves, one: KindCurve) -> str:
    """`apple: best from about 28 March to 14 April (18 days wide): 62 of 75 took there, 22 of 125 outside.`"""
    if isinstance(one.curve, NoCurve):
        effect = effect_sentence(one.effect, found.axis.word)
        return " ".join(
            filter(None, (f"{one.name}: {_why_not(found, one.curve, one.counts)}.", by_value(found, one), effect))
        )
    text = _window(found, one.curve.window) if one.curve.window is not None else _no_window(found, one, one.curve)
    spread = one.curve.dispersion
    if spread is not None and spread >= SPREAD_SAID:
        text += f" Days differed {spread:.1f} times as much as luck alone; the range is widened for it."
    elif spread is None and found.axis.of_the_day:
        text += " Too few days to measure how far days differ among themselves, so the range may be too narrow."
    return f"{one.name}: {text} {effect_sentence(one.effect, found.axis.word)}".rstrip()


def by_value(found: Curves, one: KindCurve) -> str:
    """`4 April 9 of 15, 2 May 1 of 10.`: the counts at each x, or, of more than a few, up to the middle one and beyond."""
    held = sorted(by_x(one.counts.cells).items())
    if len(held) < 2:
        return ""
    if len(held) > MOST_VALUES:
        return _halves(found, one)
    return f"{', '.join(f'{found.shown(x)} {k} of {n}' for x, (k, n) in held)}."


def _halves(found: Curves, one: KindCurve) -> str:
    """`Up to 12 April 30 of 40, later 12 of 40.`"""
    middle, later = _middle(one), "later" if found.axis.dated else "above"
    ends = [[0, 0], [0, 0]]
    for (x, _day), (k, n) in one.counts.cells.items():
        side = ends[0 if x <= middle else 1]
        side[0], side[1] = side[0] + k, side[1] + n
    return f"Up to {found.shown(middle)} {ends[0][0]} of {ends[0][1]}, {later} {ends[1][0]} of {ends[1][1]}."


def _window(found: Curves, window: Window) -> str:
    first, last = map(found.shown, (window.first, window.last))
    counts = f"{window.k} of {window.n} {verb(found.asked.endpoint)} there, {window.k_rest} of {window.n_rest} outside"
    edge, far = ("earliest", "latest") if found.axis.dated else ("lowest", "highest")
    if window.open_before:
        return f"best up to about {last}: {counts}. {first} is the {edge} there is, so where it begins is not shown."
    if window.open_after:
        return f"best from about {first} on: {counts}. {last} is the {far} there is, so where it ends is not shown."
    return f"best from about {first} to {last} ({_width(found, window)} wide): {counts}."


def _width(found: Curves, window: Window) -> str:
    if found.axis.dated:
        return count(round(window.last) - round(window.first) + 1, "day")
    return found.shown(window.last - window.first)


def _no_window(found: Curves, one: KindCurve, curve: Curve) -> str:
    every = f"every {found.axis.word}" if found.axis.dated else f"any {found.axis.word}"
    if curve.no_window == "unclear":
        return (
            f"{curve.k} of {curve.n} {verb(found.asked.endpoint)}; the chance is not the same at {every}, but where it is best is "
            f"not clear, so no window is named. {_halves(found, one)}"
        )
    return f"no best window shown: {curve.k} of {curve.n} {verb(found.asked.endpoint)}. {_halves(found, one)}"


def young(found: Curves) -> Iterator[str]:
    """Which days are left out because half or more of what was made on them still waits."""
    for one in found.kinds:
        held = one.counts.young
        if held:
            first, last = found.shown(min(held)[0]), found.shown(max(held)[0])
            ends = first if first == last else f"{first} to {last}"
            k, n = (sum(place[at] for place in held) for at in (1, 2))
            yield (f"{one.name}: {ends} left out ({k} of {n} decided {verb(found.asked.endpoint)}), since half or more of what was "
                   "made then still waits, and failures show first.")  # fmt: skip


def _why_not(found: Curves, none: NoCurve, counts: KindCounts) -> str:
    if none.why == "early":
        return f"too early for a rate ({so_far(none.k, none.n, counts.waits, found.asked.endpoint)})"
    decided = f"{none.k} of {none.n} {verb(found.asked.endpoint)}"
    if none.why == "few":
        return f"no line drawn: {decided}; at least {rules.DECIDED} decided are needed"
    if none.why in ("all", "none"):
        which = "all" if none.why == "all" else "none"
        return f"no line drawn: {which} of {none.n} {verb(found.asked.endpoint)}, whatever the {found.axis.word}"
    if none.why == "few-each":
        return f"no line drawn: {decided}; at least {rules.EACH} of each outcome are needed"
    if none.why == "same":
        many = count(none.values, "day" if found.axis.dated else "value")
        return f"no line drawn: {decided}, on {many} only; at least {rules.VALUES} are needed"
    place = "" if none.at is None else found.shown(none.at)
    sides = ("before", "after") if found.axis.dated else ("below", "above")
    good, bad = sides if none.better == "before" else sides[::-1]
    return (f"no line drawn: {decided}, all of them {good} {place} and every failure {bad}; how steep the change is cannot be "
            "estimated")  # fmt: skip


def confounded(found: Curves, one: KindCurve) -> Iterator[str]:
    """The confounders of x, with counts, where a line was drawn or an effect shown."""
    shown = one.effect is not None and one.effect.shown
    if not isinstance(one.curve, Curve) and not shown:
        return
    middle = _middle(one)
    for name, counts in one.counts.beside.items():
        values = [value for (value, _x), _n in counts.items()]
        sides = ["before" if x <= middle else "after" for (_value, x), _n in counts.items()]
        how = measure_association(values, sides, list(counts.values()))
        if how is not None and how.strong:
            place = found.shown(middle)
            early, late = (_largest(counts, middle, side) for side in ("before", "after"))
            degree = "wholly" if how.complete else "for the most part"
            later = "later" if found.axis.dated else "above"
            yield (
                f"{one.name}: {word(name)} changed {degree} with the {found.axis.word} (up to {place}: {early}; {later}: "
                f"{late}), so the {found.axis.word} cannot be named as the cause."
            )


def pooled(found: Curves) -> Iterator[str]:
    """A caution with counts where kinds are pooled."""
    kinds: Counter[str] = Counter()
    for one in found.kinds if "species" not in found.by else ():
        for (value, _x), number in one.counts.beside["species"].items():
            kinds[value or "not recorded"] += number
    if len(kinds) > 1:
        counted = ", ".join(f"{kind} {number}" for kind, number in kinds.most_common(6))
        yield f"This pools kinds that take differently ({counted}): add species to --by before believing it."


def _middle(one: KindCurve) -> float:
    """The median x of those counted; never the highest, so that both sides hold some."""
    by_x: Counter[float] = Counter()
    for (x, _day), (_k, n) in one.counts.cells.items():
        by_x[x] += n
    half, passed = by_x.total() / 2, 0
    values = sorted(by_x)
    for x in values[:-1]:
        passed += by_x[x]
        if passed >= half:
            return x
    return values[-2]


def _largest(counts: Counter[tuple[Any, ...]], middle: float, side: str) -> str:
    held: Counter[Any] = Counter()
    for (value, x), number in counts.items():
        if value is not None and (x <= middle) == (side == "before"):
            held[value] += number
    return ", ".join(
        f"{value} {number}" for value, number in sorted(held.items(), key=lambda at: (-at[1], str(at[0])))[:MOST]
    )


def facts(found: Curves, one: KindCurve) -> dict[str, Any]:
    """The facts of one kind's line as a whole: counts, its window if any, and why there is no line or window."""
    curve, drawn = one.curve, isinstance(one.curve, Curve)
    window: Window | None = getattr(curve, "window", None)
    ends = (None, None) if window is None else (found.stored(window.first), found.stored(window.last))
    return {
        **dict(zip((*found.by, "unit"), one.key, strict=True)), "k": curve.k, "n": curve.n, "drawn": drawn,
        "why_not": getattr(curve, "why", None), "window_from": ends[0], "window_to": ends[1],
        "open_before": getattr(window, "open_before", None), "open_after": getattr(window, "open_after", None),
        "k_within": getattr(window, "k", None), "n_within": getattr(window, "n", None),
        "no_window": getattr(curve, "no_window", None), "p_any_effect": None if one.effect is None else one.effect.p,
        "days_differ": getattr(curve, "dispersion", None),
    }  # fmt: skip
