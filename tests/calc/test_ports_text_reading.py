"""What a line of ports means. The grammar is this house's own; class numbers and speeds are those of IEEE 802.3."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.connector_words import ALIASES
from calc.connectors import all_connectors, connector
from calc.errors import BadInput
from calc.ports_text import MOST_PORTS, NOT_SWITCHING, UnreadText, parse
from calc.rig.kit import Port, PortPoe, PortPower
from calc.vocabulary import CARRIES, FACES, OUTLET_LEGS, SIDES, SPEC_KINDS

SWITCH = "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc 48-57V 78W"


def only(text, **how):
    (port,) = parse(text, **how)
    return port


def names(text):
    return [port.name for port in parse(text)]


def test_the_line_of_a_switch_makes_its_nine_ports():
    powered = [
        Port(
            name=str(number),
            connector="8p8c",
            side="socket",
            carries="ethernet",
            group="fabric",
            speed_mbps=1000,
            poe=PortPoe(role="source", poe_class=4),
        )
        for number in range(1, 5)
    ]
    plain = [
        Port(name=str(number), connector="8p8c", side="socket", carries="ethernet", group="fabric", speed_mbps=1000)
        for number in range(5, 9)
    ]
    feed = Port(
        name="dc",
        connector="dc-5.5x2.1",
        side="socket",
        carries="dc",
        power=PortPower(role="load", volts_min=48, volts_max=57, watts=78),
    )
    assert parse(SWITCH) == (*powered, *plain, feed)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("7 8p8c", ["7"]),
        ("1-3 8p8c", ["1", "2", "3"]),
        ("1–3 8p8c", ["1", "2", "3"]),
        ("4-4 8p8c", ["4"]),
        ("0-1 8p8c", ["0", "1"]),
        ("09-11 8p8c", ["09", "10", "11"]),
        ("1-2, 7,9 8p8c", ["1", "2", "7", "9"]),
        ("LAN 1-2 8p8c", ["LAN 1", "LAN 2"]),
        ("LAN1-2 8p8c", ["LAN1", "LAN2"]),
        ("LAN 1-2 rear 8p8c", ["LAN 1 rear", "LAN 2 rear"]),
        ("LAN 1-2, WAN 8p8c", ["LAN 1", "LAN 2", "WAN"]),
        ("  LAN \t 1 \n 8p8c ", ["LAN 1"]),
        ("SFP-1 lc-duplex", ["SFP-1"]),
        ("USB 3.0 usb-a", ["USB 3.0"]),
        ("usb-c usb-c", ["usb-c"]),
        ("sortie caméra xlr-3", ["sortie caméra"]),
        ("出力 1-2 xlr-3", ["出力 1", "出力 2"]),
        ("a 8p8c;; b 8p8c ;", ["a", "b"]),
        ("A 8p8c; a 8p8c", ["A", "a"]),
        ("", []),
        (" ; \n", []),
    ],
)
def test_names(text, expected):
    assert names(text) == expected


@pytest.mark.parametrize(
    "text", ["1 8P8C 1G CLASS4 OUT Outside", "1 8p8c outside out class4 1G", "1\t8p8c\nclass4\r\nout 1G outside"]
)
def test_order_blanks_and_capitals_make_no_difference(text):
    assert parse(text) == parse("1 8p8c 1G class4 out outside")


@pytest.mark.parametrize(
    ("text", "mbps"),
    [
        ("a 8p8c 10M", 10),
        ("a 8p8c 100M", 100),
        ("a 8p8c 2.5G", 2500),
        ("a 8p8c 10G", 10_000),
        ("a lc-duplex 100G", 100_000),
        ("a usb-c 480M", 480),
    ],
)
def test_speeds(text, mbps):
    assert only(text).speed_mbps == mbps


@pytest.mark.parametrize("poe_class", range(9))
@pytest.mark.parametrize(("direction", "role"), [("in", "load"), ("out", "source")])
def test_classes_and_their_direction(poe_class, direction, role):
    port = only(f"a 8p8c class{poe_class} {direction}")
    assert port.poe == PortPoe(role=role, poe_class=poe_class)
    assert port.power is None


@pytest.mark.parametrize(
    ("text", "side", "power"),
    [
        ("a dc-5.5x2.5 12V", "socket", PortPower(role="load", volts_min=12, volts_max=12)),
        ("a dc-5.5x2.5 9-36V 12.5W in", "socket", PortPower(role="load", volts_min=9, volts_max=36, watts=12.5)),
        ("a dc 12V out 24W", "socket", PortPower(role="source", volts_min=12, volts_max=12, watts=24)),
        ("a c14 100-240V 160W", "socket", PortPower(role="load", volts_min=100, volts_max=240, watts=160)),
        ("a c14 in", "socket", PortPower(role="load")),
        ("a c13 230V", "socket", PortPower(role="source", volts_min=230, volts_max=230)),
        ("a c13 breakerC10 rcd30", "socket", PortPower(role="source", breaker_a=10, curve="C", rcd_ma=30)),
        ("a c13 rcd0", "socket", PortPower(role="source", rcd_ma=0)),
        ("a c13 L2", "socket", PortPower(role="source", leg="L2")),
        ("a c13 l3-L1", "socket", PortPower(role="source", leg="L1-L3")),
        ("a nema-5-20 120V out legB", "socket", PortPower(role="source", volts_min=120, volts_max=120, leg="L2")),
        ("a iec60309-32-3pne-400 400V", "plug", PortPower(role="load", volts_min=400, volts_max=400)),
        ("a iec60309-16-2pe-230 out breaker16", "socket", PortPower(role="source", breaker_a=16)),
        ("a nema-5-15 120V 100W", "plug", PortPower(role="load", volts_min=120, volts_max=120, watts=100)),
        ("a xlr-4 12V 40W", "plug", PortPower(role="load", volts_min=12, volts_max=12, watts=40)),
        ("a mains-lock-20a-in 230V", "socket", PortPower(role="load", volts_min=230, volts_max=230)),
        ("a mains-lock-20a-out 230V", "socket", PortPower(role="source", volts_min=230, volts_max=230)),
        ("a usb-c 5-20V 65W", "socket", PortPower(role="load", volts_min=5, volts_max=20, watts=65)),
        ("a 8p8c 24V out", "socket", PortPower(role="source", volts_min=24, volts_max=24)),
        ("a c13", "socket", None),
        ("a iec60309-16-2pe-230", "socket", None),
        ("a cee7-7", "plug", None),
    ],
)
def test_power(text, side, power):
    port = only(text)
    assert (port.side, port.power, port.poe) == (side, power, None)


@pytest.mark.parametrize(
    "entry", [entry for entry in all_connectors() if entry.carries == "mains"], ids=lambda entry: entry.code
)
def test_no_mains_port_that_says_out_has_live_pins_unless_its_connector_has_nothing_else(entry):
    """Common practice: the end that supplies never carries the pins."""
    port = only(f"a {entry.code} out")
    if "socket" in entry.sides and "socket" not in entry.pins:
        assert port.side == "socket"


@pytest.mark.parametrize("entry", all_connectors(), ids=lambda entry: entry.code)
def test_what_is_left_out_comes_from_the_register(entry):
    port = only(f"a {entry.code}")
    assert port == Port(
        name="a", connector=entry.code, side="socket" if "socket" in entry.sides else "plug", carries=entry.carries
    )


def test_what_is_said_wins_over_the_register():
    assert only("a xlr-3 dmx plug outside") == Port(
        name="a", connector="xlr-3", side="plug", carries="dmx", face="outside"
    )


def test_sockets_with_a_speed_are_one_fabric():
    ports = parse("1-2 8p8c 1G; up lc-duplex 10G; console 8p8c serial; aux 8p8c; tail 8p8c plug 1G")
    assert [port.group for port in ports] == ["fabric", "fabric", "fabric", None, None, None]


@pytest.mark.parametrize(
    "text", ["a 8p8c 1G", "a-b 8p8c plug 10G; c 8p8c plug 10G", "LAN 1-8 8p8c-rugged outside", "a usb-c 5G; b usb-c 5G"]
)
def test_one_socket_or_none_with_a_speed_is_no_fabric(text):
    assert {port.group for port in parse(text)} == {None}


@pytest.mark.parametrize("kind", SPEC_KINDS)
def test_a_kind_that_does_not_switch_has_no_fabric(kind):
    groups = {port.group for port in parse("1-2 8p8c 1G", kind=kind)}
    assert groups == ({None} if kind in NOT_SWITCHING else {"fabric"})


def test_kinds_that_do_not_switch_are_kinds():
    assert set(NOT_SWITCHING) < set(SPEC_KINDS)
    assert "switch" not in NOT_SWITCHING
    with pytest.raises(BadInput) as refused:
        parse(SWITCH, kind="toaster")
    assert refused.value.argument == "kind"


def test_the_most_ports_are_read_and_one_more_is_not():
    assert len(parse(f"1-{MOST_PORTS} 8p8c")) == MOST_PORTS
    with pytest.raises(UnreadText) as refused:
        parse(f"1-{MOST_PORTS} 8p8c; one more 8p8c")
    assert (refused.value.text, refused.value.column) == ("one more", 13)


def as_text(port):
    """Write a port as a line would have it: everything said, nothing left to a default."""
    items = [port.name, port.connector, port.side, port.carries, port.face]
    if port.speed_mbps:
        items.append(f"{port.speed_mbps:g}M")
    for power in filter(None, (port.poe, port.power)):
        items.append({"source": "out", "load": "in"}[power.role])
    if port.poe:
        items.append(f"class{port.poe.poe_class}")
    if port.power:
        items.append(f"{port.power.volts_min:g}-{port.power.volts_max:g}V")
        items.append(f"{port.power.watts:g}W")
        if port.power.breaker_a:
            items.append(f"breaker{port.power.curve or ''}{port.power.breaker_a:g}")
        if port.power.rcd_ma is not None:
            items.append(f"rcd{port.power.rcd_ma:g}")
        if port.power.leg is not None:
            items.append(port.power.leg)
    return " ".join(items)


@st.composite
def ports(draw, name):
    entry = connector(draw(st.sampled_from([entry.code for entry in all_connectors()])))
    carries = draw(st.sampled_from(CARRIES))
    role = draw(st.sampled_from(["source", "load"]))
    poe = power = speed = None
    if carries == "ethernet":
        speed = draw(st.sampled_from([None, 10, 100, 1000, 2500, 5000, 10_000]))
        poe = draw(st.none() | st.builds(PortPoe, role=st.just(role), poe_class=st.integers(0, 8)))
    elif carries in ("mains", "dc", "usb"):
        low, high = sorted(draw(st.tuples(*[st.integers(1, 1000)] * 2)))
        fed, on_a_leg = role == "source", carries == "mains" and entry.phases != 3
        power = draw(
            st.builds(
                PortPower,
                role=st.just(role),
                volts_min=st.just(low),
                volts_max=st.just(high),
                watts=st.integers(1, 20_000),
                breaker_a=st.sampled_from([6, 10, 16, 32]) if fed else st.none(),
                curve=st.sampled_from(["B", "C", "D", None]) if fed else st.none(),
                rcd_ma=st.sampled_from([None, 0, 10, 30, 300]) if fed else st.none(),
                leg=st.sampled_from([None, *OUTLET_LEGS]) if fed and on_a_leg else st.none(),
            )
        )
    side = draw(st.sampled_from(entry.sides))
    face = draw(st.sampled_from(FACES))
    return Port(
        name=name, connector=entry.code, side=side, carries=carries, face=face, speed_mbps=speed, poe=poe, power=power
    )


@settings(deadline=None)
@given(st.data())
def test_what_is_written_is_read_back(data):
    wanted = tuple(data.draw(ports(name)) for name in data.draw(st.lists(st.sampled_from("abcdef"), unique=True)))
    shuffled = ";".join(
        " ".join([*words[:2], *data.draw(st.permutations(words[2:]))])
        for words in (as_text(port).split() for port in wanted)
    )
    # Kinds that do not switch leave every port as it was written.
    assert parse(shuffled, kind="case") == wanted
    assert {port.side for port in wanted} <= set(SIDES)


@pytest.mark.parametrize(("word", "code"), ALIASES.items())
def test_an_everyday_word_is_the_connector_that_it_means(word, code):
    """Common practice of the trade; what is stored is the register's code."""
    assert connector(code).code == code
    assert word not in {entry.code for entry in all_connectors()}
    assert parse(f"a {word.upper()}") == parse(f"a {code}")


