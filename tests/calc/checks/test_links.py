"""Links: what fits and what carries what. Which connectors mate: tests of the connector register."""

from dataclasses import replace

import pytest

from calc.checking.runner import evaluate
from calc.checks import CHECKS, run
from calc.rig.ends import End
from calc.rig.kit import CableSheet, Link, Port, PortPoe, PortPower
from calc.rig.wiring import wire
from tests.calc.checks.kits import NOW, At, ethernet, findings, kit, missing, only, panel, spec, switch, unit_of


def lead(*ends, **fields):
    ports = [Port(name=name, connector=code, side=side, carries="ethernet") for name, code, side in ends]
    return spec("lead", "cable", ports, cable=CableSheet(length_m=2), **fields)


def two(a, b, cable=None):
    """Return a kit of two things with one port each, joined."""
    link = "a:x - b:x" if cable is None else ("a:x - b:x", cable)
    return kit({"a": spec("thing", "other", [a]), "b": spec("other thing", "other", [b])}, [link])


SOCKET = ethernet("x")
PATCH = lead(("p", "8p8c", "plug"), ("q", "8p8c", "plug"))


def xlr(carries, side="socket", poles=3, **fields):
    return Port(name="x", connector=f"xlr-{poles}", side=side, carries=carries, **fields)


def test_two_sockets_of_one_family_are_joined_by_a_lead_that_nobody_named():
    assert findings(two(SOCKET, SOCKET), "connector-mismatch") == []
    assert findings(two(SOCKET, replace(SOCKET, connector="8p8c-rugged")), "connector-mismatch") == []


def test_two_families_do_not_mate():
    found = only(two(SOCKET, xlr("ethernet")), "connector-mismatch")
    assert (found.severity, found.subject.label, found.subject.port, found.views) == (
        "stop",
        "b",
        "x",
        {"design", "packed"},
    )


def test_a_named_cable_that_fits_both_ends_is_not_found():
    assert findings(two(SOCKET, SOCKET, PATCH), "connector-mismatch") == []


def test_a_named_cable_that_does_not_fit_one_end_is_found_at_that_end():
    rugged = lead(("p", "8p8c-rugged", "plug"), ("q", "8p8c-rugged", "plug"))
    found = only(two(replace(SOCKET, connector="8p8c-rugged"), SOCKET, rugged), "connector-mismatch")
    assert found.subject.label == "b"
    turned = only(two(SOCKET, replace(SOCKET, connector="8p8c-rugged"), rugged), "connector-mismatch")
    assert turned.subject.label == "a"


def test_a_cable_may_be_turned_round():
    odd = lead(("p", "8p8c-rugged", "plug"), ("q", "8p8c", "plug"))
    for a, b in (("8p8c", "8p8c-rugged"), ("8p8c-rugged", "8p8c")):
        assert (
            findings(two(replace(SOCKET, connector=a), replace(SOCKET, connector=b), odd), "connector-mismatch") == []
        )


def test_a_cable_of_unknown_ends_is_not_known_to_fit():
    result = run(two(SOCKET, xlr("ethernet"), spec("lead", "cable")), NOW)
    assert findings(result, "connector-mismatch") == []


def test_a_cable_in_a_position_counts_like_a_planned_one():
    fibre = lead(("p", "lc-duplex", "plug"), ("q", "lc-duplex", "plug"))
    things = {"a": spec("thing", "other", [SOCKET]), "b": spec("thing", "other", [SOCKET]), "lead": fibre}
    assert only(kit(things, [("a:x - b:x", "lead")]), "connector-mismatch").severity == "stop"
    things["lead"] = PATCH
    assert findings(kit(things, [("a:x - b:x", "lead")]), "connector-mismatch") == []


def test_a_missing_cable_is_said_once():
    things = {
        "a": spec("thing", "other", [SOCKET]),
        "b": spec("thing", "other", [SOCKET]),
        "lead": At(PATCH, empty=True),
    }
    result = run(kit(things, [("a:x - b:x", "lead")]), NOW)
    assert {f.code for f in result.findings if "packed" in f.views and f.severity == "stop"} == {"position-empty"}


def test_a_port_that_the_planned_spec_has_not():
    assert only(kit({"a": spec("thing", "other", [SOCKET]), "b": spec("t", "other", [SOCKET])}, ["a:x - b:y"]),
                "link-dangling").subject.port == "y"  # fmt: skip
    assert findings(two(SOCKET, SOCKET), "link-dangling") == []


