"""Any kit that can be written down gets an answer, the same one however its links were drawn."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from calc.checks import run
from calc.connectors import all_connectors
from calc.rig.brief import (
    ADDRESS_SERVERS,
    TRANSPORTS,
    Brief,
    Configuration,
    Controller,
    Firmware,
    Lift,
    PortsAsked,
    Radio,
    Segment,
    Stream,
    Universe,
)
from calc.rig.capability import capability
from calc.rig.ends import End
from calc.rig.kit import (
    CableSheet,
    CoolingSheet,
    Kit,
    Link,
    NetworkSheet,
    PoeSheet,
    Port,
    PortPoe,
    PortPower,
    Position,
    PowerSheet,
    Spec,
    Unit,
)
from calc.rig.wiring import single_points, wire
from calc.vocabulary import (
    ALLOTMENTS,
    BREAKER_CURVES,
    CARRIES,
    CASE_BUILDS,
    PORT_DAMAGE,
    POSITION_ROLES,
    PROTECTION_CLASSES,
    RETENTIONS,
    RULE_SETS,
    SEVERITIES,
    SPEC_KINDS,
)
from tests.calc.checks.kits import NOW

HALVES = [(connector.code, side) for connector in all_connectors() for side in connector.sides]


def maybe(strategy):
    return st.none() | strategy


def watts(most=500.0):
    return maybe(st.floats(0.1, most).map(lambda w: round(w, 1)))


poe_sheets = st.builds(
    PoeSheet, budget_w=watts(), allotment=maybe(st.sampled_from(ALLOTMENTS)), efficiency=maybe(st.floats(0.5, 1.0))
)
power_sheets = st.builds(
    PowerSheet,
    rated_a=maybe(st.floats(0.1, 20)),
    at_volts=maybe(st.sampled_from([100.0, 110.0, 220.0, 230.0])),
    max_w=watts(),
    power_factor=maybe(st.floats(0.3, 1.0)),
    third_harmonic=maybe(st.floats(0, 1.0)),
    leakage_ma=maybe(st.floats(0, 4)),
    inrush_a=maybe(st.floats(1, 100)),
    protection_class=maybe(st.sampled_from(PROTECTION_CLASSES)),
    efficiency=maybe(st.floats(0.5, 1.0)),
    output_volts=maybe(st.sampled_from([5.0, 12.0, 48.0, 54.0])),
    output_w=watts(),
)
cable_sheets = st.builds(
    CableSheet,
    length_m=maybe(st.floats(0, 150)),
    awg=maybe(st.sampled_from([12, 14, 16, 22, 24, 26, 28])),
    area_mm2=maybe(st.sampled_from([0.5, 0.75, 1.0, 1.25, 1.5, 2.5])),
    stranded=maybe(st.booleans()),
    category=maybe(st.sampled_from(["5e", "6", "6a", "OM3", "OS2"])),
    pairs=maybe(st.sampled_from([2, 4])),
    rated_a=maybe(st.floats(1, 32)),
    coiled_a=maybe(st.floats(1, 16)),
    fuse_a=maybe(st.sampled_from([3.0, 5.0, 13.0])),
)
network_sheets = st.builds(
    NetworkSheet,
    managed=maybe(st.booleans()),
    vlans=maybe(st.booleans()),
    snooping=maybe(st.booleans()),
    querier=maybe(st.booleans()),
    dhcp_server=maybe(st.booleans()),
)
cooling_sheets = st.builds(CoolingSheet, fan_m3h=maybe(st.floats(1, 200)), max_ambient_celsius=maybe(st.floats(20, 70)))
poes = st.builds(
    PortPoe,
    role=st.sampled_from(["source", "load"]),
    poe_class=maybe(st.integers(0, 8)),
    reduced_class_ok=maybe(st.integers(0, 8)),
)
powers = st.builds(
    PortPower,
    role=st.sampled_from(["source", "load"]),
    volts_min=maybe(st.sampled_from([11.0, 48.0, 100.0])),
    volts_max=maybe(st.sampled_from([13.0, 57.0, 240.0, 400.0])),
    watts=watts(),
    breaker_a=maybe(st.sampled_from([6.0, 16.0, 32.0])),
    curve=maybe(st.sampled_from(BREAKER_CURVES)),
    rcd_ma=maybe(st.sampled_from([6.0, 30.0])),
)


@st.composite
def specs(draw, number):
    names = [f"p{n}" for n in range(draw(st.integers(0, 5)))]
    ports = [draw(ports_named(name, names)) for name in names]
    return Spec(
        id=number,
        name=f"spec {number}",
        kind=draw(st.sampled_from(SPEC_KINDS)),
        weight_kg=draw(maybe(st.floats(0, 50))),
        width_mm=draw(maybe(st.floats(100, 900))),
        depth_mm=draw(maybe(st.floats(100, 900))),
        height_mm=draw(maybe(st.floats(100, 900))),
        power=draw(maybe(power_sheets)),
        poe=draw(maybe(poe_sheets)),
        cable=draw(maybe(cable_sheets)),
        network=draw(maybe(network_sheets)),
        cooling=draw(maybe(cooling_sheets)),
        ports=tuple(ports),
    )


LIKELY = st.sampled_from(
    [
        {"connector": "8p8c", "side": "socket", "carries": "ethernet"},
        {"connector": "8p8c-rugged", "side": "socket", "carries": "ethernet"},
        {"connector": "c13", "side": "socket", "carries": "mains"},
        {"connector": "c14", "side": "socket", "carries": "mains"},
        {"connector": "dc-5.5x2.1", "side": "socket", "carries": "dc"},
        {"connector": "xlr-5", "side": "socket", "carries": "dmx"},
        {"connector": "lc-duplex", "side": "socket", "carries": "fibre"},
    ]
)
WILD = st.builds(
    lambda half, carries: {"connector": half[0], "side": half[1], "carries": carries},
    st.sampled_from(HALVES),
    st.sampled_from(CARRIES),
)


@st.composite
def ports_named(draw, name, names):
    kind = draw(st.one_of(LIKELY, LIKELY, LIKELY, WILD))
    is_power = kind["carries"] in ("mains", "dc")
    return Port(
        **kind,
        name=name,
        face=draw(st.sampled_from(["inside", "outside"])),
        through=draw(maybe(st.sampled_from([other for other in names if other != name] or [None]))),
        group=draw(maybe(st.sampled_from(["a", "b"]))),
        speed_mbps=draw(maybe(st.sampled_from([100.0, 1000.0, 10_000.0]))),
        pairs=draw(maybe(st.sampled_from([2, 4]))),
        pinout=draw(st.sampled_from([None, None, "x", "y"])),
        poe=None if is_power else draw(maybe(poes)),
        power=draw(powers if is_power else st.sampled_from([None, None, None]) | powers),
    )


@st.composite
def units(draw, of_spec, number):
    damage = {
        port.name: draw(st.frozensets(st.sampled_from(PORT_DAMAGE), max_size=2))
        for port in of_spec.ports
        if draw(st.booleans())
    }
    state = draw(st.sampled_from(["in-service", "in-service", "held-back", "lost"]))
    return Unit(id=number, tag=f"U-{number}", spec=of_spec, state=state, damage=damage)


@st.composite
def kits(draw, first=1, depth=1):
    """Return a kit of a few positions with links between random ports, and perhaps a kit nested in it."""
    sheets = [draw(specs(first + n)) for n in range(3)]
    positions = []
    for n in range(draw(st.integers(1, 6))):
        planned, packed = draw(st.sampled_from(sheets)), draw(st.sampled_from(sheets))
        role = "case" if n == 0 else draw(st.sampled_from(POSITION_ROLES[1:]))
        unit = draw(maybe(units(draw(st.sampled_from([planned, packed])), first + n)))
        inner = draw(kits(first=first + 100, depth=0)) if depth and n == 1 and draw(st.booleans()) else None
        positions.append(
            Position(id=first + n, label=f"position {n}", role=role, spec=planned, unit=unit, nested=inner)
        )
    return Kit(
        id=first,
        name="any",
        build=draw(maybe(st.sampled_from(CASE_BUILDS))),
        ambient_celsius=draw(maybe(st.floats(-10, 50))),
        exposed_retention=draw(maybe(st.sampled_from(RETENTIONS))),
        rules=draw(st.sampled_from(RULE_SETS)),
        positions=tuple(positions),
        links=tuple(draw(links_between(positions, sheets))),
        wired_at=draw(maybe(st.just(NOW))),
        brief=draw(maybe(briefs(positions))),
    )


@st.composite
def briefs(draw, positions):
    """Return what may be asked of these positions, ports that nobody has among them."""
    ends = st.builds(
        End, position=st.sampled_from([p.id for p in positions]), port=st.sampled_from([f"p{n}" for n in range(6)])
    )
    segments = st.builds(
        Segment,
        name=st.sampled_from(["lighting", "guests"]),
        vlan=maybe(st.sampled_from([10, 20])),
        block=maybe(st.sampled_from(["10.0.0.0/24", "10.0.0.128/25", "10.0.1.0/24"])),
        addresses_from=maybe(st.sampled_from(ADDRESS_SERVERS)),
        ports=st.lists(ends, max_size=3).map(tuple),
    )
    streams = st.builds(Stream, name=st.just("s"), mbps=st.floats(1, 2000), source=ends, sink=maybe(ends))
    universes = st.builds(Universe, number=st.integers(1, 3), slots=st.integers(1, 600), hz=st.floats(1, 2000))
    return Brief(
        outside=tuple(draw(st.lists(st.builds(PortsAsked, carries=st.sampled_from(CARRIES), quantity=st.just(3))))),
        segments=tuple(draw(st.lists(segments, max_size=3))),
        venue_blocks=tuple(draw(st.lists(st.just("10.0.0.0/8"), max_size=1))),
        universes=tuple(draw(st.lists(universes, max_size=3))),
        streams=tuple(draw(st.lists(streams, max_size=3))),
        internet_up_mbps=draw(maybe(st.just(100.0))),
        radio=draw(maybe(st.just(Radio(clients=30, client_mbps=5)))),
        lifts=(Lift(name="stairs", horizontal_cm=40, origin_cm=30, travel_cm=100),) * draw(st.integers(0, 1)),
        transport=draw(maybe(st.sampled_from(TRANSPORTS))),
        configuration=draw(maybe(st.just(Configuration(mark="m", saved_at=NOW)))),
        controllers=(Controller(name="c", positions=(positions[0].id,), computers=()),) * draw(st.integers(0, 1)),
        firmware=(Firmware(position=positions[0].id, version="1"),) * draw(st.integers(0, 1)),
    )


@st.composite
def links_between(draw, positions, sheets):
    """Return links in which no port is used twice, as the database would have it."""
    ends = [End(position=p.id, port=port.name) for p in positions for port in p.spec.ports]
    ends = draw(st.permutations(ends)) if ends else []
    pairs = list(zip(ends[::2], ends[1::2], strict=False))[: draw(st.integers(0, 10))]
    return [
        Link(
            id=number,
            a=a,
            b=b,
            cable=draw(st.sampled_from([None, None, *(p.id for p in positions)])),
            cable_spec=draw(st.sampled_from([None, None, *sheets])),
        )
        for number, (a, b) in enumerate(pairs)
    ]


@given(kits())
@settings(max_examples=100, deadline=None)
def test_any_kit_gets_an_answer(kit):
    result = run(kit, NOW)
    assert result == run(kit, NOW)
    ranks = [SEVERITIES.index(finding.severity) for finding in result.findings]
    assert ranks == sorted(ranks, reverse=True)
    assert (result.verdict == "nothing-found") == (not result.findings)
    for view, told in result.verdicts.items():
        in_view = [finding.severity for finding in result.findings if view in finding.views]
        if view == "packed" and not any(position.unit for position in kit.positions):
            assert (told, in_view) == (None, [])
        else:
            assert told == (max(in_view, key=SEVERITIES.index) if in_view else "nothing-found")
    keys = [(finding.fingerprint, finding.severity) for finding in result.findings]
    assert len(keys) == len(set(keys))
    assert all(finding.basis["unknown"] for finding in result.findings if finding.severity == "unknown")
    assert all((finding.severity == "unknown") == (finding.unlocks is not None) for finding in result.findings)
    for finding in result.findings:
        holds_both_ends(finding)


def holds_both_ends(finding):
    """A range has its ends in order, a unit, the value inside; where it leaves the answer open, the limit is inside."""
    if finding.range is None:
        return
    low, high = finding.range.low, finding.range.high
    assert (low, high) != (None, None)
    assert finding.unit
    inside = [finding.value] if finding.severity != "unknown" else [finding.limit]
    for value in inside:
        assert value is None or low is None or low <= value
        assert value is None or high is None or value <= high
    assert finding.severity != "unknown" or finding.value is None


@given(kits())
@settings(max_examples=40, deadline=None)
def test_any_kit_offers_something_or_nothing(kit):
    for view in ("design", "packed"):
        offered = capability(kit, view=view)
        plug_map = offered.plug_map
        assert len({row.device for row in plug_map.rows if not row.fixed}) == sum(
            not row.fixed for row in plug_map.rows
        )
        single_points(wire([kit], view=view, as_of=NOW))


@given(kits(), st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_the_order_in_which_links_were_drawn_is_no_matter(kit, random):
    shuffled = list(kit.links)
    random.shuffle(shuffled)
    asked = [finding.fingerprint for finding in run(kit, NOW).findings]
    assert sorted(f.fingerprint for f in run(replace(kit, links=tuple(shuffled)), NOW).findings) == sorted(asked)
