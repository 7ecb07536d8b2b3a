"""Universes sent to groups: ANSI E1.31 on the wire and on the air (worked in tests/reference/dmx.json), ANSI E1.11."""

import pytest

from calc.checks import run
from calc.rig.brief import Radio, Universe
from calc.rig.kit import NetworkSheet
from tests.calc.checks.briefs import ask
from tests.calc.checks.kits import NOW, ethernet, findings, kit, missing, only, span, spec, switch

FLOODS = NetworkSheet(managed=False)
SNOOPS = NetworkSheet(managed=True, snooping=True, querier=True)


def universes(count, hz=44.0, slots=512):
    return tuple(Universe(number=n, hz=hz, slots=slots) for n in span(count))


def with_a_slow_node(network=FLOODS, speed_mbps=10):
    node = spec("node", "node", [ethernet("net", speed_mbps=speed_mbps)])
    return kit(
        {"switch": switch(network=network), "node": node, "desk": spec("desk", "console", [ethernet("net")])},
        ["switch:5 - node:net", "switch:6 - desk:net"],
    )


class TestMulticastFlood:
    """704 bytes · 8 · 44 = 247 808 b/s a universe; 40 are 9.912 Mb/s, 41 are 10.160: worked by hand."""

    @pytest.mark.parametrize(
        ("count", "severity", "value", "limit"),
        [(30, None, None, None), (31, "caution", 7.682, 7.5), (40, "caution", 9.912, 7.5), (41, "stop", 10.16, 10)],
    )
    def test_a_node_of_10_mbps_behind_gear_that_does_not_snoop(self, count, severity, value, limit):
        found = findings(ask(with_a_slow_node(), universes=universes(count)), "multicast-flood")
        assert [(f.severity, f.value, f.limit) for f in found] == ([(severity, value, limit)] if severity else [])
        assert all((f.subject.label, f.subject.port) == ("node", "net") for f in found)

    def test_gear_that_snoops_sends_it_only_to_who_listens(self):
        assert findings(ask(with_a_slow_node(SNOOPS), universes=universes(41)), "multicast-flood") == []

    def test_what_nobody_said_is_asked_only_where_it_matters(self):
        assert missing(ask(with_a_slow_node(None), universes=universes(41))) == ["network.snooping"]
        assert missing(ask(with_a_slow_node(None), universes=universes(4))) == []

    def test_two_switches_that_flood_tell_it_once(self):
        node = spec("node", "node", [ethernet("net", speed_mbps=10)])
        slow = spec("slow", "switch", [ethernet(f"{n}", speed_mbps=10, group="g") for n in span(3)], network=FLOODS)
        both = kit({"a": slow, "b": slow, "node": node}, ["a:1 - b:1", "b:2 - node:net"])
        assert len(findings(ask(both, universes=universes(41)), "multicast-flood")) == 1


class TestMulticastOnRadio:
    def on_the_air(self, count, network=FLOODS, **radio):
        access_point = spec("ap", "access-point", [ethernet("net")], network=NetworkSheet(managed=False))
        plain = kit({"switch": switch(network=network), "ap": access_point}, ["switch:5 - ap:net"])
        asked = Radio(clients=1, client_mbps=1, rate_mbps=100, **radio)
        return ask(plain, universes=universes(count), radio=asked)

    @pytest.mark.parametrize(
        ("count", "severity", "percent"),
        [(7, None, None), (8, "caution", 38.21), (14, "caution", 66.867), (15, "stop", 71.643), (20, "stop", 95.524)],
    )
    def test_twenty_universes_take_95_percent_of_the_air(self, count, severity, percent):
        """1085.5 µs a frame at 6 Mb/s (ANSI E1.31, IEEE 802.11): 44 · 20 of them are 0.955 s in each second."""
        found = findings(self.on_the_air(count), "multicast-on-radio")
        assert [(f.severity, f.value) for f in found] == (
            [(severity, pytest.approx(percent, abs=0.001))] if severity else []
        )
        assert all(f.basis["assumed"] == 1 for f in found)

    def test_a_stated_rate_is_no_assumption(self):
        assert findings(self.on_the_air(20, basic_rate_mbps=24), "multicast-on-radio") == []
        assert only(self.on_the_air(20, basic_rate_mbps=12), "multicast-on-radio").basis["assumed"] == 0

    def test_snooping_before_it_keeps_groups_off_the_air(self):
        assert findings(self.on_the_air(20, network=SNOOPS), "multicast-on-radio") == []

    def test_what_nobody_said_is_asked(self):
        assert "network.snooping" in missing(self.on_the_air(20, network=None))


class TestUniverseOverfull:
    def test_a_universe_has_512_slots(self):
        plain = kit({"node": spec("node", "node", [ethernet("net")])})
        assert run(ask(plain, universes=universes(1, slots=512)), NOW).findings == ()
        found = only(ask(plain, universes=universes(1, slots=513)), "universe-overfull")
        assert (found.severity, found.value, found.margin) == ("stop", 513, -1)
