"""Budgets of power over Ethernet, by source.

Watts by class: IEEE 802.3-2022 clauses 33 and 145, class tables. Rigs of the budgets: worked by hand.
"""

import pytest

from calc.checks import run
from calc.rig.kit import PoeSheet, Port, PortPoe, PortPower, PowerSheet
from tests.calc.checks.kits import (
    NOW,
    At,
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
    unit_of,
)


def rig(*classes, budget_w=65.0, linked=True, **source):
    """Return a switch A with one device of each class on its ports 1, 2, ..."""
    devices = {f"camera {n}": camera(poe_class) for n, poe_class in enumerate(classes, start=1)}
    links = [f"switch A:{n} - camera {n}:net" for n in span(len(classes))] if linked else []
    return kit({"switch A": switch(budget_w, **source), **devices}, links)


def test_three_class_4_devices_do_not_fit_65_w():
    found = only(rig(4, 4, 4), "poe-budget-exceeded")
    assert (found.severity, found.value, found.limit, found.margin, found.unit) == ("stop", 90.0, 65.0, -25.0, "W")
    assert (found.subject.label, found.subject.port, found.views) == ("switch A", None, {"design", "packed"})
    assert found.basis["data sheet"] > 0
    assert found.basis["unknown"] == 0


def test_moving_one_device_to_another_source_clears_it():
    things = {"switch A": switch(65), "switch B": switch(65), **{f"camera {n}": camera(4) for n in span(3)}}
    links = ["switch A:1 - camera 1:net", "switch A:2 - camera 2:net"]
    assert findings(kit(things, [*links, "switch A:3 - camera 3:net"]), "poe-budget-exceeded") != []
    assert findings(kit(things, [*links, "switch B:1 - camera 3:net"]), "poe-budget-exceeded") == []


def test_a_pool_is_never_assumed():
    things = {"switch A": switch(65), "switch B": switch(120), **{f"camera {n}": camera(4) for n in span(3)}}
    links = [f"switch A:{n} - camera {n}:net" for n in span(3)]
    assert labels(findings(kit(things, links), "poe-budget-exceeded")) == ["switch A"]


def test_the_message_names_the_port_that_goes_dark_and_where_to_move():
    things = {"switch A": switch(65), "switch B": switch(120), **{f"camera {n}": camera(4) for n in span(3)}}
    message = only(kit(things, [f"switch A:{n} - camera {n}:net" for n in span(3)]), "poe-budget-exceeded").message
    assert message.startswith("Move camera 3 net from switch A 3 to switch B 1:")
    assert "port 3 goes dark" in message
    alone = only(rig(4, 4, 4), "poe-budget-exceeded").message
    assert "Feed camera 3 net from another source" in alone


@pytest.mark.parametrize("other", [switch(120, poe_class=3), switch(120, poe_class=None), switch(20), switch(None)])
def test_no_port_is_named_that_would_not_do(other):
    things = {"switch A": switch(65), "switch B": other, **{f"camera {n}": camera(4) for n in span(3)}}
    message = only(kit(things, [f"switch A:{n} - camera {n}:net" for n in span(3)]), "poe-budget-exceeded").message
    assert message.startswith("Feed camera 3 net from another source")


@pytest.mark.parametrize(("budget_w", "is_found"), [(46.2, False), (46.1, True)])
def test_the_brim_of_a_budget_is_within_it(budget_w, is_found):
    assert bool(findings(rig(3, 3, 3, budget_w=budget_w), "poe-budget-exceeded")) is is_found


def test_a_source_of_unknown_budget_is_not_known_to_be_enough():
    result = run(rig(4, budget_w=None), NOW)
    assert missing(result) == ["poe.budget_w"]
    assert result.verdict == "unknown"
    assert result.findings[0].subject.label == "switch A"


def test_a_source_of_unknown_budget_that_feeds_nothing_is_no_finding():
    assert missing(rig(budget_w=None)) == []


def test_a_panel_between_makes_no_difference():
    things = {"case": spec("case", "case", panel(3)), "switch A": switch(65)}
    things |= {f"camera {n}": camera(4) for n in span(3)}
    links = [f"case:LAN {n} rear - switch A:{n}" for n in span(3)] + [f"camera {n}:net - case:LAN {n}" for n in span(3)]
    assert only(kit(things, links), "poe-budget-exceeded").value == 90.0