@pytest.mark.parametrize(("word", "poe_class"), [("PoE", 3), ("PoE+", 4)])
def test_power_over_ethernet_by_its_word(word, poe_class):
    """IEEE 802.3 types 1 and 2."""
    assert only(f"1 RJ45 1G {word} out").poe == PortPoe(role="source", poe_class=poe_class)


@pytest.mark.parametrize(
    ("items", "watts"), [("230V 2A", 460), ("100-240V 1.6A", 160), ("230V 500VA", 500), ("500VA", 500), ("12V 2A", 24)]
)
def test_amperes_and_volt_amperes_are_read_as_the_most_watts(items, watts):
    """A label of 100-240 V, 1.6 A is 160 VA: the amperes are drawn at the lowest of the volts (common practice)."""
    assert only(f"a c14 {items}").power.watts == watts


@pytest.mark.parametrize(
    ("text", "code", "side"),
    [
        ("a IEC 230V", "c14", "socket"),
        ("a IEC 230V out", "c13", "socket"),
        ("a schuko 230V out", "cee7-3", "socket"),
        ("a schuko 230V in", "cee7-7", "plug"),
    ],
)
def test_a_word_for_both_halves_goes_by_the_way_of_the_power(text, code, side):
    """Common practice: the end that supplies never carries the pins."""
    port = only(text)
    assert (port.connector, port.side) == (code, side)


