"""The identity of every thing of a book, in one pass over its lines of descent.

Clones are identified one after the other, those of mixed wood after the wood that went into the mix. Within a mix, the
identities found of some sticks can determine the others by counting.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from graftbook.errors import Refused
from graftbook.lineage.counting import possible
from graftbook.lineage.naming import Identity, Statement, identity_of, latest_statements
from graftbook.lineage.threads import Mix, Threads

UNKNOWN = Identity()


@dataclass(frozen=True)
class Identities:
    """The identity of each thing (`of`, one for each number), and which bundles each thing out of a mix can have come from
    (`sources`, by number).

    `uncountable` holds the new bundles of mixes whose sticks were found to be more of one kind than went in.
    """

    of: Sequence[Identity]
    sources: dict[int, tuple[int, ...]]
    uncountable: tuple[int, ...] = ()


def identities(threads: Threads, statements: Iterable[Statement]) -> Identities:
    """The identity of every thing, by the statements given; `thing` of a statement is a number of `threads`.

    Raises Refused for lines of descent or mixes that go in a circle.
    """
    root = threads.root
    standing: dict[int, list[Statement]] = {}
    for thing, on_thing in latest_statements(statements).items():
        standing.setdefault(root[thing], []).append(on_thing[-1])
    found = {foot: identity_of(on_clone) for foot, on_clone in standing.items()}
    sources: dict[int, tuple[int, ...]] = {}
    uncountable = [mix.bundle for mix in in_order(threads) if not _identify_mix(threads, mix, standing, found, sources)]
    return Identities([found.get(foot, UNKNOWN) for foot in root], sources, tuple(uncountable))


def in_order(threads: Threads) -> list[Mix]:
    """The mixes, each after those whose sticks its own wood came from. Raises Refused where they go in a circle."""
    done: dict[int, None] = {}
    by_bundle = {mix.bundle: mix for mix in threads.mixes}
    for start in threads.mixes:
        stack = [(start, iter(_before(threads, start)))]
        on_path = {start.bundle}
        while stack:
            mix, before = stack[-1]
            earlier = next((m for m in before if m.bundle not in done), None)
            if earlier is None:
                done[mix.bundle] = None
                on_path.discard(mix.bundle)
                stack.pop()
            elif earlier.bundle in on_path:
                raise Refused(f"{threads.codes[earlier.bundle]} was mixed into itself")
            else:
                on_path.add(earlier.bundle)
                stack.append((earlier, iter(_before(threads, earlier))))
    return [by_bundle[bundle] for bundle in done]


def _before(threads: Threads, mix: Mix) -> list[Mix]:
    feet = (threads.root[part] for part in mix.parts)
    return [threads.mix_of[foot] for foot in feet if foot in threads.mix_of]


def _identify_mix(
    threads: Threads, mix: Mix, standing: dict[int, list[Statement]], found: dict[int, Identity],
    sources: dict[int, tuple[int, ...]],
) -> bool:  # fmt: skip
    """Identify what came out of one mix; whether its sticks can be shared out among the bundles that went in."""
    parts = [found.get(threads.root[part], UNKNOWN).names for part in mix.parts]
    open_ended = any(not names for names in parts)
    every = tuple(sorted({name for names in parts for name in names}))
    of_all = standing.get(mix.bundle, [])
    for thing in (mix.bundle, *mix.sticks, *mix.loose):
        statements = standing.get(thing, [])
        statements = statements if thing == mix.bundle else [*of_all, *statements]
        found[thing] = _out_of(identity_of(statements) if statements else UNKNOWN, every, open_ended)
    for thing in (mix.bundle, *mix.loose):
        sources[thing] = _sources(_mask(found[thing], parts), mix)
    return all([_count_out(things, mix, parts, found, sources) for things in (mix.sticks, mix.opened)])


def _count_out(
    things: Sequence[int], mix: Mix, parts: Sequence[tuple[str, ...]], found: dict[int, Identity],
    sources: dict[int, tuple[int, ...]],
) -> bool:  # fmt: skip
    """Let counting settle what it can of things that are each of one stick of its own; whether they can be shared out among the
    bundles that went in."""
    allowed = [_mask(found[thing], parts) for thing in things]
    counted = possible(allowed, mix.counts) if mix.counts is not None else None
    for thing, mask in zip(things, counted if counted is not None else allowed, strict=True):
        _by_counting(thing, mask, parts, found, counted is not None)
        sources[thing] = _sources(mask, mix)
    return counted is not None or mix.counts is None


def _sources(mask: int, mix: Mix) -> tuple[int, ...]:
    return tuple(part for bit, part in enumerate(mix.parts) if mask >> bit & 1)


def _out_of(own: Identity, every: tuple[str, ...], open_ended: bool) -> Identity:
    """The identity of a stick of a mix by its own statements and by what went in; `open_ended` where something unknown did."""
    if not own.names:
        names = () if open_ended else every
        if own.sure is not None:
            return own
        return Identity(names, ("believed" if len(names) == 1 else "doubtful") if every else None)
    if open_ended or own.disputed:
        return own
    both = tuple(name for name in own.names if name in every)
    return replace(own, names=both) if both else replace(own, outside=True)


def _mask(identity: Identity, parts: Sequence[tuple[str, ...]]) -> int:
    """The bundles a stick may have come from by what it is."""
    mask = 0
    for bit, names in enumerate(parts):
        if not names or not identity.names or set(names) & set(identity.names):
            mask |= 1 << bit
    return mask


def _by_counting(
    stick: int, mask: int, parts: Sequence[tuple[str, ...]], found: dict[int, Identity], counted: bool
) -> None:
    chosen = [names for bit, names in enumerate(parts) if mask >> bit & 1]
    left = {name for names in chosen for name in names}
    own = found[stick]
    if not counted or not all(chosen) or not left:
        return
    names = tuple(sorted(left)) if not own.names else tuple(name for name in own.names if name in left)
    if names and names != own.names and (own.names or own.sure is None):
        found[stick] = replace(own, names=names, sure="believed" if len(names) == 1 else own.sure, counted=True)
