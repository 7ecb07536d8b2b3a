"""Runs of video, sound, control and USB, and segments that differ at the two ends of a lead."""

from dataclasses import replace

import pytest

from calc.rig.brief import Brief, Radio, Segment, Universe
from calc.rig.ends import End
from calc.rig.kit import Port
from calc.rig.sheets import CableSheet
from tests.calc.checks.kits import findings, kit, only, spec, switch


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
        ("coax-75", "video", 12_000, 45),
        ("coax-75", "video", 1500, 110),
        ("coax-75", "video", None, 300),
        ("hdmi-a", "video", None, 10),
        ("usb-a", "usb", 480, 5),
        ("phono", "audio", None, 10),
    ],
)
def test_a_run_is_held_against_what_is_planned_for(connector, carries, rate, limit_m):
    assert findings(run(connector, carries, limit_m, rate), "signal-run-long") == []
    found = only(run(connector, carries, limit_m + 1, rate), "signal-run-long")
    assert (found.severity, found.value, found.limit) == ("caution", limit_m + 1, limit_m)


def test_a_loudspeaker_line_must_not_meet_an_input():
    assert only(run("speaker-4", "audio", 5, far="xlr-3"), "signal-level").severity == "stop"
    assert findings(run("speaker-4", "audio", 5), "signal-level") == []


def test_coax_of_two_impedances_in_one_run():
    assert only(run("coax-75", "video", 5, far="coax-50"), "impedance-differs").severity == "caution"
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