def joined(text, kind=None):
    """Return name, connector, side, face and what it is joined to, of each port."""
    return [(port.name, port.connector, port.side, port.face, port.through) for port in parse(text, kind)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "LAN 1-2 8p8c-rugged outside through 8p8c",
            [
                ("LAN 1", "8p8c-rugged", "socket", "outside", "LAN 1 rear"),
                ("LAN 1 rear", "8p8c", "socket", "inside", "LAN 1"),
                ("LAN 2", "8p8c-rugged", "socket", "outside", "LAN 2 rear"),
                ("LAN 2 rear", "8p8c", "socket", "inside", "LAN 2"),
            ],
        ),
        (
            "line LC through host SFP+ plug",
            [("line", "lc-duplex", "socket", "inside", "host"), ("host", "sfp", "plug", "inside", "line")],
        ),
        (
            "in 1-2 xlr-3 outside through back 5-6 xlr-3 plug inside",
            [
                ("in 1", "xlr-3", "socket", "outside", "back 5"),
                ("back 5", "xlr-3", "plug", "inside", "in 1"),
                ("in 2", "xlr-3", "socket", "outside", "back 6"),
                ("back 6", "xlr-3", "plug", "inside", "in 2"),
            ],
        ),
        ("through xlr-5", [("through", "xlr-5", "socket", "inside", None)]),
    ],
)
def test_a_port_that_is_joined_to_one_behind_it(text, expected):
    assert joined(text) == expected


def test_what_is_joined_carries_the_same():
    """A hole for control leads to a rear for control, whatever its connector usually carries."""
    assert [port.carries for port in parse("DMX xlr-5 outside through xlr-3")] == ["dmx", "dmx"]
    assert [port.carries for port in parse("TIE 8p8c-rugged dmx outside through 8p8c")] == ["dmx", "dmx"]


def test_a_panel_that_states_a_speed_switches_nothing():
    rated = parse("LAN 1-4 8p8c-rugged 1G outside through 8p8c", "other")
    assert [port.group for port in rated] == [None] * 8
    assert [port.speed_mbps for port in rated] == [1000, None] * 4


@pytest.mark.parametrize(("text", "speed"), [("sdi BNC 12G", 12_000), ("sdi bnc 270M", 270), ("out HDMI 18G", 18_000)])
def test_video_has_rates_of_its_own(text, speed):
    assert only(text).speed_mbps == speed
