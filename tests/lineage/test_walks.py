"""Clone classes and walks against brute force on random books, with networkx as referee."""

from datetime import date, timedelta

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from lineage.random_books import FIRST, books

from graftbook.errors import Refused
from graftbook.lineage.threads import NONE, Mix, Threads
from graftbook.lineage.walks import ancestors, descendants, exposed


def clone_graph(threads, mixes=False):
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(threads.codes)))
    graph.add_edges_from((above, number) for number, above in enumerate(threads.parent) if above != NONE)
    if mixes:
        for mix in threads.mixes:
            graph.add_edges_from((part, new) for part in mix.parts for new in (mix.bundle, *mix.sticks, *mix.loose))
    return graph


@given(books())
def test_clones_are_the_connected_parts_of_the_threads(threads):
    parts = networkx.weakly_connected_components(clone_graph(threads))
    expected = {frozenset(part) for part in parts}
    found = {}
    for thing, root in enumerate(threads.root):
        found.setdefault(root, set()).add(thing)
    assert expected == {frozenset(part) for part in found.values()}


@given(books())
def test_up_is_every_ancestor_and_down_every_descendant(threads):
    graph = clone_graph(threads, mixes=True)
    for thing in range(len(threads.codes)):
        assert networkx.ancestors(graph, thing) == {step.thing for step in ancestors(threads, thing, {})}
        assert networkx.descendants(graph, thing) | {thing} == set(descendants(threads, [thing], {}))


@given(books(), st.data())
def test_a_thing_surely_descends_just_where_taking_the_start_away_leaves_no_other_source(threads, data):
    start = data.draw(st.integers(0, len(threads.codes) - 1))
    found = descendants(threads, [start], {})
    graph = clone_graph(threads, mixes=True)
    for thing, descent in found.items():
        roots = [n for n in networkx.ancestors(graph, thing) | {thing} if graph.in_degree(n) == 0]
        without = graph.copy()
        without.remove_node(start)
        elsewhere = thing != start and any(networkx.has_path(without, root, thing) for root in roots if root != start)
        assert elsewhere == descent.possible


def fixpoint(threads, descended, since):
    """The earliest day each plant, graft and bundle is exposed from, by applying the rules until nothing changes."""
    never, floor = date.max, since or date.min
    when = [never] * len(threads.codes)  # of plants: the day the plant carries it; of others: the day they are exposed
    began = [day or date.min for day in threads.day]
    alive = [end or date.max for end in threads.end]

    def earlier(thing, day):
        if day < when[thing]:
            when[thing] = day
            return True
        return False

    plant_of = list(range(len(threads.codes)))
    for thing in range(len(threads.codes)):
        while threads.host[plant_of[thing]] != NONE:
            plant_of[thing] = threads.host[plant_of[thing]]
    changed = True
    while changed:
        changed = False
        for thing in range(len(threads.codes)):
            plant = plant_of[thing]
            graft = threads.host[thing] != NONE
            if thing in descended and (graft or thing < threads.plants):
                day = max(floor, began[thing]) if graft else floor
                if alive[plant] >= day:
                    changed |= earlier(plant, day)
            if graft and thing not in descended and when[plant] != never and alive[thing] >= when[plant]:
                changed |= earlier(thing, max(when[plant], began[thing]))
            source = threads.parent[thing]
            if source == NONE or thing in descended:
                pass
            elif threads.host[source] != NONE or source < threads.plants:
                body = plant_of[source]
                if when[body] != never and (threads.day[thing] is None or threads.day[thing] >= when[body]):
                    changed |= earlier(thing, max(when[body], began[thing]))
            elif source not in descended and when[source] != never:
                on = max(when[source], began[thing])
                changed |= earlier(thing, on)
                if graft and alive[plant] >= on:
                    changed |= earlier(plant, on)
        for mix in threads.mixes:
            for part in mix.parts:
                if part not in descended and when[part] != never:
                    for thing in (mix.bundle, *mix.sticks, *mix.loose):
                        if thing not in descended:
                            on = max(when[part], began[thing])
                            changed |= earlier(thing, on)
                            if threads.host[thing] != NONE and alive[plant_of[thing]] >= on:
                                changed |= earlier(plant_of[thing], on)
    return {thing: day for thing, day in enumerate(when) if day != never and thing not in descended}


@given(books(), st.integers(-1, 40), st.data())
def test_exposed_is_what_applying_the_rules_until_nothing_changes_gives(threads, days, data):
    since = None if days < 0 else FIRST + timedelta(days=days)
    start = data.draw(st.integers(0, len(threads.codes) - 1))
    descended = descendants(threads, [start], {})
    found = exposed(threads, descended, since)
    assert not set(found) & set(descended)
    expected = fixpoint(threads, descended, since)
    assert expected == {thing: one.since or date.min for thing, one in found.items()}


@pytest.mark.parametrize(
    ("parent", "host", "words"),
    [
        ((NONE, NONE, 2), (NONE, NONE, 0), "G1 G1, each cut from the next"),
        ((NONE, 2, 1), (NONE, NONE, 0), "W1 G1 W1, each cut from the next"),
    ],
)
def test_things_cut_from_themselves_are_refused_by_name(parent, host, words):
    with pytest.raises(Refused, match=words):
        Threads(("P1", "W1", "G1"), parent, host, (None,) * 3, (None,) * 3, 1).root  # noqa: B018


def test_a_graft_on_itself_and_a_loop_of_hosts_are_refused_by_name():
    with pytest.raises(Refused, match="G1 G1, each standing on the next"):
        Threads(("P1", "G1"), (NONE, NONE), (NONE, 1), (None,) * 2, (None,) * 2, 1).body  # noqa: B018
    with pytest.raises(Refused, match="G1 G3 G2 G1, each standing on the next"):
        Threads(("P1", "G1", "G2", "G3"), (NONE,) * 4, (NONE, 3, 1, 2), (None,) * 4, (None,) * 4, 1).body  # noqa: B018


def test_wood_mixed_into_itself_is_refused():
    from graftbook.lineage.identity import identities

    day = date(2027, 1, 1)
    mixes = (Mix(2, day, (0, 1), None, (3,)), Mix(0, day, (4, 1), None))
    threads = Threads(("W1", "W2", "W3", "W3/1", "W4"), (NONE, NONE, NONE, NONE, 3), (NONE,) * 5, (None,) * 5, (None,) * 5, 0,
                      mixes)  # fmt: skip
    with pytest.raises(Refused, match=r"W[13] was mixed into itself"):
        identities(threads, ())
