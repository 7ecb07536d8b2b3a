"""The register's own laws: what holds for every entry, whatever it is."""

import re
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.connectors import all_connectors, apart_because, connector, family, mates, rating_a
from calc.errors import BadInput
from calc.registers import load
from calc.vocabulary import CARRIES, POWER_ROLES, RETENTIONS, RULE_SETS, SIDES

REGISTER = all_connectors()
HALVES = [(entry.code, side) for entry in REGISTER for side in entry.sides]
MAINS = [entry for entry in REGISTER if entry.carries == "mains"]
each_entry = pytest.mark.parametrize("entry", REGISTER, ids=lambda entry: entry.code)
each_mains_entry = pytest.mark.parametrize("entry", MAINS, ids=lambda entry: entry.code)


def test_mating_is_symmetric():
    for (a, side_a), (b, side_b) in product(HALVES, HALVES):
        assert mates(a, side_a, b, side_b) == mates(b, side_b, a, side_a)


def test_no_two_sockets_meet():
    for (a, side_a), (b, side_b) in product(HALVES, HALVES):
        if side_a == side_b == "socket":
            assert mates(a, side_a, b, side_b) is None


def test_codes_and_names_are_there_once():
    assert len({entry.code for entry in REGISTER}) == len(REGISTER)
    assert len({entry.name for entry in REGISTER}) == len(REGISTER)


@each_entry
def test_an_entry_uses_the_words_of_the_house(entry):
    assert connector(entry.code) is entry
    assert entry.code == entry.code.lower()
    assert not set(entry.code) & set(" ;,\t\n")
    assert entry.sides
    assert set(entry.sides) <= set(SIDES)
    assert entry.pins <= set(entry.sides)
    assert entry.carries in CARRIES
    assert entry.role in (None, *POWER_ROLES)
    assert entry.locking
    assert entry.standard
    assert set(entry.rating) <= set(RULE_SETS)


@each_entry
def test_every_mate_resolves_and_is_what_mates_answers(entry):
    assert entry.mates
    for mate in entry.mates:
        assert mate.retention in RETENTIONS
        assert mate.own_side in entry.sides
        assert mates(entry.code, mate.own_side, mate.connector, mate.side) == mate.retention


@each_entry
def test_the_list_of_mates_is_complete(entry):
    listed = {(mate.own_side, mate.connector, mate.side) for mate in entry.mates}
    found = {(side, *half) for side in entry.sides for half in HALVES if mates(entry.code, side, *half)}
    assert listed == found
    assert len(entry.mates) == len(listed)


@each_entry
def test_both_sides_of_a_connector_meet_unless_the_code_names_one_half(entry):
    one_half = (
        entry.code.startswith("cee7-")
        or entry.family.startswith("iec60320-")
        or entry.code == "xlr-jack-combined"  # a socket for two kinds of plug
    )
    if not one_half:
        assert entry.sides == ("plug", "socket")
        assert mates(entry.code, "plug", entry.code, "socket") is not None


def test_every_line_about_mating_names_halves_of_the_register_once():
    lines = load("connectors")["mates"]
    pairs = [frozenset({(a, side_a), (b, side_b)}) for a, side_a, b, side_b, *_ in lines]
    assert set().union(*pairs) <= set(HALVES)
    assert len(set(pairs)) == len(pairs)
    assert {known for *_, known in lines} <= {"read", "memory", "common practice"}


def test_every_line_about_what_stays_apart_names_two_connectors_that_do():
    lines = load("connectors")["apart"]
    assert len({frozenset(line[:2]) for line in lines}) == len(lines)
    for entering, entered, reason, known in lines:
        assert mates(entering, connector(entering).sides[0], entered, connector(entered).sides[-1]) is None
        assert reason
        assert known in {"read", "memory", "common practice"}


@each_entry
def test_every_fact_says_how_it_is_known(entry):
    facts = {"locking", "standard"}
    facts |= {f"rating.{rules}" for rules in entry.rating}
    facts |= {name for name in ("poles", "breaking_capacity", "colour", "role") if getattr(entry, name) is not None}
    facts |= {"pins"} if entry.pins else set()
    facts |= {"earth"} if entry.earth is not None else set()
    facts |= {"feed_through"} if entry.feed_through else set()
    facts |= {"systems"} if entry.systems else set()
    assert facts <= set(entry.known)
    assert set(entry.known.values()) <= {"read", "memory", "common practice"}


@each_mains_entry
def test_a_mains_connector_tells_what_the_power_checks_need(entry):
    assert entry.rating
    # Of one conductor alone nobody can ask whether its earth comes along.
    assert (entry.earth is None) is bool(re.fullmatch(r"single-pole-.*-(l1|l2|l3|n)", entry.code))
    assert entry.poles is not None
    assert "pins" in entry.known
    for rating in entry.rating.values():
        assert rating.a > 0
        assert rating.v >= 125


