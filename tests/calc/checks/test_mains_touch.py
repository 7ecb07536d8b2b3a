"""Mains that can be touched or parted: common practice of the trade; breaking capacity IEC 61984, from memory."""

from dataclasses import replace

from calc.checks import run
from calc.rig.kit import CableSheet, PowerSheet
from calc.vocabulary import RULE_SETS
from tests.calc.checks.kits import NOW, findings, kit, labels, mains, missing, only, spec


def earthed(protection_class):
    sheet = PowerSheet(max_w=100, power_factor=1, protection_class=protection_class)
    return spec("amplifier", "other", [mains("in", "c14", "load")], power=sheet)


def through_adapter(protection_class="I", far="c7"):
    """Return a load behind an adapter whose other side is of that kind."""
    entering = {"c7": "c8", "c13": "c14"}[far]
    ports = [mains("from", entering, None, through="to"), mains("to", "c13", None, through="from")]
    things = {
        "panel": spec("panel", "case", [mains("out", far, "source")]),
        "adapter": spec("adapter", "adapter", ports),
        "amplifier": earthed(protection_class),
    }
    return kit(things, ["panel:out - adapter:from", "adapter:to - amplifier:in"])


def test_a_part_without_earth_before_a_class_i_load():
    found = only(through_adapter(), "earth-broken")
    assert (found.severity, found.subject.label) == ("stop", "amplifier")


def test_the_words_are_those_of_the_region():
    at_home, abroad = (only(replace(through_adapter(), rules=name), "earth-broken") for name in RULE_SETS)
    assert at_home.message.endswith("brings no earth.")
    assert abroad.message.endswith("brings no ground.")
    assert "with ground contact" in abroad.message


def test_earthed_parts_all_the_way():
    assert findings(through_adapter(far="c13"), "earth-broken") == []


def test_class_ii_needs_no_earth():
    assert findings(through_adapter("II"), "earth-broken") == []


def test_an_unknown_class_behind_a_part_without_earth_is_asked_for():
    assert missing(through_adapter(None)) == ["power.protection_class"]
    assert missing(through_adapter(None, far="c13")) == []


def unearthed_lead():
    ends = [mains("from", "cee7-16", None, side="plug"), mains("to", "c13", None, side="plug")]
    return spec("flat lead", "cable", ends, cable=CableSheet(length_m=2))


def strip(inlet, outlets=3):
    ports = [mains("in", inlet, "load"), *(mains(f"{n}", "c13", "source") for n in range(1, outlets + 1))]
    return spec("strip", "distro", ports)


def test_a_lead_without_earth_is_told_once_however_many_of_it_are_in_use():
    flat, wall = unearthed_lead(), spec("wall", "distro", [mains(f"{n}", "cee7-3", "source") for n in (1, 2, 3)])
    things = {"wall": wall, **{f"amplifier {n}": earthed("I") for n in (1, 2, 3)}}
    found = only(kit(things, [(f"amplifier {n}:in - wall:{n}", flat) for n in (1, 2, 3)]), "earth-broken")
    assert "It is in 2 more places." in found.message


def test_a_strip_with_an_inlet_without_earth_is_told_once_for_all_behind_it():
    links = ["strip:1 - amplifier:in", "strip:2 - other:in"]
    things = {"strip": strip("c8"), "amplifier": earthed("I"), "other": earthed("I")}
    assert labels(findings(kit(things, links), "earth-broken")) == ["strip"]
    things |= {"amplifier": earthed("II"), "other": earthed("II")}
    assert findings(kit(things, links), "earth-broken") == []
    things |= {"other": earthed(None)}
    assert labels(findings(kit(things, links), "data-missing")) == ["other"]


def small(protection_class):
    sheet = PowerSheet(max_w=20, power_factor=1, protection_class=protection_class)
    return spec("small", "other", [mains("in", "c8", "load")], power=sheet)


def test_an_inlet_without_earth_contact_is_made_for_class_ii():
    """IEC 60320-1: C7 and C8 are for class II only."""
    assert "Check the protection class of small" in only(kit({"small": small("I")}), "earth-broken").message
    assert findings(kit({"small": small("II")}), "earth-broken") == []
    assert missing(kit({"small": small(None)})) == []


def fed_by_lead(from_side, to_side, connector="nema-5-15"):
    ends = [mains("from", connector, None, side=from_side), mains("to", connector, None, side=to_side)]
    lead = spec("lead", "cable", ends, cable=CableSheet(length_m=2))
    out = mains("out", connector, "source", side="socket" if from_side == "plug" else "plug")
    inlet = mains("in", connector, "load", side="plug" if to_side == "socket" else "socket")
    load = spec("load", "other", [inlet], power=PowerSheet(max_w=100, power_factor=1))
    return kit({"panel": spec("panel", "case", [out]), "load": load}, [("panel:out - load:in", lead)])


def test_a_lead_with_pins_on_both_ends():
    found = only(fed_by_lead("plug", "plug"), "live-pins")
    assert (found.severity, found.subject.label) == ("stop", "load")


def test_an_outlet_that_carries_pins():
    assert labels(findings(fed_by_lead("socket", "socket"), "live-pins")) == ["panel"]


def test_a_lead_with_pins_where_it_is_plugged_in():
    assert findings(fed_by_lead("plug", "socket"), "live-pins") == []


def test_a_lead_of_which_nobody_knows_the_ends_is_not_found():
    things = {
        "panel": spec("panel", "case", [mains("out", "c13", "source")]),
        "amplifier": earthed("I"),
    }
    assert findings(kit(things, ["panel:out - amplifier:in"]), "live-pins") == []


def outside(connector, side="socket", face="outside", count=2):
    ports = [mains(f"mains {n}", connector, None, side=side, face=face) for n in range(count)]
    return kit({"case": spec("case", "case", ports)})


def test_couplers_that_must_not_be_parted_under_load_are_said_once():
    found = only(outside("mains-lock-20a-in"), "unbreakable-coupler")
    assert (found.severity, found.subject.label) == ("caution", "case")
    assert "mains 0, mains 1" in found.message


def test_couplers_with_breaking_capacity_or_inside_are_not_found():
    assert findings(outside("mains-lock-16a-sealed"), "unbreakable-coupler") == []
    assert findings(outside("mains-lock-20a-in", face="inside"), "unbreakable-coupler") == []


def test_couplers_of_unknown_breaking_capacity_are_not_found():
    assert findings(outside("stage-pin-20"), "unbreakable-coupler") == []


def test_single_pole_couplers_have_an_order():
    found = only(outside("single-pole-keyed-l1"), "connect-order")
    assert found.severity == "caution"
    assert "earth first, then neutral" in found.message
    assert findings(outside("iec60309-32-3pne-400", side="plug"), "connect-order") == []


def test_nothing_is_found_on_a_case_of_common_couplers():
    assert [f.code for f in run(outside("c14"), NOW).findings] == []
