"""Power over Ethernet along the run: volts at the device, and kinds of injection.

Limits: IEEE 802.3-2022 clauses 33 and 145. Copper: IEC 60028, ASTM B258.
"""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.rig.kit import CableSheet, PortPower
from tests.calc.checks.kits import (
    NOW,
    camera,
    ethernet,
    findings,
    kit,
    labels,
    missing,
    only,
    panel,
    plugs,
    span,
    spec,
    switch,
)


def cord(length_m, awg=26, pairs=None):
    return spec("cord", "cable", plugs(), cable=CableSheet(length_m=length_m, awg=awg, pairs=pairs))


def at_the_end_of(cable, poe_class=4):
    return kit({"switch A": switch(65), "camera": camera(poe_class)}, [("switch A:1 - camera:net", cable)])


def test_90_m_of_thin_cord_in_the_sun():
    """0.1339 ohm/m x 90 m x 1.09825 at 45 degrees = 13.24 ohm; I = 0.6078 A; 50 - 8.04 = 41.96 V, below 42.5."""
    found = only(at_the_end_of(cord(90)), "poe-volts-low")
    assert (found.severity, found.subject.label, found.unit) == ("stop", "camera", "V")
    assert found.value == pytest.approx(41.96, abs=0.01)
    assert found.limit == 42.5
    assert found.margin == pytest.approx(-0.54, abs=0.01)


def test_a_shorter_or_thicker_cord_is_enough():
    assert findings(at_the_end_of(cord(80)), "poe-volts-low") == []
    assert findings(at_the_end_of(cord(90, awg=24)), "poe-volts-low") == []


def test_the_cords_of_a_run_add_up():
    things = {"case": spec("case", "case", panel(1)), "switch A": switch(65), "camera": camera(4)}
    links = [("switch A:1 - case:LAN 1 rear", cord(45)), ("case:LAN 1 - camera:net", cord(45))]
    assert only(kit(things, links), "poe-volts-low").value == pytest.approx(41.96, abs=0.01)


def test_a_drum_in_the_run_counts():
    sockets = [ethernet("a", speed_mbps=None), ethernet("b", speed_mbps=None)]
    drum = spec("drum", "drum", sockets, cable=CableSheet(length_m=85, awg=26))
    things = {"switch A": switch(65), "drum": drum, "camera": camera(4)}
    assert only(kit(things, ["switch A:1 - drum:a", "drum:b - camera:net"]), "poe-volts-low").value < 42.5


def test_a_cable_of_unknown_length_may_be_too_long():
    result = run(at_the_end_of(cord(None)), NOW)
    assert missing(result) == ["cable.length_m"]
    assert findings(result, "poe-volts-low") == []


def test_a_missing_length_is_asked_for_once_at_the_cable():
    things = {"switch A": switch(65), "long one": cord(None), **{f"camera {n}": camera(4) for n in span(2)}}
    links = [("switch A:1 - camera 1:net", "long one"), ("switch A:2 - camera 2:net", things["long one"])]
    assert labels(findings(kit(things, links), "data-missing")) == ["long one"]


def test_a_lead_that_nobody_named_is_taken_for_a_short_one():
    result = run(kit({"switch A": switch(65), "camera": camera(4)}, ["switch A:1 - camera:net"]), NOW)
    assert findings(result, "poe-volts-low") == []
    assert missing(result) == []


def test_a_device_of_unknown_class_may_draw_too_much():
    assert "ports.net.poe.class" in missing(at_the_end_of(cord(90), poe_class=None))


def test_over_two_pairs_no_more_than_class_4_arrives():
    things = {"switch A": switch(90, poe_class=6), "camera": camera(6)}
    two_pairs = kit(things, [("switch A:1 - camera:net", cord(2, pairs=2))])
    assert only(two_pairs, "poe-reduced").value == 25.5
    assert findings(kit(things, [("switch A:1 - camera:net", cord(2, pairs=4))]), "poe-reduced") == []


INJECTS = PortPower(role="source", volts_min=24, volts_max=24, watts=24)
TAKES = PortPower(role="load", volts_min=12, volts_max=30, watts=10)
PLAIN = ethernet("x")


@pytest.mark.parametrize(
    ("source", "other", "is_found"),
    [
        (replace(PLAIN, power=INJECTS), camera().ports[0], True),
        (replace(PLAIN, power=INJECTS), PLAIN, True),
        (replace(PLAIN, power=INJECTS), replace(PLAIN, carries="dmx"), True),
        (replace(PLAIN, power=INJECTS), replace(PLAIN, power=TAKES), False),
        (switch().port("1"), replace(PLAIN, power=TAKES), True),
        (switch().port("1"), camera().ports[0], False),
        (switch().port("1"), PLAIN, False),
    ],
)
def test_kinds_of_injection(source, other, is_found):
    things = {"a": spec("source", "injector", [source]), "b": spec("device", "other", [other])}
    found = findings(kit(things, [f"a:{source.name} - b:{other.name}"]), "poe-kind-mismatch")
    assert [(f.severity, f.subject.label) for f in found] == ([("stop", "b")] if is_found else [])


def test_fixed_volts_are_followed_through_the_panel():
    things = {"case": spec("case", "case", panel(1)), "a": spec("source", "injector", [replace(PLAIN, power=INJECTS)])}
    things["laptop"] = spec("laptop", "computer", [PLAIN])
    wired = kit(things, ["a:x - case:LAN 1 rear", "case:LAN 1 - laptop:x"])
    assert only(wired, "poe-kind-mismatch").subject.label == "laptop"
    assert findings(kit(things, ["a:x - case:LAN 1 rear"]), "poe-kind-mismatch") == []
