"""The graph of a kit: positions, links and feed-throughs under two views, and what can be read off it."""

from dataclasses import replace
from itertools import pairwise

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.rig.ends import End
from calc.rig.kit import Link, PortPoe
from calc.rig.wiring import (
    channels,
    exposed,
    follow,
    has_power,
    leads,
    natural,
    never,
    power_paths,
    single_points,
    wire,
)
from tests.calc.checks.kits import (
    NOW,
    At,
    camera,
    distro,
    ethernet,
    kit,
    mains,
    panel,
    plugs,
    span,
    spec,
    supply,
    switch,
    unit_of,
)


def design(*kits, **fields):
    return wire(kits, view="design", as_of=NOW, **fields)


def packed(*kits):
    return wire(kits, view="packed", as_of=NOW)


def node(wired, label, port):
    (place,) = [place for place in wired.places.values() if place.path == label]
    return place.id, port


def network_case():
    things = {"case": spec("case", "case", panel(4)), "switch A": switch(65)}
    return kit(things, [f"switch A:{n} - case:LAN {n} rear" for n in span(2)])


def test_an_unknown_view_is_refused():
    with pytest.raises(BadInput) as error:
        wire([network_case()], view="seen", as_of=NOW)
    assert error.value.argument == "view"


def test_the_two_views_see_different_specs():
    planned, other = switch(), switch()
    case = kit({"a": At(planned, unit=unit_of(other))})
    assert [place.spec for place in design(case).places.values()] == [planned]
    assert [place.spec for place in packed(case).places.values()] == [other]


def test_damage_is_seen_in_the_packed_view_only():
    planned = switch()
    case = kit({"a": At(planned, unit=unit_of(planned, damage={"1": frozenset({"dead"})}))})
    for wired, expected in ((design(case), frozenset()), (packed(case), {"dead"})):
        assert wired.damage(node(wired, "a", "1")) == expected


def test_an_empty_position_cuts_its_links():
    case = kit({"a": At(switch(), empty=True), "b": camera()}, ["a:1 - b:net"])
    wired = packed(case)
    assert node(wired, "b", "net") in wired.cut
    assert wired.joints == []
    assert follow(wired, node(wired, "b", "net"), never).ending == "cut"


def test_a_run_passes_feed_throughs():
    things = {"case": spec("case", "case", panel(1)), "switch A": switch(65), "camera": camera()}
    wired = design(kit(things, ["switch A:1 - case:LAN 1 rear", "case:LAN 1 - camera:net"]))
    run = follow(wired, node(wired, "camera", "net"), has_power)
    assert (run.end, run.ending, len(run.joints)) == (node(wired, "switch A", "1"), "port", 2)
    assert run.passed == ((node(wired, "case", "LAN 1"), node(wired, "case", "LAN 1 rear")),)
    back = follow(wired, run.end, has_power)
    assert back.end == run.start
    assert list(back.joints) == list(reversed(run.joints))


def test_a_run_may_end_open():
    wired = design(network_case())
    run = follow(wired, node(wired, "switch A", "1"), has_power)
    assert (run.end, run.ending) == (node(wired, "case", "LAN 1"), "open")
    alone = follow(wired, node(wired, "switch A", "8"), has_power)
    assert (alone.end, alone.ending, alone.joints) == (alone.start, "open", ())


def test_a_ring_of_feed_throughs_ends_a_run():
    case = kit(
        {"case": spec("case", "case", panel(2))}, ["case:LAN 1 - case:LAN 2", "case:LAN 1 rear - case:LAN 2 rear"]
    )
    wired = design(case)
    assert follow(wired, node(wired, "case", "LAN 1"), never).ending == "ring"
    assert len(channels(wired)) == 1


def test_a_cable_in_the_way_is_passed():
    things = {"a": switch(), "cable": spec("cable", "cable", plugs()), "b": camera()}
    wired = design(kit(things, ["a:1 - cable:one end", "cable:other end - b:net"]))
    assert follow(wired, node(wired, "b", "net"), has_power).end == node(wired, "a", "1")