# Unknown is not zero: three of class 3 make 46.2 W; a device of no class on a class-4 port 4.0 to 30.0 W more.


def test_a_device_of_no_class_makes_the_budget_unknown():
    found = only(rig(3, 3, 3, None), "data-missing")
    assert (found.subject.label, found.subject.port, found.unlocks) == ("camera 4", "net", "ports.net.poe.class")
    assert "50.2 to 76.2 W of 65 W" in found.message
    assert found.inputs["waiting"] == "poe-budget-exceeded"
    assert run(rig(3, 3, 3, None), NOW).verdict == "unknown"


def test_the_class_settles_it_within():
    result = run(rig(3, 3, 3, 2), NOW)
    assert findings(result, "poe-budget-exceeded") == []
    assert missing(result) == []


def test_the_class_settles_it_beyond():
    assert only(rig(3, 3, 3, 4), "poe-budget-exceeded").margin == pytest.approx(-11.2)


def test_a_device_of_no_class_that_fits_at_its_worst_needs_no_answer():
    assert missing(rig(None, budget_w=30)) == []


def test_a_device_of_no_class_that_cannot_fit_at_its_best_is_a_stop():
    found = only(rig(4, 4, None, budget_w=63), "poe-budget-exceeded")
    assert (found.severity, found.value) == ("stop", 90.0)


# How a source counts: 16 W at the device are 17.54 W at 50 V and 12.5 ohm.


def counted(allotment, draw_w=16.0):
    devices = {f"camera {n}": camera(4, power=PowerSheet(max_w=draw_w)) for n in span(3)}
    source = switch(55, allotment=allotment)
    return kit({"switch A": source, **devices}, [f"switch A:{n} - camera {n}:net" for n in span(3)])


def test_by_class_a_source_sets_aside_more_than_by_draw():
    assert only(counted("class"), "poe-budget-exceeded").value == 90.0
    assert findings(counted("measured"), "poe-budget-exceeded") == []
    assert findings(counted("negotiated"), "poe-budget-exceeded") == []


def test_an_unknown_allotment_that_decides_is_asked_for():
    found = only(counted(None), "data-missing")
    assert (found.subject.label, found.unlocks) == ("switch A", "poe.allotment")
    assert "52.6" in found.message


def test_an_unknown_allotment_that_does_not_decide_is_not_asked_for():
    assert only(counted(None, draw_w=25.5), "poe-budget-exceeded").value == 90.0
    assert missing(counted(None, draw_w=25.5)) == []


# Devices without a link go where the plug map puts them.


def unlinked(*classes, budgets=(65, 120)):
    sources = {f"switch {letter}": switch(watts) for letter, watts in zip("ABC", budgets, strict=False)}
    return kit(sources | {f"camera {n}": camera(c) for n, c in enumerate(classes, start=1)})


def test_the_worst_way_of_plugging_is_a_caution():
    found = only(unlinked(4, 4, 4, 4, 3), "poe-budget-exceeded")
    assert (found.severity, found.subject.label) == ("caution", "switch A")
    assert (found.value, found.limit, found.margin) == (120.0, 65.0, -55.0)
    assert "port 3 goes dark" in found.message
    assert findings(unlinked(4, 4, 4, 4, 3), "poe-starved") == []


def test_where_every_order_works_nothing_is_found():
    assert findings(unlinked(4, 4, budgets=(65,)), "poe-budget-exceeded") == []


def test_what_finds_no_watts_anywhere_is_starved():
    result = run(unlinked(4, 4, 4, budgets=(65,)), NOW)
    assert labels(findings(result, "poe-starved")) == ["camera 3"]
    assert only(result, "poe-starved").severity == "stop"
    assert findings(result, "poe-budget-exceeded") == []


def test_links_stand_as_drawn_and_only_the_rest_is_plugged():
    things = {"switch A": switch(65), "switch B": switch(65), **{f"camera {n}": camera(4) for n in span(3)}}
    linked = kit(things, ["switch A:1 - camera 1:net", "switch A:2 - camera 2:net"])
    found = only(linked, "poe-budget-exceeded")
    assert (found.severity, found.subject.label, found.value) == ("caution", "switch A", 90.0)


def test_a_required_device_is_fed_before_an_optional_one():
    things = {"switch A": switch(30), "a": At(camera(4), role="optional"), "b": camera(4)}
    found = only(kit(things), "poe-starved")
    assert (found.subject.label, found.severity) == ("a", "caution")


