"""What every thing is: along the clone both ways, through mixed wood, and by counting, against brute force."""

from datetime import date
from itertools import product

from hypothesis import given
from hypothesis import strategies as st
from lineage.random_books import books

from graftbook.lineage.counting import possible
from graftbook.lineage.identity import identities
from graftbook.lineage.naming import Statement, identity_of
from graftbook.lineage.threads import NONE, Mix, Threads

DAY = date(2027, 1, 20)


def mixed(a=6, b=5, counts=True):
    """P0 and P1 with bundles 2 and 3, mixed into bundle 4 with its sticks from 5 on."""
    sticks = tuple(range(5, 5 + a + b))
    total = 5 + a + b
    parent = [NONE, NONE, 0, 1, *[NONE] * (total - 4)]
    mix = Mix(4, DAY, (2, 3), (a, b) if counts else None, sticks)
    codes = [str(number) for number in range(total)]
    return Threads(codes, parent, [NONE] * total, [DAY] * total, [None] * total, 2, (mix,))


def trees():
    return [Statement(0, None, ("A",)), Statement(1, None, ("B",))]


def fruit(thing, name, ref):
    return Statement(thing, date(2031, 9, 1), (name,), "verified by fruit", ref=ref)


def test_each_stick_of_a_mix_is_one_or_the_other_and_the_wood_before_it_is_not_touched():
    found = identities(mixed(), trees())
    assert {("A", "B")} == {found.of[thing].names for thing in range(4, 16)}
    assert [("A",), ("B",)] == [found.of[thing].names for thing in (2, 3)]


def test_one_stick_that_fruited_leaves_its_siblings_in_doubt():
    found = identities(mixed(), [*trees(), fruit(5, "A", 9)])
    assert ("A",) == found.of[5].names
    assert {("A", "B")} == {found.of[thing].names for thing in range(6, 16)}


def test_when_all_six_of_one_kind_are_found_the_rest_are_the_other_by_counting():
    found = identities(mixed(), [*trees(), *(fruit(thing, "A", thing) for thing in range(5, 11))])
    rest = [found.of[thing] for thing in range(11, 16)]
    assert {(("B",), "believed", True)} == {(one.names, one.sure, one.counted) for one in rest}
    assert {(3,)} == {found.sources[thing] for thing in range(11, 16)}


def test_without_counts_nothing_is_settled_by_counting():
    words = [*trees(), *(fruit(thing, "A", thing) for thing in range(5, 11))]
    assert ("A", "B") == identities(mixed(counts=False), words).of[12].names


def test_seven_found_where_six_went_in_settles_nothing_and_is_told():
    found = identities(mixed(), [*trees(), *(fruit(thing, "A", thing) for thing in range(5, 12))])
    assert (4,) == found.uncountable
    assert ("A", "B") == found.of[13].names


def test_a_stick_that_fruits_as_something_never_mixed_in_is_that_and_is_marked():
    found = identities(mixed(), [*trees(), fruit(5, "C", 9)])
    assert (("C",), True) == (found.of[5].names, found.of[5].outside)


def test_a_tree_found_to_be_another_changes_what_its_mixed_sticks_might_be():
    found = identities(mixed(), [*trees(), fruit(1, "C", 9)])
    assert ("A", "C") == found.of[5].names


def test_a_word_on_the_whole_of_the_mixed_bundle_speaks_for_each_stick():
    found = identities(mixed(), [*trees(), Statement(4, DAY, ("A",), "tested", ref=9)])
    assert {("A",)} == {found.of[thing].names for thing in range(4, 11)}


def test_unknown_wood_in_a_mix_leaves_its_sticks_open():
    found = identities(mixed(), [trees()[0]])
    assert () == found.of[5].names
    assert ("A",) == identities(mixed(), [trees()[0], fruit(5, "A", 9)]).of[5].names


def brute(allowed, counts):
    """Every sharing out of sticks among bundles, tried."""
    ways = [
        way for way in product(range(len(counts)), repeat=len(allowed))
        if all(mask >> bundle & 1 for mask, bundle in zip(allowed, way, strict=True))
        and all(way.count(bundle) <= count for bundle, count in enumerate(counts))
    ]  # fmt: skip
    if not ways:
        return None
    return [sum(1 << bundle for bundle in {way[at] for way in ways}) for at in range(len(allowed))]


@given(st.lists(st.integers(0, 3), min_size=1, max_size=3), st.data())
def test_counting_agrees_with_trying_every_sharing_out(counts, data):
    masks = st.integers(0, (1 << len(counts)) - 1)
    size = max(0, sum(counts) + data.draw(st.sampled_from((0, 0, 0, 1, -1, -2))))
    allowed = data.draw(st.lists(masks, min_size=size, max_size=size))
    expected = brute(allowed, counts) if size <= sum(counts) else None
    assert expected == possible(allowed, counts)


@given(books(), st.data())
def test_a_clone_without_mixed_wood_is_what_all_its_words_come_to(threads, data):
    words = data.draw(
        st.lists(
            st.builds(
                Statement,
                st.integers(0, len(threads.codes) - 1),
                st.dates(date(2020, 1, 1), date(2020, 1, 5)),
                st.sampled_from([(), ("A",), ("B",), ("A", "B")]),
                st.sampled_from(["believed", "doubtful", "tested"]),
            ),
            max_size=8,
        )
    )
    words = [Statement(w.thing, w.on, w.names, w.sure, None, ref) for ref, w in enumerate(words)]
    found = identities(threads, words).of
    mixes = {thing for mix in threads.mixes for thing in (mix.bundle, *mix.sticks, *mix.loose)}
    for thing in range(len(threads.codes)):
        chain = [thing]
        while threads.parent[chain[-1]] != NONE:
            chain.append(threads.parent[chain[-1]])
        if chain[-1] in mixes:
            continue
        clone = _clone(threads, chain[-1])
        latest_statements = {}
        for word in sorted(words, key=lambda word: (word.on, word.ref)):
            latest_statements[word.thing] = word
        standing = [latest_statements[other] for other in sorted(clone) if other in latest_statements]
        assert found[thing] == (identity_of(standing) if standing else found[thing])
        assert standing or found[thing].sure is None


def _clone(threads, root):
    clone = {root}
    while True:
        more = {n for n, above in enumerate(threads.parent) if above in clone} | clone
        if more == clone:
            return clone
        clone = more
