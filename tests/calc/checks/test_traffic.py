"""What runs over links, out of the house and over the air; figures worked by hand."""

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.checks import run
from calc.rig.brief import Radio
from calc.rig.wiring import path_between, wire
from calc.streams import rtp_audio_mbps, uplink_needed_mbps
from tests.calc.checks.briefs import ask, stream
from tests.calc.checks.kits import NOW, ethernet, findings, kit, labels, missing, only, panel, span, spec, switch

FLOW_MBPS = rtp_audio_mbps(8, 48_000, 24, 1)
"""(1152 + 12 + 8 + 20 + 38) bytes · 8 · 1000 = 9.84 Mb/s, worked by hand."""


def through_a_slow_part(flows, mbps=FLOW_MBPS, speed_mbps=100):
    """A stage box whose streams pass a part of 100 Mb/s on their way to the desk."""
    slow = spec("slow", "switch", [ethernet(f"{n}", speed_mbps=speed_mbps, group="g") for n in span(2)])
    things = {
        "box": spec("box", "node", [ethernet("net")]),
        "slow": slow,
        "desk": spec("desk", "console", [ethernet("net")]),
    }
    plain = kit(things, ["box:net - slow:1", "slow:2 - desk:net"])
    return ask(plain, streams=tuple(stream(plain, f"flow {n}", mbps, "box:net", "desk:net") for n in span(flows)))


class TestTrunkOverfull:
    def test_seven_flows_pass_a_part_of_100_and_eight_are_too_many(self):
        assert pytest.approx(9.84) == FLOW_MBPS
        assert findings(through_a_slow_part(7), "trunk-overfull") == []
        found = findings(through_a_slow_part(8), "trunk-overfull")
        assert [(f.value, f.limit) for f in found] == [(78.72, 75)]
        assert {f.severity for f in found} == {"caution"}
        assert labels(found) == ["slow"]

    def test_the_two_directions_of_a_link_have_each_their_own_room(self):
        plain = through_a_slow_part(0)
        both = tuple(
            stream(plain, f"{a} to {b}", 70, f"{a}:net", f"{b}:net") for a, b in (("box", "desk"), ("desk", "box"))
        )
        assert findings(ask(plain, streams=both), "trunk-overfull") == []

    def test_without_any_speed_it_is_asked(self):
        things = {name: spec(name, "node", [ethernet("net", speed_mbps=None)]) for name in ("box", "desk")}
        plain = kit(things, ["box:net - desk:net"])
        assert missing(ask(plain, streams=(stream(plain, "flow", 9, "box:net", "desk:net"),))) == [
            "ports.net.speed_mbps"
        ]

    def test_a_stream_to_the_panel_passes_all_before_it(self):
        slow = switch()
        things = {
            "case": spec("case", "case", panel(1)),
            "box": spec("box", "node", [ethernet("net", speed_mbps=10)]),
            "switch": slow,
        }
        plain = kit(things, ["box:net - switch:5", "switch:6 - case:LAN 1 rear"])
        found = only(ask(plain, streams=(stream(plain, "out", 9, "box:net", "case:LAN 1"),)), "trunk-overfull")
        assert (found.subject.label, found.limit) == ("box", 7.5)

    def test_what_nothing_joins_carries_nothing(self):
        plain = kit({"box": spec("box", "node", [ethernet("net")]), "desk": spec("desk", "console", [ethernet("net")])})
        assert run(ask(plain, streams=(stream(plain, "flow", 900, "box:net", "desk:net"),)), NOW).findings == ()


@given(st.sets(st.tuples(st.integers(0, 5), st.integers(0, 5)).filter(lambda pair: pair[0] < pair[1]), max_size=8))
@settings(max_examples=60, deadline=None)
def test_a_way_is_found_exactly_where_the_graph_is_connected(pairs):
    """networkx is the oracle: a way exists if and only if it says so, and its steps hang together."""
    names = [f"s{n}" for n in range(6)]
    ports = [ethernet(f"{n}", group="g") for n in range(6)] + [ethernet("door", group="g")]
    wired = wire(
        [
            kit(
                {name: spec(name, "switch", ports) for name in names},
                [f"s{a}:{b} - s{b}:{a}" for a, b in sorted(pairs)],
            )
        ],
        view="design",
        as_of=NOW,
    )
    place = {wired.places[place_id].label: place_id for place_id in wired.places}
    graph = networkx.Graph(pairs)
    graph.add_nodes_from(range(6))
    for goal in range(1, 6):
        steps = path_between(wired, (place["s0"], "door"), (place[f"s{goal}"], "door"))
        assert bool(steps) == networkx.has_path(graph, 0, goal)
        here = place["s0"]
        for channel, entered in steps:
            assert entered[0] == here
            here = (channel.b if entered == channel.a else channel.a)[0]
        assert not steps or here == place[f"s{goal}"]


class TestUplinkShort:
    def sending(self, *mbps, up=None):
        plain = kit({"box": spec("box", "computer", [ethernet("net")])})
        out = tuple(stream(plain, f"show {n}", rate, "box:net") for n, rate in enumerate(mbps))
        return ask(plain, streams=out, internet_up_mbps=up)

    def test_a_quarter_of_room_is_kept(self):
        """6 + 2 Mb/s need 10: at 10 it goes, at 9.9 it does not."""
        assert uplink_needed_mbps([6, 2]) == 10
        assert findings(self.sending(6, 2, up=10), "uplink-short") == []
        found = only(self.sending(6, 2, up=9.9), "uplink-short")
        assert (found.severity, found.value, found.limit, found.margin) == ("caution", 10, 9.9, -0.1)

    def test_what_the_venue_did_not_say_is_asked(self):
        assert missing(self.sending(6)) == ["brief.internet_up_mbps"]

    def test_nothing_goes_out_nothing_is_asked(self):
        assert run(self.sending(), NOW).findings == ()


class TestRadioCrowded:
    def served(self, access_points, **radio):
        things = {f"ap {n}": spec("ap", "access-point", [ethernet("net")]) for n in range(access_points)}
        plain = kit(things | {"rest": spec("rest", "tool")})
        return ask(plain, radio=Radio(**{"clients": 28, "client_mbps": 5, "rate_mbps": 400} | radio))

    def test_one_access_point_of_400_serves_28_of_5(self):
        """400 · 0.5 · 0.7 / 5 = 28, as calc.radio has it."""
        assert findings(self.served(1), "radio-crowded") == []
        found = only(self.served(1, clients=29), "radio-crowded")
        assert (found.severity, found.value, found.limit) == ("caution", 29, 28)
        assert findings(self.served(2, clients=56), "radio-crowded") == []

    def test_without_an_access_point_nobody_is_served(self):
        assert only(self.served(0), "radio-crowded").limit == 0

    def test_an_unknown_rate_is_asked(self):
        assert missing(self.served(1, rate_mbps=None)) == ["brief.radio.rate_mbps"]
