"""Damaged ports and what holds a plug. Retention of matings: tests of the connector register."""

import pytest

from calc.checks import run
from calc.errors import BadInput
from calc.rig.brief import PortsAsked
from calc.rig.kit import Port
from tests.calc.checks.briefs import ask
from tests.calc.checks.kits import NOW, At, camera, ethernet, findings, kit, labels, only, panel, spec, switch, unit_of


def damaged(planned, port, *kinds, **fields):
    return At(planned, unit=unit_of(planned, damage={port: frozenset(kinds)}), **fields)


def exposed(connector, side="socket"):
    return spec("case", "case", [Port(name="x", connector=connector, side=side, carries="ethernet", face="outside")])


@pytest.mark.parametrize(
    ("connector", "asked", "is_found"),
    [
        ("8p8c-rugged", "lock", False),
        ("8p8c", "lock", True),
        ("8p8c", "latch", False),
        ("usb-a", "latch", True),
        ("c14", "latch", True),
        ("usb-a", "friction", False),
        ("usb-a", None, False),
    ],
)
def test_a_panel_port_is_held_as_firmly_as_the_kit_asks(connector, asked, is_found):
    found = findings(kit({"case": exposed(connector)}, exposed_retention=asked), "exposed-not-retained")
    assert [f.severity for f in found] == (["caution"] if is_found else [])


def test_ports_inside_need_not_be_held():
    assert (
        findings(kit({"a": spec("t", "other", [ethernet("x")])}, exposed_retention="lock"), "exposed-not-retained")
        == []
    )


def test_a_named_lead_holds_as_its_own_plug_does():
    plugs = [Port(name=n, connector="8p8c", side="plug", carries="ethernet") for n in "pq"]
    things = {"case": spec("case", "case", panel(1)), "camera": camera()}
    bare = kit(things, [("case:LAN 1 - camera:net", spec("lead", "cable", plugs))], exposed_retention="lock")
    assert only(bare, "exposed-not-retained").subject.port == "LAN 1"
    assert findings(kit(things, ["case:LAN 1 - camera:net"], exposed_retention="lock"), "exposed-not-retained") == []


def test_each_end_of_a_lead_holds_by_itself():
    rugged, bare = (Port(name=n, connector=n, side="plug", carries="ethernet") for n in ("8p8c-rugged", "8p8c"))
    things = {"case": spec("case", "case", panel(1)), "camera": camera()}
    for ends in ((rugged, bare), (bare, rugged)):
        odd = kit(things, [("case:LAN 1 - camera:net", spec("lead", "cable", ends))], exposed_retention="lock")
        assert findings(odd, "exposed-not-retained") == []


def test_a_nested_kit_keeps_its_own_wish():
    box = exposed("8p8c")
    inner = kit({"case": box}, exposed_retention="latch")
    outer = kit({"box": At(box, nested=inner)}, exposed_retention="lock")
    assert findings(outer, "exposed-not-retained") == []


@pytest.mark.parametrize(
    ("kinds", "linked", "severity"),
    [
        ({"dead"}, True, "stop"),
        ({"intermittent"}, True, "stop"),
        ({"dead", "label"}, True, "stop"),
        ({"contact"}, True, "caution"),
        ({"latch"}, True, "note"),
        ({"shell"}, True, "note"),
        ({"shell", "contact"}, True, "caution"),
        ({"label"}, True, "note"),
        ({"dead"}, False, "note"),
        ({"latch"}, False, "note"),
    ],
)
def test_damage_inside_by_kind(kinds, linked, severity):
    things = {"switch A": damaged(switch(), "5", *kinds), "b": spec("t", "other", [ethernet("x")])}
    found = only(kit(things, ["switch A:5 - b:x"] if linked else []), "port-damaged")
    assert (found.severity, found.subject.port, found.views) == (severity, "5", {"packed"})


def test_a_broken_shell_is_a_caution_where_nothing_else_says_so():
    things = {"case": damaged(exposed("usb-a"), "x", "shell")}
    assert only(kit(things), "port-damaged").severity == "caution"


def test_the_message_says_what_is_wrong():
    things = {"switch A": damaged(switch(), "5", "dead", "label"), "b": spec("t", "other", [ethernet("x")])}
    message = only(kit(things, ["switch A:5 - b:x"]), "port-damaged").message
    assert message.endswith("it is dead and its label is damaged.")


def test_a_bad_contact_on_mains_is_a_stop():
    inlet = spec("s", "supply", [Port(name="in", connector="c14", side="socket", carries="mains")])
    outlet = spec("d", "distro", [Port(name="1", connector="c13", side="socket", carries="mains")])
    found = only(kit({"s": damaged(inlet, "in", "contact"), "d": outlet}, ["d:1 - s:in"]), "port-damaged")
    assert found.severity == "stop"


