"""Runs of video, sound, control and USB, and segments that differ at the two ends of a lead."""

from dataclasses import replace

import pytest

from calc.rig.brief import Brief, Radio, Segment, Universe
from calc.rig.ends import End
from calc.rig.kit import Port
from calc.rig.sheets import CableSheet
from tests.calc.checks.kits import findings, kit, missing, only, spec, switch


def port(name, connector, carries, side="socket", **fields):
    return Port(name=name, connector=connector, side=side, carries=carries, **fields)


def run(connector, carries, length_m, rate=None, far=None):
    ends = {
        "near": spec("near", "other", [port("out", connector, carries, speed_mbps=rate)]),
        "far": spec("far", "other", [port("in", far or connector, carries, speed_mbps=rate)]),
    }
    lead_ends = [port("a", connector, carries, side="plug"), port("b", far or connector, carries, side="plug")]
    lead = spec("lead", "cable", lead_ends, cable=CableSheet(length_m=length_m))
    return kit(ends, [("near:out - far:in", lead)])


@pytest.mark.parametrize(
    ("connector", "carries", "rate", "limit_m"),
    [
        ("hdmi-a", "video", None, 10),
        ("usb-a", "usb", 480, 5),
        ("phono", "audio", None, 10),
    ],
)
def test_a_run_is_held_against_what_is_planned_for(connector, carries, rate, limit_m):
    assert findings(run(connector, carries, limit_m, rate), "signal-run-long") == []
    found = only(run(connector, carries, limit_m + 1, rate), "signal-run-long")
    assert (found.severity, found.value, found.limit) == ("caution", limit_m + 1, limit_m)


def coax(length_m, rate, awg=None):
    """Return a run of serial digital video."""
    ends = {
        name: spec(name, "other", [port("sdi", "coax-75", "video", speed_mbps=rate)]) for name in ("camera", "mixer")
    }
    plugs = [port(name, "coax-75", "video", side="plug") for name in ("a", "b")]
    return kit(
        ends,
        [("camera:sdi - mixer:sdi", spec("coax", "cable", plugs, cable=CableSheet(length_m=length_m, awg=awg)))],
    )


class TestCoax:
    """SMPTE ST 292-1 and 424: 20 dB at half the clock; ST 2082-1: 40 dB (from memory). Nine tenths are planned."""

    @pytest.mark.parametrize(
        ("rate", "awg", "longest_m"), [(270, 18, 257), (1500, 18, 109), (3000, 20, 61), (12_000, 18, 77)]
    )
    def test_a_run_is_as_long_as_its_loss_allows(self, rate, awg, longest_m):
        assert findings(coax(longest_m, rate, awg), "signal-run-long") == []
        found = only(coax(longest_m + 1, rate, awg), "signal-run-long")
        assert (found.severity, found.unit, found.limit) == ("caution", "dB", 36 if rate > 3000 else 18)
        assert found.value > found.limit
        assert f"to {longest_m} m" in found.message

    def test_coax_of_unknown_thickness_may_be_too_thin(self):
        """At 3 Gb/s cable of 7 mm goes 78 m, cable of 4.5 mm 43 m."""
        assert missing(coax(60, 3000)) == ["cable.awg"]
        assert missing(coax(40, 3000)) == []
        assert only(coax(80, 3000), "signal-run-long").severity == "caution"

    def test_a_rate_that_nobody_stated_may_be_too_fast(self):
        """80 m carry the slowest rate, and not the fastest."""
        assert missing(coax(80, None)) == ["ports.sdi.speed_mbps"]
        assert missing(coax(40, None)) == []


def test_a_loudspeaker_line_must_not_meet_an_input():
    assert only(run("speaker-4", "audio", 5, far="xlr-3"), "signal-level").severity == "stop"
    assert findings(run("speaker-4", "audio", 5), "signal-level") == []


def test_coax_of_two_impedances_in_one_run():
    """(75 - 50) / (75 + 50) of the voltage comes back, and its square, a twenty-fifth, of the power."""
    found = only(run("coax-75", "video", 5, far="coax-50"), "impedance-differs")
    assert found.severity == "caution"
    assert "a fifth of the voltage is reflected" in found.message
    assert findings(run("coax-75", "video", 5), "impedance-differs") == []


@pytest.mark.parametrize(("asked", "is_found"), [(2, False), (3, True)])
def test_a_node_has_an_output_for_each_universe(asked, is_found):
    node = spec("node", "node", [port("1", "xlr-5", "dmx"), port("2", "xlr-5", "dmx")])
    brief = Brief(universes=tuple(Universe(number=number) for number in range(1, asked + 1)))
    assert bool(findings(kit({"node": node}, brief=brief), "universe-ports-short")) is is_found


def apart(*segments):
    """Return what is found between two switches, each segment given by name, VLAN and ports of its own."""
    built = kit({"A": switch(None, powered=0), "B": switch(None, powered=0)}, ["A:1 - B:1"])
    ids = {position.label: position.id for position in built.positions}
    asked = tuple(
        Segment(name=name, vlan=vlan, ports=tuple(End(position=ids[place], port=hole) for place, hole in ports))
        for name, vlan, ports in segments
    )
    return findings(replace(built, brief=Brief(segments=asked)), "vlan-differs")


def test_both_ends_of_a_lead_are_in_the_same_segments():
    both = [("A", "1"), ("B", "1")]
    assert apart(("control", 10, both), ("guests", 20, both)) == []
    (found,) = apart(("control", 10, [("A", "1")]), ("guests", 20, both))
    assert found.severity == "stop"
    assert "control (VLAN 10) is at one end only" in found.message


@pytest.mark.parametrize(("clients", "is_found"), [(253, False), (254, True)])
def test_a_block_has_addresses_for_everybody_on_the_air(clients, is_found):
    """A /24 has 256 addresses, less its own, the one for everybody and the gateway's."""
    brief = Brief(
        segments=(Segment(name="guests", block="10.0.20.0/24"),), radio=Radio(clients=clients, client_mbps=0.1)
    )
    assert bool(findings(kit({"A": switch()}, brief=brief), "address-pool-short")) is is_found
