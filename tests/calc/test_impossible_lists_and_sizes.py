"""Impossible input beyond one wrong number: what is no list, a list of the wrong things, and sizes past all physics.

Common practice: a caller that reads its arguments from a file or a form gets one kind of error for all of it.
"""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from calc.addressing import plan
from calc.batteries import air_transport, watt_hours
from calc.channel import Span, copper
from calc.connectors import Adapter, adapter_path
from calc.dmx import unit_loads
from calc.errors import BadInput
from calc.heat import closed_case_rise_c
from calc.intervals import Request, assign, peak_overlap
from calc.mains import Circuit, Load, current_a, spread
from calc.poe import PoeChannel, PoeDevice, PoePort, PoeSource, allocate, link
from calc.radio import clients_supported
from calc.streams import uplink_needed_mbps

LISTS = [
    ("segments", lambda wrong: plan("10.0.0.0/24", wrong)),
    ("spans", lambda wrong: copper(wrong, 1000)),
    ("receivers", unit_loads),
    ("streams", uplink_needed_mbps),
    ("adapters", lambda wrong: adapter_path(("xlr-5", "plug"), ("xlr-5", "socket"), wrong)),
    ("from_", lambda wrong: adapter_path(wrong, ("xlr-5", "socket"), [])),
    ("to", lambda wrong: adapter_path(("xlr-5", "plug"), wrong, [])),
    ("loads", lambda wrong: spread(wrong, [])),
    ("circuits", lambda wrong: spread([], wrong)),
    ("sources", lambda wrong: allocate(wrong, [])),
    ("devices", lambda wrong: allocate([], wrong)),
    ("ports", lambda wrong: allocate([PoeSource("A", 55, wrong)], [])),
    ("intervals", peak_overlap),
    ("requests", lambda wrong: assign(wrong, [])),
    ("units", lambda wrong: assign([], wrong)),
    ("acceptable", lambda wrong: assign([Request("show", 9, 17, wrong)], ["A-1"])),
]
NO_LISTS = (None, True, 5, 1.5, "A-1", b"A-1", {"A-1": 1}, list)


@pytest.mark.parametrize("wrong", NO_LISTS, ids=repr)
@pytest.mark.parametrize(("argument", "call"), LISTS, ids=[name for name, _ in LISTS])
def test_what_is_no_list_is_refused_by_name(argument, call, wrong):
    with pytest.raises(BadInput) as caught:
        call(wrong)
    assert (caught.value.argument, caught.value.value) == (argument, wrong)


HASHABLE_ONLY = ("units", "acceptable")
PAIRS = ("from_", "to")


@pytest.mark.parametrize("wrong", [None, "x", True, ("a",), [], {}], ids=repr)
@pytest.mark.parametrize(("argument", "call"), [each for each in LISTS if each[0] not in (*HASHABLE_ONLY, *PAIRS)])
def test_a_list_of_the_wrong_things_is_refused_by_name(argument, call, wrong):
    with pytest.raises(BadInput) as caught:
        call([wrong])
    assert caught.value.argument in (argument, f"{argument}[0]")


@pytest.mark.parametrize(("argument", "call"), [each for each in LISTS if each[0] in HASHABLE_ONLY])
def test_units_must_be_comparable(argument, call):
    for unit in (["A-1"], ("A", ["1"])):
        with pytest.raises(BadInput) as caught:
            call([unit])
        assert (caught.value.argument, caught.value.value) == (argument, unit)


@pytest.mark.parametrize("argument", ["id", "fixed", "now_on"])
def test_the_names_in_a_request_must_be_comparable(argument):
    request = {"id": "show", "starts_at": 9, "ends_at": 17, "acceptable": ["A-1"], argument: ["A-1"]}
    with pytest.raises(BadInput) as caught:
        assign([Request(**request)], ["A-1"])
    assert caught.value.argument == argument


def test_an_end_that_is_no_moment_is_named():
    with pytest.raises(BadInput) as caught:
        assign([Request("show", 9, "late", ["A-1"])], ["A-1"])
    assert (caught.value.argument, caught.value.value) == ("ends_at", "late")


@pytest.mark.parametrize("segment", [("crew",), ("crew", 1, 2), (None, 1), (["crew"], 1)])
def test_a_segment_is_a_name_and_a_need(segment):
    with pytest.raises(BadInput) as caught:
        plan("10.0.0.0/24", [segment])
    assert (caught.value.argument, caught.value.value) == ("segments[0]", segment)


@pytest.mark.parametrize("name", [None, 1, ["desk"]])
def test_loads_and_circuits_have_a_text_for_a_name(name):
    for loads, circuits in (([Load(name, 800, 1.5)], []), ([], [Circuit(name, 16, 230, "L1", 30)])):
        with pytest.raises(BadInput) as caught:
            spread(loads, circuits)
        assert (caught.value.argument, caught.value.value) == ("name", name)


@pytest.mark.parametrize("argument", ["device", "source_port", "channel"])
def test_a_link_is_asked_with_its_own_three_things(argument):
    sound = {"device": PoeDevice("camera", 4), "source_port": PoePort("1", 4), "channel": PoeChannel(12.5)}
    with pytest.raises(BadInput) as caught:
        link(**sound | {argument: None})
    assert caught.value.argument == argument


def test_the_volts_of_a_port_are_looked_at():
    with pytest.raises(BadInput) as caught:
        allocate([PoeSource("A", 55, [PoePort("1", 4, -50)])], [])
    assert caught.value.argument == "source_v"


@pytest.mark.parametrize("number", [10**400, -(10**400), 1e308, -1e308], ids=["10^400", "-10^400", "1e308", "-1e308"])
def test_a_number_past_all_physics_is_refused(number):
    for argument, call in (
        ("wh", lambda: air_transport(number)),
        ("volts", lambda: watt_hours(number, 10)),
        ("watts", lambda: closed_case_rise_c(number, 0.65, 1.5)),
    ):
        with pytest.raises(BadInput) as caught:
            call()
        assert caught.value.argument == argument


def test_a_moment_that_no_number_holds_is_refused():
    with pytest.raises(BadInput):
        peak_overlap([(0, 10**400)])


def test_a_moment_past_the_calendar_is_refused():
    behind_utc = timezone(timedelta(hours=-5))
    with pytest.raises(BadInput):
        peak_overlap([(datetime(2027, 5, 1, tzinfo=UTC), datetime.max.replace(tzinfo=behind_utc))])


def test_next_to_nothing_is_no_divisor():
    for argument, call in (
        ("volts", lambda: current_a(1600, 1e-308)),
        ("k_w_m2k", lambda: closed_case_rise_c(50, 0.65, 1e-308)),
        ("client_mbps", lambda: clients_supported(400, 1e-308)),
    ):
        with pytest.raises(BadInput) as caught:
            call()
        assert caught.value.argument == argument


def test_lists_tuples_and_generators_are_the_same_to_a_caller():
    assert uplink_needed_mbps(rate for rate in (6, 2)) == uplink_needed_mbps((6, 2)) == 10
    assert copper(iter([Span(90, "6"), Span(10, "6", 24)]), 1000).equivalent_m == 102
    halves = (["xlr-5", "plug"], ["xlr-3", "socket"])
    adapter = Adapter("A-1", "xlr-5", "socket", "xlr-3", "plug")
    assert adapter_path(*halves, [adapter]) == adapter_path(*map(tuple, halves), (adapter,)) == (adapter,)
