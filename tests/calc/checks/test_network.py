"""Rings through switching (IEEE 802.1Q) and group traffic (RFC 3376, RFC 4541)."""

from dataclasses import replace

import networkx
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.checks import run
from calc.rig.kit import NetworkSheet
from calc.rig.wiring import rings, wire
from tests.calc.checks.kits import NOW, At, findings, kit, labels, missing, only, panel, span, spec, switch

UNMANAGED = NetworkSheet(managed=False)
MANAGED = NetworkSheet(managed=True)


def pair(first=UNMANAGED, second=UNMANAGED, links=2):
    things = {"a": switch(network=first), "b": switch(network=second)}
    return kit(things, [f"a:{n + 4} - b:{n + 4}" for n in span(links)])


def test_two_links_between_two_unmanaged_switches_make_a_ring():
    assert only(pair(), "link-loop").severity == "stop"
    assert findings(pair(links=1), "link-loop") == []


def test_each_link_that_closes_a_ring_is_found():
    assert len(findings(pair(links=3), "link-loop")) == 2


def test_a_lead_from_a_switch_to_itself_is_a_ring():
    assert only(kit({"a": switch(network=UNMANAGED)}, ["a:5 - a:6"]), "link-loop").subject.label == "a"


def test_something_managed_in_the_ring_breaks_it():
    assert findings(pair(MANAGED, UNMANAGED), "link-loop") == []


def test_what_nobody_said_is_asked():
    result = run(pair(UNMANAGED, None), NOW)
    assert missing(result) == ["network.managed"]
    assert labels(findings(result, "data-missing")) == ["b"]


def test_a_ring_through_panels_is_found():
    things = {"case": spec("case", "case", panel(2)), "a": switch(network=UNMANAGED)}
    links = ["a:5 - case:LAN 1 rear", "a:6 - case:LAN 2 rear", "case:LAN 1 - case:LAN 2"]
    assert only(kit(things, links), "link-loop").severity == "stop"


def test_ports_of_different_groups_are_not_switched_together():
    one, other = switch().ports[4:6]
    for group, is_found in (("fabric", True), ("another", False)):
        joined = spec("two", "other", [one, replace(other, group=group)], network=UNMANAGED)
        ring = kit({"a": joined, "b": switch(network=UNMANAGED)}, ["a:5 - b:5", "a:6 - b:6"])
        assert bool(findings(ring, "link-loop")) is is_found


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=12))
@settings(deadline=None)
def test_as_many_rings_as_a_graph_library_counts(edges):
    """The number of independent rings is edges - nodes + components."""
    free = {n: iter(range(1, 25)) for n in range(6)}
    things = {f"s{n}": switch(powered=0, plain=24, network=UNMANAGED) for n in range(6)}
    wired = kit(things, [f"s{a}:{next(free[a])} - s{b}:{next(free[b])}" for a, b in edges])
    graph = networkx.MultiGraph()
    graph.add_nodes_from(range(6))
    graph.add_edges_from(edges)
    expected = len(edges) - 6 + networkx.number_connected_components(graph)
    found = rings(wire([wired], view="design", as_of=NOW))
    assert len(found) == expected
    for ring in found:
        degree = networkx.MultiGraph([(b.a, b.b) for b in ring]).degree()
        assert all(d == 2 for _, d in degree)


def network_case(sheet, ports=2):
    things = {"case": spec("case", "case", panel(ports)), "a": switch(network=sheet)}
    return kit(things, [f"a:{n + 4} - case:LAN {n} rear" for n in span(ports)])


def test_two_panel_ports_of_an_unmanaged_switch_could_be_joined():
    found = only(network_case(UNMANAGED), "loop-possible")
    assert (found.severity, found.subject.label) == ("note", "a")
    assert findings(network_case(UNMANAGED, ports=1), "loop-possible") == []
    assert findings(network_case(MANAGED), "loop-possible") == []


def test_what_nobody_said_about_a_mere_possibility_is_not_asked():
    assert [f.code for f in run(network_case(None), NOW).findings] == []


def snoopers(*sheets):
    things = {f"s{n}": switch(network=sheet) for n, sheet in enumerate(sheets)}
    return kit(things, [f"s{n}:5 - s{n + 1}:6" for n in range(len(sheets) - 1)])


SNOOPS = NetworkSheet(managed=True, snooping=True, querier=False)


def test_snooping_without_a_querier_dies():
    found = only(snoopers(SNOOPS), "querier-missing")
    assert found.severity == "caution"
    assert "260 s" in found.message


def test_one_querier_anywhere_in_the_network_is_enough():
    asks = NetworkSheet(managed=True, snooping=True, querier=True)
    assert findings(snoopers(SNOOPS, UNMANAGED, asks), "querier-missing") == []
    apart = kit({"a": switch(network=SNOOPS), "b": switch(network=asks)})
    assert labels(findings(apart, "querier-missing")) == ["a"]


def test_an_unmanaged_switch_is_no_querier():
    assert labels(findings(snoopers(SNOOPS, UNMANAGED), "querier-missing")) == ["s0"]


def test_without_snooping_no_querier_is_needed():
    assert findings(snoopers(UNMANAGED), "querier-missing") == []


def test_a_querier_that_nobody_said_is_asked():
    assert missing(snoopers(NetworkSheet(managed=True, snooping=True))) == ["network.querier"]


def test_a_broken_link_through_an_empty_position_is_no_ring():
    things = {"a": switch(network=UNMANAGED), "b": At(switch(network=UNMANAGED), empty=True)}
    found = findings(kit(things, ["a:5 - b:5", "a:6 - b:6"]), "link-loop")
    assert [f.views for f in found] == [{"design"}]