@each_mains_entry
def test_where_mains_halves_meet_exactly_one_of_them_carries_the_pins(entry):
    for mate in entry.mates:
        other = connector(mate.connector)
        assert (mate.own_side in entry.pins) != (mate.side in other.pins)


@each_mains_entry
def test_a_mains_connector_that_must_be_dead_when_parted_says_so(entry):
    if entry.breaking_capacity is False:
        assert "dead" in entry.caution or "under load" in entry.caution


@each_entry
def test_a_family_carries_one_thing(entry):
    relatives = [other for other in REGISTER if family(other.code) == entry.family]
    assert {other.carries for other in relatives} == {entry.carries}


@pytest.mark.parametrize(
    ("codes", "same"),
    [
        (("8p8c", "8p8c-rugged"), True),
        (("c13", "c14"), True),
        (("lc-duplex", "lc-duplex-rugged"), True),
        (("xlr-3", "xlr-5"), False),
        (("c14", "c16"), False),
        (("dc-5.5x2.1", "dc-5.5x2.5"), False),
        (("mains-lock-20a-in", "mains-lock-20a-out"), True),
        (("mains-lock-20a-in", "mains-lock-16a-sealed"), False),
        (("single-pole-keyed-l1", "single-pole-keyed-n"), False),
    ],
)
def test_a_family_is_what_one_fitting_lead_can_join(codes, same):
    """Common practice: a lead of the family has at each end a half that fits."""
    assert (family(codes[0]) == family(codes[1])) is same


@each_entry
def test_some_lead_of_the_family_reaches_every_side_of_it(entry):
    """So that two ends of one family that cannot meet are joined by a lead whose ends stay in the family."""
    relatives = {other.code for other in REGISTER if other.family == entry.family}
    for side in entry.sides:
        assert (
            any(mate.connector in relatives and mate.own_side == side for mate in entry.mates) or len(entry.sides) == 1
        )


def test_why_halves_do_not_meet_is_told_where_they_do_not():
    for (a, side_a), (b, side_b) in product(HALVES, HALVES):
        assert (apart_because(a, side_a, b, side_b) is None) is (mates(a, side_a, b, side_b) is not None)


@pytest.mark.parametrize(
    ("halves", "words"),
    [
        (("c13", "plug", "c16", "socket"), "ridge"),
        (("c16", "socket", "c13", "socket"), "ridge"),
        (("8p8c-rugged", "plug", "8p8c", "socket"), "shell"),
        (("8p8c-rugged", "socket", "8p8c", "socket"), "both are sockets"),
        (("xlr-3", "plug", "xlr-3", "plug"), "both are plugs"),
        (("dc-5.5x2.5", "plug", "dc-5.5x2.1", "socket"), "loosely"),
        (("nema-5-20", "plug", "nema-5-15", "socket"), "slot"),
        (("hdmi-a", "plug", "usb-c", "socket"), "different families"),
    ],
)
def test_the_reason_fits_the_halves(halves, words):
    assert words in apart_because(*halves)


@settings(deadline=None)
@given(
    code=st.text()
    | st.sampled_from(["", "8P8C", "8p8c ", "8p8c\0", "８p8c", "c\u0661\u0663", "\ud800"])
    | st.none()
    | st.integers(),
    side=st.text() | st.sampled_from(["male", "Plug", "plug\0", ""]) | st.none() | st.booleans(),
)
def test_what_is_not_in_the_register_is_refused_by_name(code, side):
    if (code, side) in HALVES:
        return
    for call in (lambda: mates(code, side, "8p8c", "plug"), lambda: mates("8p8c", "plug", code, side)):
        with pytest.raises(BadInput):
            call()
    if code not in {entry.code for entry in REGISTER}:
        for question in (connector, family, lambda unknown: rating_a(unknown, "iec")):
            with pytest.raises(BadInput) as refused:
                question(code)
            assert refused.value.argument == "code"


def test_a_side_that_the_connector_does_not_have_is_refused_with_those_it_has():
    with pytest.raises(BadInput) as refused:
        mates("c14", "socket", "cee7-7", "socket")
    assert (refused.value.argument, refused.value.value) == ("side_b", "socket")
    assert "'plug'" in refused.value.accepted


def test_a_register_is_read_once_and_cannot_be_changed():
    register = load("connectors")
    assert load("connectors") is register
    with pytest.raises(TypeError):
        register["connectors"][0]["name"] = "another"
    with pytest.raises(AttributeError):
        register["mates"].append(())


@pytest.mark.parametrize("name", ["nothing", "../kit", "connectors.json", "", "con\0nectors"])
def test_a_register_that_is_not_there_is_refused(name):
    with pytest.raises(BadInput):
        load(name)
