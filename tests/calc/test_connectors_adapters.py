"""Chains of adapters: against networkx where there is enough of each, against every order where there is not."""

from itertools import combinations, permutations

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.connectors import Adapter, adapter_path, all_connectors, mates
from calc.errors import BadInput

ALL_HALVES = [(entry.code, side) for entry in all_connectors() for side in entry.sides]
# A few halves that meet often, so that chains of several links come up.
BUSY_CODES = ("8p8c", "8p8c-rugged", "xlr-3", "c13", "c14", "expanded-beam-2", "usb-c")
BUSY_HALVES = [half for half in ALL_HALVES if half[0] in BUSY_CODES]
halves = st.sampled_from(BUSY_HALVES) | st.sampled_from(ALL_HALVES)
busy_halves = st.sampled_from(BUSY_HALVES)
adapters = st.builds(lambda name, a, b: Adapter(name, *a, *b), st.sampled_from("ABCDEF"), busy_halves, busy_halves)


def joins(from_, to, chain):
    """Whether the chain holds together: some way of turning its adapters makes every joint meet."""
    open_halves = {from_}
    for adapter in chain:
        ends = ((adapter.a, adapter.side_a), (adapter.b, adapter.side_b))
        turned = [ends, ends[::-1]]
        open_halves = {out for here in open_halves for into, out in turned if mates(*here, *into)}
    return any(mates(*half, *to) for half in open_halves)


