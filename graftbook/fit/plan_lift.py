"""A plan of the coarse question told in the numbers of the fine one, so that what is settled there is never lost.

Whatever fine pieces and hosts stand behind a coarse pair may go together with the very chance of that pair, and each coarse
way of cutting is the image of a fine one: so every coarse plan has a fine plan with the same sites, chances and trees.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from graftbook.fit.plan_coarse import piece_names, told_as
from graftbook.fit.plan_deal import deal
from graftbook.fit.plan_facts import Pair, PieceFact, Question, StickFact
from graftbook.fit.plan_groups import Groups, class_of
from graftbook.fit.plan_settle import Settled
from graftbook.fit.plan_value import met_share


def lifted(question: Question, groups: Groups, rough_groups: Groups, rough: Settled) -> tuple[int, ...]:
    """The numbers of uses, lanes and ways of cutting of `groups` (the fine question's) for a coarse plan."""
    pairs, _ = deal(rough_groups, rough)
    by_stick: dict[tuple[str, int], list[Pair]] = defaultdict(list)
    for pair in pairs:
        by_stick[pair.stick, pair.stick_number].append(pair)
    fine = _Fine(groups)
    named = piece_names(question)
    sticks = {stick.key: stick for stick in question.sticks}
    for (key, _), some in by_stick.items():
        cut = _pieces(sticks[key], some, named, question.hold_back > 0)
        fine.add(sticks[key], list(cut))
    return (*fine.uses, *fine.lanes, *fine.cuts)


def _pieces(
    stick: StickFact, pairs: Sequence[Pair], named: dict[str, str], held: bool
) -> Iterator[tuple[Pair, PieceFact]]:
    """The fine piece of each pair of one stick, all of one way of cutting."""
    asked = Counter(pair.cut for pair in pairs)
    for way in stick.ways:
        images: dict[PieceFact, list[PieceFact]] = defaultdict(list)
        for piece in way:
            if piece.kind in named:
                images[told_as(piece, named, held)].append(piece)
        if all(len(images.get(image, ())) >= number for image, number in asked.items()):
            for pair in pairs:
                yield pair, images[pair.cut].pop()
            return
    raise LookupError(f"no way of {stick.key} gives {asked}")


class _Fine:
    """The numbers as they are gathered."""

    def __init__(self, groups: Groups) -> None:
        self.groups = groups
        self.uses, self.lanes, self.cuts = [0] * len(groups.uses), [0] * len(groups.lanes), [0] * groups.ways
        self._piece = {piece: at for at, piece in enumerate(groups.pieces)}
        self._want = {want.key: at for at, want in enumerate(groups.wants)}
        self._host = {member.key: at for at, host in enumerate(groups.hosts) for member in host.members}
        self._use: dict[tuple[int, int, float], list[int]] = defaultdict(list)
        for at, use in enumerate(groups.uses):
            self._use[use.piece, use.want, use.chance].append(at)
        self._lane: dict[tuple[int, int, float], int] = {}
        for at in sorted(range(len(groups.lanes)), key=lambda at: met_share(groups.lanes[at].how.share)):
            lane = groups.lanes[at]
            self._lane[lane.node, lane.host, lane.how.chance] = at
        self._ways: dict[str, tuple[int, tuple[tuple[tuple[int, int], ...], ...]]] = {}
        first = 0
        for stick in groups.sticks:
            self._ways.update((member.key, (first, stick.ways)) for member in stick.members)
            first += len(stick.ways)

    def add(self, stick: StickFact, cut: Sequence[tuple[Pair, PieceFact]]) -> None:
        """One stick cut, and its grafts."""
        places = [self._piece[class_of(stick, piece)] for _, piece in cut]
        first, ways = self._ways[stick.key]
        used = Counter(places)
        held = (dict(way) for way in ways)
        at = next(at for at, way in enumerate(held) if all(way.get(place, 0) >= used[place] for place in used))
        self.cuts[first + at] += 1
        for (pair, _), place in zip(cut, places, strict=True):
            host = self._host[pair.host]
            for use in self._use[place, self._want[pair.want], pair.chance]:
                lane = self._lane.get((self.groups.uses[use].node, host, pair.chance))
                if lane is not None:
                    self.uses[use] += 1
                    self.lanes[lane] += 1
                    break
            else:
                raise LookupError(f"{pair.stick} has no lane to {pair.host}")
