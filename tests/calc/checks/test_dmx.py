"""Lighting control. Connectors and unit loads: ANSI E1.11."""

import itertools
from dataclasses import replace

from calc.kit import Port
from tests.calc.checks.kits import findings, kit, only, span, spec


def control(name, poles=3, carries="dmx", side="socket", **fields):
    return Port(**{"name": name, "connector": f"xlr-{poles}", "side": side, "carries": carries} | fields)


def beside(first, second):
    ports = [replace(port, face="outside") for port in (first, second)]
    return kit({"case": spec("case", "case", ports)})


def test_three_poles_beside_audio():
    found = only(beside(control("dmx"), control("mic", carries="audio")), "dmx-on-3-pin")
    assert (found.severity, found.subject.port) == ("caution", "dmx")


def test_five_poles_or_no_audio_beside():
    assert findings(beside(control("dmx", poles=5), control("mic", carries="audio")), "dmx-on-3-pin") == []
    assert findings(beside(control("dmx"), control("dmx 2")), "dmx-on-3-pin") == []


def chain(receivers):
    ports = [control("in", 5, side="plug", through="out"), control("out", 5, through="in")]
    fixture = spec("fixture", "fixture", ports)
    desk = spec("desk", "console", [control("out", 5)])
    names = ["desk", *(f"fixture {n}" for n in span(receivers))]
    links = [f"{one}:out - {other}:in" for one, other in itertools.pairwise(names)]
    return kit({"desk": desk, **dict.fromkeys(names[1:], fixture)}, links)


def test_a_line_carries_32_unit_loads():
    assert findings(chain(32), "dmx-unit-loads") == []
    found = only(chain(33), "dmx-unit-loads")
    assert (found.severity, found.value, found.limit) == ("stop", 33, 32)
    assert found.basis["assumed"] == 1