def test_a_dead_panel_port_is_a_caution_even_when_nothing_is_in_it():
    assert only(kit({"case": damaged(spec("case", "case", panel(2)), "LAN 1", "dead")}), "port-damaged").severity == (
        "caution"
    )


def test_damage_of_a_spare_is_a_note():
    things = {"switch A": damaged(switch(), "5", "dead", role="spare"), "b": spec("t", "other", [ethernet("x")])}
    assert only(kit(things, ["switch A:5 - b:x"]), "port-damaged").severity == "note"


def test_a_cable_in_use_counts_as_linked():
    plugs = [Port(name=n, connector="8p8c", side="plug", carries="ethernet") for n in "pq"]
    things = {"a": switch(), "b": spec("t", "other", [ethernet("x")])}
    things["lead"] = damaged(spec("lead", "cable", plugs), "p", "intermittent")
    assert only(kit(things, [("a:5 - b:x", "lead")]), "port-damaged").severity == "stop"
    assert only(kit(things), "port-damaged").severity == "note"


def test_sound_ports_are_not_found():
    assert findings(kit({"switch A": switch()}), "port-damaged") == []


def test_the_message_says_which_port_to_use_instead():
    things = {"switch A": damaged(switch(plain=2), "5", "dead"), "b": spec("t", "other", [ethernet("x")])}
    assert only(kit(things, ["switch A:5 - b:x"]), "port-damaged").message.startswith("Move b x from switch A 5 to 6:")


def test_a_port_that_gives_no_power_is_no_alternative_for_one_that_does():
    things = {"switch A": damaged(switch(powered=1, plain=2), "1", "dead"), "camera": camera()}
    assert "Move" not in only(kit(things, ["switch A:1 - camera:net"]), "port-damaged").message


@pytest.mark.parametrize("kind", ["latch", "shell"])
def test_a_broken_latch_on_the_panel_leaves_friction(kind):
    found = run(kit({"case": damaged(spec("case", "case", panel(2)), "LAN 2", kind)}), NOW)
    assert (only(found, "retention-lost").severity, only(found, "retention-lost").subject.port) == ("caution", "LAN 2")


def test_nothing_is_lost_where_friction_was_all():
    assert findings(kit({"case": damaged(exposed("usb-a"), "x", "shell")}), "retention-lost") == []


def test_a_broken_latch_inside_matters_where_something_is_plugged_in():
    things = {"switch A": damaged(switch(), "5", "latch"), "b": spec("t", "other", [ethernet("x")])}
    assert labels(findings(kit(things, ["switch A:5 - b:x"]), "retention-lost")) == ["switch A"]
    assert findings(kit(things), "retention-lost") == []


def with_free_ports(outside=2, plain=4):
    """A case with so many sockets outside, and a switch with so many ports, of which two lead to the panel."""
    things = {"case": spec("case", "case", panel(outside)), "switch": switch(powered=0, plain=plain)}
    return kit(things, [f"switch:{n} - case:LAN {n} rear" for n in (1, 2)])


@pytest.mark.parametrize(
    ("asked", "plain", "is_found"),
    [
        (PortsAsked(carries="ethernet", quantity=2), 4, False),
        (PortsAsked(carries="ethernet", quantity=3), 4, True),
        (PortsAsked(carries="ethernet", quantity=3), 2, False),
        (PortsAsked(carries="ethernet", quantity=2, connector="8p8c-rugged"), 4, False),
        (PortsAsked(carries="ethernet", quantity=1, connector="8p8c"), 4, True),
        (PortsAsked(carries="dmx", quantity=1), 4, False),
    ],
)
def test_the_lid_must_open_where_only_the_inside_has_what_is_asked(asked, plain, is_found):
    found = findings(ask(with_free_ports(plain=plain), outside=(asked,)), "lid-must-open")
    assert [f.severity for f in found] == (["caution"] if is_found else [])


def test_it_says_which_port_to_lead_outside():
    found = only(ask(with_free_ports(), outside=(PortsAsked(carries="ethernet", quantity=3),)), "lid-must-open")
    assert (found.value, found.limit, found.margin) == (2, 3, -1)
    assert found.message.startswith("Lead one more port to the panel, switch 3 first")


@pytest.mark.parametrize("fields", [{"carries": "water"}, {"quantity": 0}, {"connector": "8p9c"}])
def test_what_no_panel_has_cannot_be_asked(fields):
    with pytest.raises(BadInput):
        PortsAsked(**{"carries": "ethernet", "quantity": 1} | fields)