def test_a_spare_is_not_plugged_in():
    things = {"switch A": switch(30), "a": camera(4), "b": At(camera(4), role="spare")}
    assert findings(kit(things), "poe-starved") == []


def test_a_spare_source_feeds_nobody():
    assert labels(findings(kit({"a": camera(4), "switch": At(switch(), role="spare")}), "poe-starved")) == ["a"]


def test_devices_of_no_class_are_plugged_at_their_worst():
    assert missing(unlinked(None, 4, budgets=(65,))) == []
    assert missing(unlinked(None, 4, 4, budgets=(65,))) == ["ports.net.poe.class"]
    assert missing(unlinked(None, None, None, budgets=(65,))) == ["ports.net.poe.class"]


def test_a_device_that_waits_for_an_unknown_budget():
    result = run(unlinked(4, budgets=(None,)), NOW)
    assert missing(result) == ["poe.budget_w"]
    assert findings(result, "poe-starved") == []


def test_a_dead_port_is_not_offered():

    source = switch(65, powered=1)
    damaged = At(source, unit=unit_of(source, damage={"1": frozenset({"dead"})}))
    found = only(kit({"switch A": damaged, "a": camera(4)}), "poe-starved")
    assert found.views == {"packed"}


def test_where_the_source_itself_is_missing_nothing_more_is_said():
    things = {"switch A": At(switch(), empty=True), "a": camera(4)}
    assert findings(kit(things), "poe-starved") == []


# Classes granted.


@pytest.mark.parametrize(("reduced_class_ok", "severity"), [(None, "caution"), (3, "caution"), (4, "stop")])
def test_a_port_of_a_lower_class(reduced_class_ok, severity):
    things = {"switch A": switch(65, poe_class=3), "camera": camera(4, reduced_class_ok)}
    found = only(kit(things, ["switch A:1 - camera:net"]), "poe-reduced")
    assert (found.severity, found.subject.label, found.value, found.limit) == (severity, "camera", 12.95, 25.5)
    assert found.margin == pytest.approx(-12.55)


def test_a_port_of_the_same_class_reduces_nothing():
    assert findings(rig(4), "poe-reduced") == []


def test_class_0_runs_on_a_class_3_port():
    things = {"switch A": switch(65, poe_class=3), "camera": camera(0)}
    assert findings(kit(things, ["switch A:1 - camera:net"]), "poe-reduced") == []


def test_a_port_of_unknown_class_may_grant_too_little():
    assert "ports.1.poe.class" in missing(rig(4, poe_class=None))


def test_a_device_linked_to_a_port_without_power_is_starved():
    things = {"switch A": switch(65), "camera": camera(4)}
    found = only(kit(things, ["switch A:5 - camera:net"]), "poe-starved")
    assert (found.severity, found.subject.label) == ("stop", "camera")
    assert "switch A 5" in found.message
    assert findings(kit(things, ["switch A:1 - camera:net"]), "poe-starved") == []


def test_a_device_linked_to_a_hole_that_leads_nowhere_is_starved():
    things = {"case": spec("case", "case", panel(1)), "switch A": switch(65), "camera": camera(4)}
    found = only(kit(things, ["camera:net - case:LAN 1"]), "poe-starved")
    assert found.subject.label == "camera"
    assert findings(kit(things, ["camera:net - case:LAN 1", "case:LAN 1 rear - switch A:1"]), "poe-starved") == []


def test_a_device_with_a_loose_lead_goes_where_the_plug_map_puts_it():
    things = {"switch A": switch(65, powered=1), "lead": spec("lead", "cable", plugs()), "camera": camera(4)}
    loose = kit(things, ["camera:net - lead:one end"])
    assert findings(loose, "poe-starved") == []
    assert labels(findings(kit(things | {"other": camera(4)}, ["camera:net - lead:one end"]), "poe-starved")) != []


def test_figures_count_links_and_the_plug_map():
    things = {"switch A": switch(65), "switch B": switch(None), "camera 1": camera(4), "camera 2": camera(3)}
    figures = run(kit(things, ["switch A:1 - camera 1:net"]), NOW).figures["poe"]
    assert [(f["label"], f["budget_w"], f["allotted_w"]) for f in figures] == [
        ("switch A", 65, 45.4),
        ("switch B", None, 0),
    ]
    unknown = run(rig(None), NOW).figures["poe"]
    assert unknown[0]["allotted_w"] is None


