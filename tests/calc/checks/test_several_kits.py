"""Kits that are wired together: each check judges what its own kit asks, by what that kit has."""

from dataclasses import replace

from calc.checking.registry import CHECKS
from calc.checking.runner import evaluate, merge
from calc.rig.brief import Brief, Lift, PortsAsked, Radio, Universe
from calc.rig.ends import End
from calc.rig.figures import figures
from calc.rig.kit import BatterySheet, Link, NetworkSheet, PowerSheet
from calc.rig.wiring import exposed, own_places, wire
from tests.calc.checks.briefs import position_id, stream
from tests.calc.checks.kits import NOW, At, camera, distro, ethernet, kit, panel, spec, supply, switch

LIFT = Lift(name="stairs", horizontal_cm=40, origin_cm=0, travel_cm=100)
FLOODING = NetworkSheet(managed=False)


def named(name, number, things, links=(), brief=None, **fields):
    return replace(kit(things, links, **fields), id=number, name=name, brief=brief)


def found(*kits, code, show=None, links=()):
    wired = wire(kits, view="design", as_of=NOW, site_links=links, brief=show)
    return [finding for finding in merge(evaluate(wired, CHECKS.values())) if finding.code == code]


def lead(one, at, other, into):
    ends = [End(position=position_id(each, label), port=port) for each, (label, port) in ((one, at), (other, into))]
    return Link(id=77, a=ends[0], b=ends[1])


def boxed(name, number, ports, asked=0):
    brief = Brief(outside=(PortsAsked(carries="ethernet", quantity=asked),)) if asked else None
    return named(name, number, {"case": spec("case", "case", panel(ports)), "switch": switch()}, brief=brief)


def test_ports_of_another_kit_do_not_replace_those_that_a_kit_is_asked_for():
    short, other = boxed("A", 1, 4, asked=8), boxed("B", 2, 4)
    assert [f.value for f in found(short, code="lid-must-open")] == [4]
    assert [f.value for f in found(short, other, code="lid-must-open", show=Brief())] == [4]
    assert {f.inputs["free inside"] for f in found(short, other, code="lid-must-open")} == {8}


def access_points(name, number, count, brief=None, things=None):
    access_point = spec("ap", "access-point", [ethernet("net")], network=FLOODING)
    return named(name, number, {f"ap {n}": access_point for n in range(count)} | (things or {}), brief=brief)


def test_clients_of_one_kit_are_not_served_by_another():
    crowd = Brief(radio=Radio(clients=60, client_mbps=1, rate_mbps=100))
    crowded, other = access_points("A", 1, 1, crowd), access_points("B", 2, 9)
    assert len(found(crowded, other, code="radio-crowded", show=Brief())) == 1
    assert len(found(access_points("A", 1, 9, crowd), code="radio-crowded")) == 0


def test_universes_are_on_the_air_of_another_kit_only_where_the_networks_are_joined():
    sender = named(
        "A",
        1,
        {"switch": switch(network=FLOODING)},
        brief=Brief(universes=tuple(Universe(number=n) for n in range(1, 9))),
    )
    radio = access_points("B", 2, 1)
    assert found(sender, radio, code="multicast-on-radio", show=Brief()) == []
    joined = lead(sender, ("switch", "5"), radio, ("ap 0", "net"))
    assert len(found(sender, radio, code="multicast-on-radio", show=Brief(), links=[joined])) == 1


def test_the_rate_of_a_kits_radio_is_not_that_of_another():
    slow = Brief(radio=Radio(clients=1, client_mbps=1, rate_mbps=100, basic_rate_mbps=1))
    show = Brief(universes=tuple(Universe(number=n) for n in range(1, 4)))
    stop, fast = access_points("A", 1, 1, slow), access_points("B", 2, 1)
    assert [f.subject.label for f in found(stop, fast, code="multicast-on-radio", show=show)] == ["ap 0"]


def streaming(name, number, mbps, up=None):
    plain = named(name, number, {"camera": camera()})
    return replace(plain, brief=Brief(streams=(stream(plain, name, mbps, "camera:net"),), internet_up_mbps=up))


