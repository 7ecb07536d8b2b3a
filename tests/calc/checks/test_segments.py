"""Segments of a network: VLANs (IEEE 802.1Q), addresses (RFC 1918, RFC 4632), who gives them (RFC 2131), twins."""

import ipaddress
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.checking.registry import CHECKS
from calc.checking.runner import evaluate, merge
from calc.checks import run
from calc.errors import BadInput
from calc.rig.brief import Brief, Configuration, Segment
from calc.rig.ends import End
from calc.rig.kit import Link, NetworkSheet
from calc.rig.wiring import wire
from tests.calc.checks.briefs import ask, segment
from tests.calc.checks.kits import NOW, ethernet, findings, kit, labels, missing, only, panel, span, spec, switch

KEEPS_APART = NetworkSheet(managed=True, vlans=True)
JOINS = NetworkSheet(managed=False)


def router(serves=True, **fields):
    ports = [ethernet(f"lan {n}", group="lan") for n in span(4)]
    return spec("router", "router", ports, network=NetworkSheet(dhcp_server=serves, **fields))


def case_with(network):
    """A case whose switch leads two ports to the panel."""
    things = {"case": spec("case", "case", panel(2)), "switch": switch(network=network)}
    return kit(things, ["switch:5 - case:LAN 1 rear", "switch:6 - case:LAN 2 rear"])


def two_segments(on, first="case:LAN 1", second="case:LAN 2"):
    lighting = segment(on, "lighting", [first], vlan=10, block="10.0.10.0/24")
    return ask(on, segments=(lighting, segment(on, "guests", [second], vlan=20, block="10.0.20.0/24")))


class TestVlanUnmanaged:
    def test_gear_that_cannot_separate_is_found_behind_the_panel(self):
        found = only(two_segments(case_with(JOINS)), "vlan-unmanaged")
        assert (found.severity, found.subject.label) == ("stop", "switch")
        assert "guests (VLAN 20) and lighting (VLAN 10)" in found.message

    def test_gear_that_keeps_vlans_apart_is_not(self):
        assert findings(two_segments(case_with(KEEPS_APART)), "vlan-unmanaged") == []

    def test_managed_gear_without_vlans_is(self):
        assert labels(findings(two_segments(case_with(NetworkSheet(managed=True, vlans=False))), "vlan-unmanaged"))

    def test_what_nobody_said_is_asked(self):
        assert missing(two_segments(case_with(None))) == ["network.vlans"]

    def test_one_segment_needs_nothing(self):
        plain = case_with(JOINS)
        everything = segment(plain, "all", ["case:LAN 1", "case:LAN 2"])
        assert findings(ask(plain, segments=(everything,)), "vlan-unmanaged") == []

    def test_two_switches_that_nothing_joins_are_two_networks(self):
        apart = kit({"a": switch(network=JOINS), "b": switch(network=JOINS)})
        assert findings(two_segments(apart, "a:5", "b:5"), "vlan-unmanaged") == []

    def test_a_port_of_both_segments_is_a_trunk(self):
        both = kit({"a": switch(network=JOINS)})
        assert labels(findings(two_segments(both, "a:5", "a:5"), "vlan-unmanaged")) == ["a"]

    def test_ports_of_different_groups_are_apart(self):
        ports = [ethernet("1", group="left"), ethernet("2", group="right")]
        both = kit({"a": spec("two in one", "switch", ports, network=JOINS)})
        assert findings(two_segments(both, "a:1", "a:2"), "vlan-unmanaged") == []


