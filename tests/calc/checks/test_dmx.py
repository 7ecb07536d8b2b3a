"""Lighting control. Connectors and unit loads: ANSI E1.11."""

import itertools
from dataclasses import replace

from calc.rig.kit import Port
from tests.calc.checks.kits import findings, kit, only, span, spec


def control(name, poles=3, carries="dmx", side="socket", **fields):
    return Port(**{"name": name, "connector": f"xlr-{poles}", "side": side, "carries": carries} | fields)


def beside(first, second):
    ports = [replace(port, face="outside") for port in (first, second)]
    return kit({"case": spec("case", "case", ports)})


def test_three_poles_beside_audio():
    found = only(beside(control("dmx"), control("mic", carries="audio")), "dmx-on-3-pin")
    assert (found.severity, found.subject.port) == ("stop", "dmx")


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
    assert found.margin == -1


def test_the_last_output_of_a_line_wants_a_terminator():
    found = only(chain(3), "dmx-unterminated")
    assert (found.severity, found.subject.label, found.subject.port) == ("caution", "fixture 3", "out")


def test_a_terminator_ends_the_line():
    terminator = spec("terminator", "other", [control("plug", 5, side="plug")])
    line = chain(2)
    things = {position.label: position.spec for position in line.positions}
    links = ["desk:out - fixture 1:in", "fixture 1:out - fixture 2:in", "fixture 2:out - end:plug"]
    assert findings(kit(things | {"end": terminator}, links), "dmx-unterminated") == []


def test_a_line_that_leaves_by_the_panel_goes_on():
    through = [control("front", 5, face="outside", through="rear"), control("rear", 5, through="front")]
    things = {"case": spec("case", "case", through), "desk": spec("desk", "console", [control("out", 5)])}
    assert findings(kit(things, ["desk:out - case:rear"]), "dmx-unterminated") == []
