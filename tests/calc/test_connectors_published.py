"""The register against what is published; the reference files name the source of each value."""

import json
import re
from pathlib import Path

import pytest

from calc.connectors import all_connectors, connector, mates, rating_a
from calc.errors import BadInput
from calc.voltages import voltage_system

REFERENCE = Path(__file__).parent.parent / "reference"
PUBLISHED = json.loads((REFERENCE / "connectors.json").read_text(encoding="utf-8"))["constants"]
MAINS = json.loads((REFERENCE / "mains.json").read_text(encoding="utf-8"))["constants"]
EVERY_PAIR_OF_SIDES = [("plug", "socket"), ("socket", "plug"), ("plug", "plug"), ("socket", "socket")]


@pytest.mark.parametrize(
    ("pair", "row"), PUBLISHED["IEC 60320 couplers (connector/inlet: A, class, max pin C)"]["value"].items()
)
def test_iec_60320_couplers_have_their_published_current_class_and_temperature(pair, row):
    current_a, protection_class, celsius = row
    for code in pair.lower().split("/"):
        entry = connector(code)
        assert rating_a(code, "iec") == current_a
        assert entry.rating["iec"].v == 250  # IEC 60320-1, scope
        assert entry.earth is (protection_class == "I")
        assert f"pins to {celsius} °C" in entry.name


@pytest.mark.parametrize(
    ("pair", "_row"), PUBLISHED["IEC 60320 couplers (connector/inlet: A, class, max pin C)"]["value"].items()
)
def test_each_iec_60320_connector_enters_the_inlet_of_its_own_number(pair, _row):
    odd, even = pair.lower().split("/")
    assert mates(odd, "plug", even, "socket") == "friction"
    assert connector(odd).pins == frozenset()
    assert connector(even).pins == {"plug", "socket"}


@pytest.mark.parametrize("sides", EVERY_PAIR_OF_SIDES)
@pytest.mark.parametrize(
    ("odd", "even"), [("c13", "c16"), ("c13", "c20"), ("c19", "c14"), ("c19", "c22"), ("c5", "c14"), ("c7", "c6")]
)
def test_a_connector_stays_out_of_inlets_that_ask_for_more(odd, even, sides):
    """IEC 60320-1 and -3: C13 in neither C16 nor C20 as published; the others from memory."""
    assert mates(odd, sides[0], even, sides[1]) is None


def test_a_hot_connector_enters_the_cold_inlet_of_its_current():
    """IEC 60320-1: C15 into C14, and C21 into C20, from memory."""
    assert mates("c15", "plug", "c14", "socket") == "friction"
    assert mates("c21", "plug", "c20", "socket") == "friction"
    assert mates("c15", "plug", "c20", "socket") is None


IEC_60309 = [
    (entry, int(found[1]), found[2], int(found[3]))
    for entry in all_connectors()
    if (found := re.fullmatch(r"iec60309-(\d+)-(2pe|3pe|3pne)-(\d+)", entry.code))
]


@pytest.mark.parametrize(
    ("entry", "current_a", "contacts", "volts"), IEC_60309, ids=lambda value: getattr(value, "code", str(value))
)
def test_iec_60309_colours_and_currents_are_those_of_the_standard(entry, current_a, contacts, volts):
    ranges = {
        tuple(map(int, key.split("-"))): colour
        for key, colour in PUBLISHED["IEC 60309 colours by volts"]["value"].items()
    }
    assert entry.colour in {colour for (low, high), colour in ranges.items() if low <= volts <= high}
    assert entry.rating["iec"].v in {high for (low, high) in ranges if low <= volts <= high}
    assert current_a in PUBLISHED["IEC 60309 currents"]["value"]
    assert rating_a(entry.code, "iec") == current_a
    assert (entry.poles, entry.phases, entry.neutral) == {
        "2pe": (2, 1, True),
        "3pe": (3, 3, False),
        "3pne": (4, 3, True),
    }[contacts]
    assert entry.earth is True


def test_every_published_current_of_iec_60309_is_there_in_one_and_three_phases():
    found = {(current_a, contacts) for _, current_a, contacts, _ in IEC_60309}
    assert found >= {(a, contacts) for a in PUBLISHED["IEC 60309 currents"]["value"] for contacts in ("2pe", "3pne")}