def test_a_splitter_stops_power_and_lets_data_pass():
    ports = [
        ethernet("in", through="out", poe=PortPoe(role="load", poe_class=3)),
        ethernet("out", through="in"),
    ]
    things = {"a": switch(), "splitter": spec("splitter", "splitter", ports), "b": spec("b", "other", [ethernet("x")])}
    wired = design(kit(things, ["a:1 - splitter:in", "splitter:out - b:x"]))
    assert follow(wired, node(wired, "a", "1"), has_power).end == node(wired, "splitter", "in")
    assert follow(wired, node(wired, "a", "1"), never).end == node(wired, "b", "x")
    (channel,) = channels(wired)
    assert channel.complete
    assert {channel.a, channel.b} == {node(wired, "a", "1"), node(wired, "b", "x")}


def nested():
    box_case = spec("box", "case", panel(2))
    box = kit({"case": box_case, "switch A": switch(65)}, ["switch A:1 - case:LAN 1 rear"])
    things = {"case": spec("trunk", "case", []), "box": At(box_case, nested=box), "camera": camera()}
    return kit(things, ["camera:net - box:LAN 1"])


def test_a_nested_kit_is_part_of_the_outer_graph():
    wired = design(nested())
    assert [place.path for place in wired.places.values()] == ["case", "box", "box, switch A", "camera"]
    assert follow(wired, node(wired, "camera", "net"), has_power).end == node(wired, "box, switch A", "1")


def test_a_nested_kit_whose_box_is_missing_is_not_there():
    outer = nested()
    gone = replace(outer, positions=tuple(replace(p, unit=None, nested=None) for p in outer.positions))
    assert {place.label for place in packed(gone).places.values()} == set()


def test_several_kits_are_joined_on_site():
    stage, booth = network_case(), kit({"camera": camera()})
    hole = next(position.id for position in stage.positions if position.label == "case")
    link = Link(id=1, a=End(position=booth.positions[0].id, port="net"), b=End(position=hole, port="LAN 2"))
    apart, joined = design(stage, booth), design(stage, booth, site_links=[link])
    camera_node = (booth.positions[0].id, "net")
    assert follow(apart, camera_node, has_power).ending == "open"
    assert follow(joined, camera_node, has_power).end[1] == "2"


def test_exposed_ports_are_those_on_the_outside():
    wired = design(network_case())
    assert [name for _, name in exposed(wired)] == ["LAN 1", "LAN 2", "LAN 3", "LAN 4"]
    assert [name for _, name in exposed(design(nested()))] == ["LAN 1", "LAN 2"]


def test_leads_are_counted_and_direct_matings_are_not():
    things = {
        "case": spec("case", "case", panel(1)),
        "a": switch(),
        "b": camera(),
        "drum": spec("drum", "drum", plugs()),
    }
    cable = spec("cable", "cable", plugs())
    wired = design(
        kit(things, ["a:1 - drum:one end", "drum:other end - case:LAN 1 rear", ("case:LAN 1 - b:net", cable)])
    )
    run = follow(wired, node(wired, "a", "1"), has_power)
    assert [lead.spec.name for lead in leads(wired, run)] == ["drum", "cable"]


@given(st.lists(st.integers(0, 3), min_size=1, max_size=6), st.data())
@settings(deadline=None)
def test_every_link_is_in_exactly_one_channel(lengths, data):
    """Chains of feed-throughs, drawn in any order and any direction."""
    things, links = {}, []
    for chain, count in enumerate(lengths):
        stops = [f"a{chain}", *(f"p{chain}.{n}" for n in range(count)), f"b{chain}"]
        things |= {stops[0]: spec("a", "other", [ethernet("out")]), stops[-1]: spec("b", "other", [ethernet("in")])}
        things |= {stop: spec("p", "adapter", [ethernet("in", through="out"), ethernet("out")]) for stop in stops[1:-1]}
        links += [(f"{one}:out", f"{other}:in") for one, other in pairwise(stops)]
    drawn = data.draw(st.permutations(links))
    flipped = [pair[::-1] if data.draw(st.booleans()) else pair for pair in drawn]
    wired = design(kit(things, [" - ".join(pair) for pair in flipped]))
    found = channels(wired)
    assert sorted(len(channel.joints) for channel in found) == sorted(count + 1 for count in lengths)
    assert sorted(id(joint) for channel in found for joint in channel.joints) == sorted(map(id, wired.joints))
    assert all(channel.complete for channel in found)
    for channel in found:
        again = follow(wired, channel.a, never)
        assert (again.end, again.joints, again.passed) == (channel.b, channel.joints, channel.passed)