def test_a_device_with_another_inlet_in_use_is_not_starved():

    dc = Port(name="dc", connector="dc-5.5x2.1", side="socket", carries="dc", power=PortPower(role="load", watts=10))
    out = Port(name="out", connector="dc-5.5x2.1", side="plug", carries="dc", power=PortPower(role="source", watts=20))
    device = spec("camera", "camera", [ethernet("net", poe=PortPoe(role="load", poe_class=3)), dc])
    things = {"camera": device, "supply": spec("supply", "supply", [out])}
    assert findings(kit(things, ["supply:out - camera:dc"]), "poe-starved") == []
    assert labels(findings(kit(things), "poe-starved")) == ["camera"]


def test_a_device_fed_through_the_panel_from_elsewhere_is_not_starved():
    things = {"case": spec("case", "case", panel(1)), "box": camera(4)}
    assert findings(kit(things, ["case:LAN 1 rear - box:net"]), "poe-starved") == []


def test_an_injector_with_one_port_gives_what_its_class_says():
    injector = spec("injector", "injector", [ethernet("out", poe=PortPoe(role="source", poe_class=4))])
    things = {"injector": injector, "camera": camera(4)}
    result = run(kit(things, ["injector:out - camera:net"]), NOW)
    assert [f.code for f in result.findings] == []
    assert result.figures["poe"][0]["budget_w"] == 30.0


def test_a_hole_of_a_lower_class_is_no_hole_for_everything():
    """Without a link a device of class 4 may land in a port of class 3, on which it does not run."""
    things = {"switch A": switch(65, powered=1), "switch B": switch(65, powered=1, poe_class=3)}
    things |= {"a": camera(4, reduced_class_ok=4), "b": camera(3)}
    found = only(kit(things), "poe-reduced")
    assert (found.severity, found.subject.label) == ("caution", "a")
    assert findings(kit(things), "poe-budget-exceeded") == []
    things["a"] = camera(4, reduced_class_ok=3)
    assert findings(kit(things), "poe-reduced") == []


def test_a_source_that_its_links_overload_is_said_once():
    things = {"switch A": switch(65), **{f"camera {n}": camera(4) for n in span(3)}, "another": camera(4)}
    result = run(kit(things, [f"switch A:{n} - camera {n}:net" for n in span(3)]), NOW)
    assert [f.severity for f in findings(result, "poe-budget-exceeded")] == ["stop"]
    assert labels(findings(result, "poe-starved")) == ["another"]


# A box that passes power on: 13 W + 15.4 / 0.9 = 30.11 W, where class 4 lets 25.5 W arrive.


def booth(passed_class, own_w=13.0, efficiency=0.9, device_class=None):
    box = spec(
        "booth box",
        "switch",
        [
            ethernet("in", poe=PortPoe(role="load", poe_class=4)),
            ethernet("out", poe=PortPoe(role="source", poe_class=passed_class)),
        ],
        poe=PoeSheet(efficiency=efficiency),
        power=PowerSheet(max_w=own_w),
    )
    things = {"stage switch": switch(55), "booth box": box, "camera": camera(device_class or passed_class)}
    return kit(things, ["stage switch:1 - booth box:in", "booth box:out - camera:net"])


def test_a_box_cannot_pass_on_more_than_arrives():
    found = only(booth(3), "poe-budget-exceeded")
    assert (found.severity, found.subject.label, found.limit) == ("stop", "booth box", 25.5)
    assert found.value == pytest.approx(30.11, abs=0.005)
    assert found.margin == pytest.approx(-4.6, abs=0.05)


def test_a_box_that_passes_on_little_is_not_found():
    result = run(booth(2), NOW)  # 13 + 7 / 0.9 = 20.78
    assert findings(result, "poe-budget-exceeded") == []
    assert missing(result) == []


def test_a_box_of_unknown_draw():
    assert missing(booth(2, own_w=None)) == ["power.max_w"]
    assert only(booth(4, own_w=None), "poe-budget-exceeded").value == pytest.approx(33.33, abs=0.005)


def test_a_box_of_unknown_efficiency_is_judged_at_both_ends():
    assert missing(booth(2, efficiency=None)) == []  # 13 + 7 / 0.8 = 21.75
    assert missing(booth(2, own_w=18, efficiency=None)) == ["poe.efficiency"]  # 25.0 to 26.75
    assert only(booth(3, efficiency=None), "poe-budget-exceeded").severity == "stop"