def test_iec_60309_parts_meet_only_their_own_kind():
    parts = [entry.code for entry, *_ in IEC_60309]
    for one in parts:
        for other in parts:
            assert (mates(one, "plug", other, "socket") is not None) is (one == other)


@pytest.mark.parametrize(("name", "row"), PUBLISHED["NEMA"]["value"].items())
def test_nema_ratings_are_those_of_wd_6(name, row):
    volts, current_a = row
    entry = connector(f"nema-{name.lower()}")
    assert rating_a(entry.code, "north_america") == current_a
    assert rating_a(entry.code, "iec") is None
    if volts == "120/208 3-phase":
        assert (entry.rating["north_america"].v, entry.phases, entry.poles, entry.neutral) == (208, 3, 4, True)
    else:
        assert (entry.rating["north_america"].v, entry.phases, entry.poles) == (volts, 1, 2)


def test_a_15_a_plug_enters_a_20_a_receptacle_and_not_the_other_way_round():
    """NEMA WD 6, from memory."""
    assert mates("nema-5-15", "plug", "nema-5-20", "socket") == "friction"
    assert mates("nema-5-20", "plug", "nema-5-15", "socket") is None
    assert mates("nema-l5-20", "plug", "nema-5-20", "socket") is None


def test_north_america_rates_iec_couplers_higher():
    """UL and CSA ratings, from memory."""
    published = dict(MAINS["coupler ratings north_america, A"]["value"])
    steps = dict(zip(PUBLISHED["IEC 60309 currents"]["value"], published.pop("IEC 60309"), strict=True))
    for name, current_a in published.items():
        assert rating_a(name.lower(), "north_america") == current_a
    for entry, current_a, _, _ in IEC_60309:
        assert rating_a(entry.code, "north_america") in (steps[current_a], None)
    assert rating_a("iec60309-32-2pe-230", "north_america") == 30


def test_the_rugged_shell_takes_a_bare_plug_by_its_latch_and_does_not_enter_a_bare_socket():
    """Common practice; the contacts are those of IEC 60603-7."""
    assert mates("8p8c", "plug", "8p8c", "socket") == "latch"
    assert mates("8p8c-rugged", "plug", "8p8c-rugged", "socket") == "lock"
    assert mates("8p8c", "plug", "8p8c-rugged", "socket") == "latch"
    assert mates("8p8c-rugged", "plug", "8p8c", "socket") is None
    assert connector("8p8c").poles == 8


def test_xlr_has_its_pins_on_the_plug_and_five_poles_are_for_dmx():
    """IEC 61076-2-103; ANSI E1.11 makes 5 poles the standard connector of DMX512."""
    for poles in (3, 4, 5):
        entry = connector(f"xlr-{poles}")
        assert (entry.poles, entry.pins) == (poles, {"plug"})
        assert mates(entry.code, "plug", entry.code, "socket") == "lock"
    assert connector("xlr-5").carries == "dmx"
    assert mates("xlr-3", "plug", "xlr-5", "socket") is None


def test_locking_mains_without_breaking_capacity_keeps_inlet_and_outlet_apart():
    """Common practice; what breaking capacity means is in IEC 61984."""
    inlet, outlet, sealed = (connector(f"mains-lock-{rest}") for rest in ("20a-in", "20a-out", "16a-sealed"))
    assert (inlet.breaking_capacity, outlet.breaking_capacity, sealed.breaking_capacity) == (False, False, True)
    assert "under load" in inlet.caution
    assert mates(inlet.code, "plug", outlet.code, "socket") is None
    assert mates(outlet.code, "plug", inlet.code, "socket") is None
    assert mates(sealed.code, "plug", outlet.code, "socket") is None
    assert (rating_a(inlet.code, "iec"), rating_a(sealed.code, "iec"), rating_a(sealed.code, "north_america")) == (
        20,
        16,
        20,
    )