def test_power_is_followed_up_to_where_it_comes_in():
    inlet = [mains("mains", "c20", "load", face="outside", through="rear"), mains("rear", "c19", "source")]
    things = {"case": spec("case", "case", inlet), "distro": distro(), "supply": supply()}
    wired = design(kit(things, ["case:rear - distro:in", "distro:1 - supply:in"]))
    path = next(path for path in power_paths(wired) if path.load == node(wired, "supply", "in"))
    assert [hop.source for hop in path.hops] == [
        node(wired, "distro", "1"),
        node(wired, "case", "rear"),
        node(wired, "case", "mains"),
    ]
    assert path.origin == node(wired, "case", "mains")


def test_power_that_runs_in_a_ring_is_followed_for_a_while_only():
    ports = [mains("in", "c14", "load"), mains("out", "c13", "source")]
    things = {"a": spec("a", "distro", ports), "b": spec("b", "distro", ports)}
    wired = design(kit(things, ["a:out - b:in", "b:out - a:in"]))
    assert all(len(path.hops) <= 64 for path in power_paths(wired))


def test_what_a_loss_takes_along():
    things = {"distro": distro(), "supply": supply(), "switch A": switch(65), "camera": camera()}
    links = ["distro:1 - supply:in", "switch A:1 - camera:net"]
    points = single_points(design(kit(things, links)))
    assert [(p.place.label, p.loses, [other.label for other in p.others]) for p in points] == [
        ("distro", "power", ["supply"]),
        ("switch A", "power", ["camera"]),
    ]


def test_a_second_inlet_takes_the_point_away():
    twin = spec("twin", "other", [mains("in 1", "c14", "load"), mains("in 2", "c14", "load")])
    things = {"a": distro(), "b": distro(), "twin": twin}
    one = kit(things, ["a:1 - twin:in 1"])
    two = kit(things, ["a:1 - twin:in 1", "b:1 - twin:in 2"])
    assert [point.place.label for point in single_points(design(one))] == ["a"]
    assert single_points(design(two)) == ()


@given(st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=14))
@settings(deadline=None)
def test_network_points_are_those_of_a_graph_library(edges):
    graph = networkx.Graph()
    graph.add_nodes_from(range(8))
    edges = sorted({(min(pair), max(pair)) for pair in edges if pair[0] != pair[1]})
    graph.add_edges_from(edges)
    things = {f"s{n}": switch(powered=0, plain=16) for n in range(8)}
    free = {n: iter(range(1, 17)) for n in range(8)}
    wired = design(kit(things, [f"s{a}:{next(free[a])} - s{b}:{next(free[b])}" for a, b in edges]))
    found = {int(point.place.label[1:]): {int(o.label[1:]) for o in point.others} for point in single_points(wired)}
    assert set(found) == set(networkx.articulation_points(graph))
    for lost, cut in found.items():
        rest = graph.subgraph(networkx.node_connected_component(graph, lost) - {lost})
        parts = sorted(map(len, networkx.connected_components(rest)))
        assert len(cut) == sum(parts[:-1])


def test_names_sort_as_people_count():
    assert sorted(["10", "2", "LAN 10", "LAN 9", "a"], key=natural) == ["2", "10", "LAN 9", "LAN 10", "a"]