def test_a_port_that_only_the_stand_in_has_not():
    planned, other = spec("planned", "other", [SOCKET]), spec("other", "other", [ethernet("z")])
    found = only(kit({"a": At(planned, unit=unit_of(other)), "b": planned}, ["a:x - b:x"]), "link-dangling")
    assert (found.subject.label, found.views) == ("a", {"packed"})


@pytest.mark.parametrize(
    ("a", "b", "severity"),
    [
        (xlr("audio"), xlr("dmx", side="plug"), "caution"),
        (replace(SOCKET, carries="dmx"), SOCKET, "caution"),
        (replace(SOCKET, carries="dmx"), replace(SOCKET, poe=PortPoe(role="source", poe_class=4)), "stop"),
        (xlr("dc", poles=4), xlr("audio", side="plug", poles=4), "stop"),
        (replace(SOCKET, power=PortPower(role="source", volts_max=24)), replace(SOCKET, carries="dmx"), "stop"),
    ],
)
def test_connectors_that_mate_but_carry_different_things(a, b, severity):
    assert only(two(a, b), "carries-mismatch").severity == severity


def test_connectors_that_carry_the_same_are_not_found():
    assert findings(two(xlr("audio"), xlr("audio", side="plug")), "carries-mismatch") == []


def test_what_cannot_mate_is_not_also_said_to_carry_different_things():
    assert findings(two(SOCKET, xlr("audio")), "carries-mismatch") == []


def test_two_wiring_schemes():
    a, b = (xlr("dmx", pinout="E1.11"), xlr("dmx", side="plug", pinout="swapped"))
    assert only(two(a, b), "pinout-differs").severity == "caution"
    assert findings(two(a, replace(b, pinout="E1.11")), "pinout-differs") == []
    assert findings(two(replace(a, pinout=None), replace(b, pinout=None)), "pinout-differs") == []


def test_two_wiring_schemes_for_power_are_a_stop():
    a, b = xlr("dc", poles=4, pinout="4+"), xlr("dc", side="plug", poles=4, pinout="1+")
    assert only(two(a, b), "pinout-differs").severity == "stop"


def test_two_wiring_schemes_on_a_powered_port_are_a_stop():
    powered = replace(SOCKET, pinout="straight", poe=PortPoe(role="source", poe_class=3))
    for a, b in ((powered, replace(SOCKET, pinout="crossed")), (replace(SOCKET, pinout="crossed"), powered)):
        assert only(two(a, b), "pinout-differs").severity == "stop"


def test_a_scheme_that_only_one_end_states_is_not_known():
    result = run(two(xlr("dmx", pinout="E1.11"), xlr("dmx", side="plug")), NOW)
    assert missing(result) == ["ports.x.pinout"]
    assert findings(result, "data-missing")[0].subject.label == "b"


def test_schemes_are_compared_through_a_panel():
    case = spec("case", "case", [replace(port, carries="dmx", connector="8p8c") for port in panel(1)])
    ends = {"case": case, "desk": spec("desk", "console", [replace(SOCKET, carries="dmx", pinout="E1.11")])}
    ends["node"] = spec("node", "node", [replace(SOCKET, carries="dmx", pinout="private")])
    found = only(kit(ends, ["desk:x - case:LAN 1", "case:LAN 1 rear - node:x"]), "pinout-differs")
    assert found.severity == "caution"


def test_on_site_two_links_can_want_one_port():
    one, other = (replace(kit({"a": spec("thing", "other", [SOCKET])}), id=number) for number in (1, 2))
    third = replace(kit({"switch": switch()}), id=3)
    (port,) = (End(position=third.positions[0].id, port="5"),)
    ends = [End(position=each.positions[0].id, port="x") for each in (one, other)]
    for count in (1, 2):
        links = [Link(id=number, a=end, b=port) for number, end in enumerate(ends[:count])]
        wired = wire([one, other, third], view="design", as_of=NOW, site_links=links)
        found = [f for f in evaluate(wired, CHECKS.values()) if f.code == "port-used-twice"]
        assert [(f.severity, f.value, f.subject.port) for f in found] == ([("stop", 2, "5")] if count == 2 else [])