class TestAddressOverlap:
    def asked(self, *blocks, venue=()):
        plain = kit({"a": switch(network=KEEPS_APART)})
        segments = tuple(Segment(name=f"s{n}", vlan=n + 1, block=block) for n, block in enumerate(blocks))
        return ask(plain, segments=segments, venue_blocks=venue)

    def test_two_segments_that_share_addresses(self):
        found = only(self.asked("10.20.0.0/23", "10.20.1.192/26"), "address-overlap")
        assert found.severity == "stop"
        assert (
            found.message
            == "Give s1 (VLAN 2) other addresses than s0 (VLAN 1): 10.20.1.192/26 and 10.20.0.0/23 overlap."
        )

    def test_blocks_side_by_side_do_not(self):
        assert findings(self.asked("10.20.0.0/24", "10.20.1.0/24"), "address-overlap") == []

    def test_the_venue_counts(self):
        assert labels(findings(self.asked("192.168.1.0/24", venue=("192.168.0.0/16",)), "address-overlap")) == [""]
        assert findings(self.asked("192.168.1.0/24", venue=("192.168.2.0/24",)), "address-overlap") == []

    @given(st.lists(st.tuples(st.integers(0, 3), st.integers(24, 28)), min_size=2, max_size=4))
    def test_as_the_library_of_addresses_has_it(self, parts):
        blocks = [str(ipaddress.ip_network(f"10.0.{third}.0/{prefix}")) for third, prefix in parts]
        networks = [ipaddress.ip_network(block) for block in blocks]
        expected = sum(a.overlaps(b) for n, a in enumerate(networks) for b in networks[n + 1 :])
        assert len(findings(self.asked(*blocks), "address-overlap")) == expected

    def test_two_kits_that_nothing_joins_may_use_the_same_addresses(self):
        one, other = (self.asked("192.168.1.0/24") for _ in range(2))
        other = replace(other, id=2, brief=Brief(segments=(Segment(name="else", block="192.168.1.0/24"),)))
        assert on_site(one, other, code="address-overlap") == []

    def test_the_same_segment_in_two_kits_is_one(self):
        one, other = joined("twin")
        segments = (Segment(name="all", vlan=5, block="10.5.0.0/24"),)
        pair = [replace(each, brief=Brief(segments=segments)) for each in (one, other)]
        assert on_site(*pair, code="address-overlap", links=lead(*pair)) == []
        stranger = replace(pair[1], brief=Brief(segments=(Segment(name="all", vlan=6, block="10.5.0.0/24"),)))
        assert len(on_site(pair[0], stranger, code="address-overlap", links=lead(*pair))) == 1


class TestWhoGivesAddresses:
    def one(self, who, *things, names=("a:5",)):
        plain = kit(
            {"a": switch(network=JOINS), **{f"r{n}": thing for n, thing in enumerate(things)}},
            [f"a:{n + 6} - r{n}:lan 1" for n in range(len(things))],
        )
        return ask(plain, segments=(segment(plain, "all", names, addresses_from=who),))

    @pytest.mark.parametrize(
        ("who", "servers", "code"),
        [
            ("here", 0, "dhcp-none"), ("here", 1, None), ("here", 2, "dhcp-two"),
            ("elsewhere", 0, None), ("elsewhere", 1, "dhcp-two"),
            ("none", 0, None), (None, 0, None), (None, 2, "dhcp-two"),
        ],
    )  # fmt: skip
    def test_one_server_and_no_more(self, who, servers, code):
        found = run(self.one(who, *[router()] * servers), NOW).findings
        assert [f.code for f in found if f.code.startswith("dhcp")] == ([code] if code else [])

    def test_a_brief_that_lists_no_port_means_the_whole_kit(self):
        assert only(self.one("here", names=()), "dhcp-none").value == 0

    def test_what_nobody_said_is_asked(self):
        assert "network.dhcp_server" in missing(self.one("here", router(serves=None)))

    def test_two_servers_in_one_network_are_too_many_without_any_brief(self):
        assert only(replace(self.one(None, router(), router()), brief=None), "dhcp-two").value == 2
        assert findings(replace(self.one(None, router()), brief=None), "dhcp-two") == []

    def test_on_vlans_each_segment_has_the_server_plugged_into_it(self):
        things = {"a": switch(network=KEEPS_APART), "r0": router(), "r1": router()}
        plain = kit(things, ["a:5 - r0:lan 1", "a:6 - r1:lan 1"])
        assert findings(two_segments(plain, "a:5", "a:6"), "dhcp-two") == []
        assert len(findings(two_segments(plain, "a:7", "a:8"), "dhcp-two")) == 2

    def test_one_router_serves_every_segment(self):
        plain = kit({"a": switch(network=KEEPS_APART), "r0": router()}, ["a:5 - r0:lan 1"])
        segments = tuple(segment(plain, f"s{n}", [f"a:{n}"], vlan=n, addresses_from="here") for n in (6, 7))
        assert findings(ask(plain, segments=segments), "dhcp-none") == []


