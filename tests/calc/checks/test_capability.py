"""What a kit offers outside, and the plug map."""

import pytest

from calc.rig.capability import capability
from calc.rig.kit import NetworkSheet, Port
from tests.calc.checks.kits import At, camera, kit, panel, span, spec, switch


def network_case(budget_w=65, wired=4):
    things = {"case": spec("case", "case", panel(6), weight_kg=9), "switch A": switch(budget_w, weight_kg=0.6)}
    return kit(things, [f"case:LAN {n} rear - switch A:{n}" for n in span(wired)])


def test_ports_outside_by_kind():
    (plain, powered) = capability(network_case()).ports
    assert (powered.connector, powered.side, powered.carries, powered.count, powered.free) == (
        "8p8c-rugged",
        "socket",
        "ethernet",
        4,
        4,
    )
    assert (plain.powered, plain.count) == (False, 2)


def test_powered_ports_and_watts_left():
    (left,) = capability(network_case()).powered
    assert (left.source.label, left.ports, left.budget_w, left.watts_left) == ("switch A", 4, 65, 65)


def test_what_a_link_takes_is_gone():
    things = {"switch A": switch(65), "camera": camera(4)}
    (left,) = capability(kit(things, ["switch A:1 - camera:net"])).powered
    assert (left.ports, left.watts_left) == (3, 35)


def test_what_the_plug_map_takes_is_gone_too():
    (left,) = capability(kit({"switch A": switch(65), "camera": camera(4)})).powered
    assert (left.ports, left.watts_left) == (3, 35)


def test_an_unknown_budget_leaves_unknown_watts():
    (left,) = capability(kit({"switch A": switch(None)})).powered
    assert (left.ports, left.budget_w, left.watts_left) == (4, None, None)


def test_weight_is_known_only_if_every_part_is():
    assert capability(network_case()).weight_kg == pytest.approx(9.6)
    assert capability(kit({"switch A": switch(65, weight_kg=0.6), "camera": camera()})).weight_kg is None


def test_a_managed_switch_keeps_vlans_apart():
    assert capability(kit({"a": switch(network=NetworkSheet(managed=True, vlans=True))})).vlans is True
    assert capability(kit({"a": switch(network=NetworkSheet(managed=True))})).vlans is False


def test_access_points_are_counted_without_spares():
    point = spec("point", "access-point", [])
    assert capability(kit({"a": point, "b": point, "c": At(point, role="spare")})).access_points == 2


# The plug map.


def test_lines_of_lighting_control_and_a_router_are_told():
    lines = [
        Port(name=f"DMX {n}", connector="xlr-5", side="socket", carries="dmx", face=face)
        for n, face in enumerate(("outside", "outside", "inside"), start=1)
    ]
    offers = capability(kit({"case": At(spec("Rack", "case", lines), role="case"), "router": spec("Edge", "router")}))
    assert (offers.universes, offers.internet) == (2, True)
    assert capability(kit({"switch A": switch()})).internet is False


def test_five_devices_fit_two_sources_in_some_orders_only():
    things = {"switch A": switch(65), "switch B": switch(120)}
    things |= {f"camera {n}": camera(c) for n, c in enumerate((4, 4, 4, 4, 3), start=1)}
    plug_map = capability(kit(things)).plug_map
    assert plug_map.any_order_ok is False
    assert plug_map.worst_w == -55.0
    assert len(plug_map.rows) == 5
    assert not any(row.fixed for row in plug_map.rows)
    used = {}
    for row, watts in zip(plug_map.rows, (30.0, 30.0, 30.0, 30.0, 15.4), strict=True):
        used[row.source.label] = used.get(row.source.label, 0) + watts
    assert used["switch A"] <= 65
    assert used["switch B"] <= 120
    assert len({(row.source.label, row.source.port) for row in plug_map.rows}) == 5


def test_links_are_fixed_rows():
    things = {"switch A": switch(65), "camera 1": camera(4), "camera 2": camera(3)}
    first, second = capability(kit(things, ["switch A:3 - camera 1:net"])).plug_map.rows
    assert (first.device.label, first.source.label, first.source.port, first.fixed) == (
        "camera 1",
        "switch A",
        "3",
        True,
    )
    assert (second.device.label, second.source.label, second.fixed) == ("camera 2", "switch A", False)


def test_the_hole_is_on_the_panel():
    things = {"case": spec("case", "case", panel(6)), "switch A": switch(65)}
    things |= {"camera 1": camera(4), "camera 2": camera(4)}
    links = [f"case:LAN {n + 1} rear - switch A:{n}" for n in span(4)] + ["camera 1:net - case:LAN 2"]
    plug_map = capability(kit(things, links)).plug_map
    holes = {row.device.label: (row.source.port, row.hole.label, row.hole.port) for row in plug_map.rows}
    assert holes == {"camera 1": ("1", "case", "LAN 2"), "camera 2": ("2", "case", "LAN 3")}
    assert plug_map.any_order_ok is True
    assert plug_map.worst_w == 5.0


def test_a_kit_without_power_has_an_empty_plug_map():
    plug_map = capability(kit({"case": spec("case", "case", panel(2))})).plug_map
    assert (plug_map.rows, plug_map.worst_w, plug_map.any_order_ok) == ((), None, True)


def test_more_devices_than_ports_have_no_worst_plugging():
    things = {"switch A": switch(65, powered=1), "a": camera(1), "b": camera(1)}
    plug_map = capability(kit(things)).plug_map
    assert (plug_map.any_order_ok, plug_map.worst_w, len(plug_map.rows)) == (False, None, 1)


def test_an_unknown_budget_leaves_the_order_unknown():
    plug_map = capability(kit({"switch A": switch(None), "a": camera(4)})).plug_map
    assert (plug_map.any_order_ok, plug_map.worst_w) == (None, None)


def test_packed_offers_what_is_there():
    planned = kit({"switch A": At(switch(65), empty=True)})
    assert capability(planned, view="packed").powered == ()
    assert len(capability(planned).powered) == 1