def test_streams_of_kits_share_what_the_shows_venue_lets_out():
    one, other = streaming("A", 1, 4, up=6), streaming("B", 2, 4, up=6)
    assert found(one, other, code="uplink-short") == []
    (short,) = found(one, other, code="uplink-short", show=Brief(internet_up_mbps=8))
    assert (short.value, short.limit) == (10, 8)
    assert found(one, other, code="uplink-short", show=Brief(internet_up_mbps=10)) == []


def test_what_a_kit_was_told_of_another_venue_does_not_answer_for_this_one():
    one, other = streaming("A", 1, 4, up=6), streaming("B", 2, 4, up=6)
    (asked,) = found(one, other, code="data-missing", show=Brief())
    assert (asked.unlocks, asked.source) == ("brief.internet_up_mbps", CHECKS["uplink-short"].source)


def test_only_what_flies_is_judged_as_flying():
    battery = spec("battery", "battery", battery=BatterySheet(volts=14.4, amp_hours=20))
    flies, drives = named("A", 1, {"one": battery}, brief=Brief(transport="air")), named("B", 2, {"other": battery})
    assert [f.subject.label for f in found(flies, drives, code="battery-transport")] == ["one"]
    house = replace(drives, belongs="venue")
    show = Brief(transport="air")
    assert len(found(flies, drives, code="battery-transport", show=show)) == 2
    assert [f.subject.label for f in found(flies, house, code="battery-transport", show=show)] == ["one"]


def test_a_show_lifts_the_companys_kits_only():
    heavy = spec("case", "case", weight_kg=60.0)
    ours, house = named("A", 1, {"case": heavy}), replace(named("B", 2, {"case": heavy}), belongs="venue")
    (lifted,) = found(ours, house, code="too-heavy", show=Brief(lifts=(LIFT,)))
    assert "A weighs 60 kg" in lifted.message


def test_a_device_at_an_open_panel_port_is_starved_on_site_and_waits_in_a_kit():
    case = spec("case", "case", panel(1))
    waits = named("A", 1, {"case": case, "camera": camera()}, ["case:LAN 1 rear - camera:net"])
    source = named("B", 2, {"switch": switch(budget_w=0, powered=0)})
    assert found(waits, source, code="poe-starved") == []
    assert [f.subject.label for f in found(waits, source, code="poe-starved", show=Brief())] == ["camera"]
    fed = named("B", 2, {"switch": switch()})
    link = lead(fed, ("switch", "1"), waits, ("case", "LAN 1"))
    assert found(waits, fed, code="poe-starved", show=Brief(), links=[link]) == []


def test_places_bear_the_name_of_their_kit_where_there_are_several():
    one, other = boxed("A", 1, 1), boxed("B", 2, 1)
    paths = {place.path for place in wire([one, other], view="design", as_of=NOW).places.values()}
    assert paths == {"A, case", "A, switch", "B, case", "B, switch"}
    assert {place.path for place in wire([one], view="design", as_of=NOW).places.values()} == {"case", "switch"}


def test_a_kit_has_its_own_ports_and_those_of_the_kits_in_it():
    inner = boxed("inner", 3, 2)
    outer = named(
        "outer", 1, {"case": spec("case", "case", panel(1)), "box": At(spec("case", "case", panel(2)), nested=inner)}
    )
    other = boxed("B", 2, 4)
    wired = wire([outer, other], view="design", as_of=NOW)
    assert len(list(exposed(wired))) == 7
    assert [len(list(exposed(wired, of=each))) for each in (outer, inner, other)] == [3, 2, 4]
    assert [place.label for place in own_places(wired, inner)] == ["box", "switch"]


def test_sums_are_those_of_one_kit():
    case = {"case": spec("case", "case", weight_kg=10.0)}
    one = named("A", 1, case | {"distro": distro(), "supply": supply(160)}, ["distro:1 - supply:in"])
    other = named("B", 2, case | {"load": spec("load", "other", power=PowerSheet(max_w=5.0), weight_kg=4.0)})
    american = replace(one, id=3, name="C", rules="north_america")
    together = wire([one, other], view="design", as_of=NOW)
    assert figures(together, one) == figures(wire([one], view="design", as_of=NOW), one)
    assert (figures(together, other)["weight_kg"], figures(together, other)["mains_va"]) == (14.0, None)
    assert figures(wire([american], view="design", as_of=NOW), american)["mains_a"] == round(160 / 120, 3)