def test_a_barrel_plug_counts_as_mating_only_with_a_pin_of_its_own_size():
    """Common practice: the smaller bore does not go on, the larger one makes no contact to rely on."""
    assert mates("dc-5.5x2.1", "plug", "dc-5.5x2.1", "socket") == "friction"
    assert mates("dc-5.5x2.1", "plug", "dc-5.5x2.5", "socket") is None
    assert mates("dc-5.5x2.5", "plug", "dc-5.5x2.1", "socket") is None


def test_halves_that_are_alike_join_cord_to_cord():
    """Expanded-beam fibre and two-pole battery connectors have one shape for both halves: common practice."""
    for code, retention in (("expanded-beam-2", "lock"), ("battery-50a", "friction")):
        assert mates(code, "plug", code, "plug") == retention
        assert mates(code, "socket", code, "socket") is None


def test_usb_type_c_is_rated_for_the_extended_power_range():
    """USB Power Delivery: 48 V, 240 W, hence 5 A."""
    rating = connector("usb-c").rating["iec"]
    assert (rating.v, rating.a * rating.v) == (48, 240)


@pytest.mark.parametrize("rules", ["uk", "", None, "IEC", "iec\0"])
def test_an_unknown_rule_set_is_refused(rules):
    with pytest.raises(BadInput) as refused:
        rating_a("c13", rules)
    assert refused.value.argument == "rules"


@pytest.mark.parametrize(
    ("code", "rules", "systems"),
    [
        ("iec60309-16-2pe-110", "iec", ("110 centre-earthed",)),
        ("iec60309-32-3pne-400", "iec", ("230/400",)),
        ("nema-5-15", "north_america", ("120",)),
        ("nema-l6-30", "north_america", ("120/208", "120/240")),
        ("cee7-7", "iec", ("230",)),
    ],
)
def test_a_connector_made_for_one_supply_says_which(code, rules, systems):
    """IEC 60309-2 clock positions, NEMA WD 6, national standards; from memory."""
    assert connector(code).systems[rules] == systems


@pytest.mark.parametrize("code", ["c14", "mains-lock-20a-in", "rectangular-16"])
def test_a_connector_of_any_supply_leaves_the_voltage_open(code):
    """IEC 60320-1 rates to 250 V and fixes no voltage."""
    assert connector(code).systems == {}


def test_every_system_of_a_connector_exists_and_is_within_its_rating():
    """IEC 60038, IEC 60309-1, NEMA WD 6."""
    for entry in all_connectors():
        for rules, names in entry.systems.items():
            for name in names:
                system = voltage_system(name)
                highest_v = system.line_to_line_v if entry.poles > 2 or not entry.neutral else None
                assert (highest_v or system.line_to_neutral_v or 0) <= entry.rating[rules].v


@pytest.mark.parametrize(
    ("code", "rules", "current_a"),
    [
        ("nema-l5-30", "north_america", 30),
        ("nema-l21-20", "north_america", 20),
        ("stage-twist-50a", "north_america", 50),
        ("bs546-15", "iec", 15),
        ("iec60906-1", "iec", 16),
        ("iec60309-125-2pe-110", "iec", 125),
        ("c18", "iec", 10),
    ],
)
def test_ratings_of_national_connectors(code, rules, current_a):
    """NEMA WD 6, BS 546, IEC 60906-1, IEC 60309-1, IEC 60320-1; from memory."""
    assert rating_a(code, rules) == current_a


@pytest.mark.parametrize(
    ("plug", "socket", "held"),
    [
        ("c13-locking", "c14", "lock"),
        ("xlr-3", "xlr-jack-combined", "latch"),
        ("jack-6.35", "xlr-jack-combined", "friction"),
        ("lc-duplex-apc", "lc-duplex", None),
        ("c17", "c14", None),
        ("c13", "c18", "friction"),
        ("cee7-4", "cee7-5", None),
        ("6p6c", "8p8c", None),
        ("sev1011-16", "sev1011-10", None),
        ("jack-3.5-4", "jack-3.5", "friction"),
    ],
)
def test_which_of_the_look_alikes_enter(plug, socket, held):
    """IEC 60320-1, IEC 61754-20, SEV 1011 from memory; the others common practice."""
    assert mates(plug, "plug", socket, "socket") == held