def joined(mark, other_mark=None):
    """Two kits with a switch each, set up from configurations of those marks."""
    return tuple(
        replace(
            kit({"a": switch(network=KEEPS_APART)}),
            id=number,
            name=f"kit {number}",
            brief=Brief(configuration=Configuration(mark=mark, saved_at=NOW)),
        )
        for number, mark in enumerate((mark, other_mark or mark), start=1)
    )


def lead(one, other):
    return [Link(id=99, a=End(position=one.positions[0].id, port="5"), b=End(position=other.positions[0].id, port="5"))]


def on_site(*kits, code, links=()):
    wired = wire(kits, view="design", as_of=NOW, site_links=links, brief=Brief())
    return [found for found in merge(evaluate(wired, CHECKS.values())) if found.code == code]


def test_what_one_kit_waits_for_the_other_may_give():
    """A stage case whose addresses come from elsewhere, joined to a booth case that gives them."""
    stage = kit({"a": switch(network=KEEPS_APART)})
    booth = replace(kit({"b": router()}), id=2)
    segments = [(Segment(name="all", block="10.5.0.0/24", addresses_from=who),) for who in ("elsewhere", "here")]
    both = [replace(each, brief=Brief(segments=asked)) for each, asked in zip((stage, booth), segments, strict=True)]
    a, b = (End(position=each.positions[0].id, port=port) for each, port in zip(both, ("5", "lan 1"), strict=True))
    found = {
        code: on_site(*both, code=code, links=[Link(id=9, a=a, b=b)])
        for code in ("address-overlap", "dhcp-two", "dhcp-none")
    }
    assert found == {"address-overlap": [], "dhcp-two": [], "dhcp-none": []}
    nothing = [replace(both[0], positions=stage.positions), replace(kit({"b": router(serves=False)}), id=2)]
    nothing[1] = replace(nothing[1], brief=both[1].brief)
    b = End(position=nothing[1].positions[0].id, port="lan 1")
    assert len(on_site(*nothing, code="dhcp-none", links=[Link(id=9, a=a, b=b)])) == 1


class TestTwinConfig:
    def test_two_kits_from_one_configuration_meet(self):
        one, other = joined("club night")
        (found,) = on_site(one, other, code="twin-config", links=lead(one, other))
        assert (found.severity, found.inputs) == ("stop", {"configuration": "club night"})
        assert "Set up kit 2 anew" in found.message

    def test_apart_they_may_be_alike(self):
        assert on_site(*joined("club night"), code="twin-config") == []

    def test_different_configurations_may_meet(self):
        one, other = joined("club night", "theatre")
        assert on_site(one, other, code="twin-config", links=lead(one, other)) == []


class TestBrief:
    @pytest.mark.parametrize(
        "fields",
        [
            {"vlan": 0}, {"vlan": 4095}, {"vlan": 10.0}, {"block": "10.0.0.1/24"}, {"block": "10.0.0.0"},
            {"addresses_from": "somewhere"},
        ],
    )  # fmt: skip
    def test_what_no_network_has_is_refused(self, fields):
        with pytest.raises(BadInput):
            Segment(name="s", **fields)

    def test_a_moment_needs_its_offset(self):
        with pytest.raises(BadInput, match="saved_at"):
            Configuration(mark="m", saved_at=datetime(2027, 5, 1))  # noqa: DTZ001 - the fault under test
        Configuration(mark="m", saved_at=datetime(2027, 5, 1, tzinfo=UTC))