def length_by_networkx(from_, to, stock):
    """The shortest chain if there were enough of every adapter, over a graph of halves."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(["to", ("open", from_)])
    ends = {end for item in stock for end in ((item.a, item.side_a), (item.b, item.side_b))}
    for half in {from_, *ends}:
        if mates(*half, *to):
            graph.add_edge(("open", half), "to", weight=0)
        for item in stock:
            one, other = (item.a, item.side_a), (item.b, item.side_b)
            for into, out in ((one, other), (other, one)):
                if mates(*half, *into):
                    graph.add_edge(("open", half), ("open", out), weight=1)
    try:
        return networkx.shortest_path_length(graph, ("open", from_), "to", weight="weight")
    except networkx.NetworkXNoPath:
        return None


def best_by_trying(from_, to, stock):
    """The shortest chain, then the first by names, over every choice and order of single things."""
    for size in range(len(stock) + 1):
        chains = {
            chain for some in combinations(stock, size) for chain in permutations(some) if joins(from_, to, chain)
        }
        if chains:
            return min(tuple(item.name for item in chain) for chain in chains)
    return None


@settings(deadline=None)
@given(from_=halves, to=halves, stock=st.lists(adapters, max_size=8))
def test_with_two_of_each_the_length_is_that_of_a_shortest_path(from_, to, stock):
    chain = adapter_path(from_, to, stock * 2)
    assert (None if chain is None else len(chain)) == length_by_networkx(from_, to, stock)
    if chain is not None:
        assert joins(from_, to, chain)


@settings(max_examples=300, deadline=None)
@given(from_=busy_halves, to=busy_halves, stock=st.lists(adapters, max_size=6))
def test_with_single_things_no_order_does_better(from_, to, stock):
    chain = adapter_path(from_, to, stock)
    names = None if chain is None else tuple(item.name for item in chain)
    assert names == best_by_trying(from_, to, stock)
    if chain is not None:
        assert joins(from_, to, chain)
        assert all(chain.count(item) <= stock.count(item) for item in chain)


@settings(deadline=None)
@given(from_=busy_halves, to=busy_halves, stock=st.lists(adapters, max_size=6), data=st.data())
def test_the_order_of_the_stock_makes_no_difference(from_, to, stock, data):
    shuffled = data.draw(st.permutations(stock))
    assert adapter_path(from_, to, stock) == adapter_path(from_, to, shuffled)


@settings(deadline=None)
@given(from_=busy_halves, to=busy_halves, stock=st.lists(adapters, max_size=6))
def test_a_chain_is_as_long_from_the_other_end(from_, to, stock):
    there, back = adapter_path(from_, to, stock), adapter_path(to, from_, stock)
    assert (there is None) == (back is None)
    if there is not None:
        assert len(there) == len(back)


def test_halves_that_meet_need_nothing():
    assert adapter_path(("c15", "plug"), ("c14", "socket"), []) == ()


def test_two_sockets_need_one_lead():
    lead = Adapter("patch lead", "8p8c", "plug", "8p8c", "plug")
    assert adapter_path(("8p8c-rugged", "socket"), ("8p8c", "socket"), [lead]) == (lead,)
    assert adapter_path(("8p8c-rugged", "socket"), ("8p8c", "socket"), []) is None


def test_the_first_name_wins_among_chains_of_one_length():
    leads = [Adapter(name, "xlr-3", "plug", "xlr-3", "socket") for name in ("turn B", "turn A", "turn C")]
    back = Adapter("other", "xlr-3", "socket", "xlr-5", "plug")
    path = adapter_path(("xlr-3", "plug"), ("xlr-5", "socket"), [*leads, back])
    assert path == (back,)
    assert adapter_path(("xlr-3", "socket"), ("xlr-3", "socket"), leads) is None
    both_plugs = [Adapter(name, "xlr-3", "plug", "xlr-3", "plug") for name in ("Z", "M")]
    assert adapter_path(("xlr-3", "socket"), ("xlr-3", "socket"), both_plugs) == (both_plugs[1],)


def test_one_thing_is_not_used_in_both_directions():
    """XLR plug to XLR plug over a USB joint would want the one converter at either end."""
    converter = Adapter("converter", "xlr-3", "socket", "usb-c", "socket")
    lead = Adapter("lead", "usb-c", "plug", "usb-c", "plug")
    ends = (("xlr-3", "plug"), ("xlr-3", "plug"))
    assert adapter_path(*ends, [converter, lead]) is None
    assert adapter_path(*ends, [converter, lead, converter]) == (converter, lead, converter)


def test_the_thing_that_is_wanted_later_is_not_spent_at_the_start():
    """A plain 8P8C plug enters both converters; only the rugged one takes the rugged plug at the far end."""
    rugged = Adapter("A", "8p8c-rugged", "socket", "usb-c", "socket")
    bare = Adapter("B", "8p8c", "socket", "usb-c", "socket")
    lead = Adapter("lead", "usb-c", "plug", "usb-c", "plug")
    assert adapter_path(("8p8c", "plug"), ("8p8c-rugged", "plug"), [rugged, bare, lead]) == (bare, lead, rugged)


def test_a_large_stock_is_searched_by_kind_and_not_by_thing():
    """Two hundred alike couplers that lead nowhere new, and a chain that needs the one that is missing."""
    stock = [Adapter(f"coupler {n}", "8p8c", "socket", "8p8c", "socket") for n in range(200)]
    stock += [Adapter(f"lead {n}", "8p8c", "plug", "8p8c", "plug") for n in range(200)]
    stock.append(Adapter("to fibre", "8p8c", "socket", "lc-duplex", "socket"))
    assert adapter_path(("8p8c", "socket"), ("c14", "socket"), stock) is None
    chain = adapter_path(("8p8c", "socket"), ("lc-duplex", "plug"), stock)
    assert [item.name for item in chain] == ["lead 0", "to fibre"]


@pytest.mark.parametrize(
    ("from_", "to", "stock", "argument"),
    [
        (("8p8d", "plug"), ("8p8c", "socket"), [], "from_"),
        (("8p8c", "male"), ("8p8c", "socket"), [], "from_"),
        (("8p8c", "plug"), ("cee7-3", "plug"), [], "to"),
        (("8p8c", "plug"), ("8p8c", "socket"), [Adapter("A", "8p8c", "plug", "8p8c\0", "plug")], "adapters"),
        (("8p8c", "plug"), ("8p8c", "socket"), [Adapter("A", "8p8c", "", "8p8c", "plug")], "adapters"),
    ],
)
def test_what_is_not_in_the_register_is_refused_by_argument(from_, to, stock, argument):
    with pytest.raises(BadInput) as refused:
        adapter_path(from_, to, stock)
    assert refused.value.argument == argument
