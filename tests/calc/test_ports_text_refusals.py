"""What is not read is refused with its column, and nothing else ever comes out of a text."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calc.connectors import all_connectors, connector
from calc.errors import BadInput
from calc.ports_text import LONGEST_NAME, LONGEST_TEXT, MOST_PORTS, UnreadText, parse
from calc.vocabulary import CARRIES, SIDES

CODES = [entry.code for entry in all_connectors()]


@pytest.mark.parametrize(
    ("text", "column", "piece", "words"),
    [
        ("1-4 8p8c 1G class9 out", 13, "class9", "0 to 8"),
        ("1-4 8p8c class4", 10, "class4", "in or out"),
        ("1-4 8p8c class4 out in", 21, "in", "already"),
        ("4-1 8p8c", 1, "4-1", "lower number"),
        ("2-1 8p8c", 1, "2-1", "lower number"),
        ("LAN 4-1 rear 8p8c", 1, "LAN 4-1 rear", "lower number"),
        ("1-2-3 8p8c", 1, "1-2-3", "range"),
        ("1-4 6-8 8p8c", 1, "1-4 6-8", "range"),
        ("1-12345 8p8c", 1, "1-12345", "range"),
        ("a, 3-1 8p8c", 4, "3-1", "lower number"),
        ("1-4 8p8c; 4 8p8c", 11, "4", "already"),
        ("1-4, 3 8p8c", 6, "3", "already"),
        ("a,,b 8p8c", 2, ",", "missing"),
        (",a 8p8c", 1, ",", "missing"),
        ("a, 8p8c", 2, ",", "missing"),
        (f"1-{MOST_PORTS + 1} 8p8c", 1, f"1-{MOST_PORTS + 1}", "at most 200"),
        ("0-9999 8p8c", 1, "0-9999", "at most 200"),
        ("x" * (LONGEST_NAME + 1) + " 8p8c", 1, "x" * (LONGEST_NAME + 1), "at most 60"),
        ("8p8c 1G", 1, "8p8c", "a name before it"),
        ("spare", 1, "spare", "code of a connector"),
        ("spare part", 7, "part", "code of a connector"),
        ("LAN 1-4 8p8d 1G", 9, "8p8d", "nearest is “8p8c”"),
        ("a 8p8c 1G 100M", 11, "100M", "“1G” has already said the speed"),
        ("a 8p8c 8p8c", 8, "8p8c", "no speed"),
        ("a 8p8c 1g", 8, "1g", "no speed"),
        ("a 8p8c 1.5G", 8, "1.5G", "no such speed"),
        ("a 8p8c 0G", 8, "0G", "no such speed"),
        ("a xlr-3 1G", 9, "1G", "no such speed"),
        ("a c14 230v", 7, "230v", "no speed"),
        ("a c14 240-100V", 7, "240-100V", "lower number"),
        ("a c14 0V", 7, "0V", "above 0"),
        ("a c14 99999V", 7, "99999V", "at most 1000"),
        ("a c14 1000.001V", 7, "1000.001V", "at most 1000"),
        ("a c14 -12V", 7, "-12V", "no speed"),
        ("a c14 0W", 7, "0W", "above 0"),
        ("a c14 1e3W", 7, "1e3W", "no speed"),
        ("a c14 infW", 7, "infW", "no speed"),
        ("a c14 ٢٣٠V", 7, "٢٣٠V", "no speed"),
        ("a c14 2A", 7, "2A", "volts beside"),
        ("a c14 230V 2A 100W", 12, "2A", "already said the power"),
        ("a c14 230V 2A 500VA", 15, "500VA", "already said the power"),
        ("a xlr-3 500VA", 9, "500VA", "feeds nothing"),
        ("a 8p8c PoE+", 8, "PoE+", "in or out"),
        ("a 8p8c PoE++ out", 8, "PoE++", "no speed"),
        ("a RJ46 1G", 3, "RJ46", "nearest is “rj45”"),
        ("a c14 230V breaker16", 12, "breaker16", "say “out”"),
        ("a c14 230V L1", 12, "L1", "say “out”"),
        ("a c13 L1-L1", 7, "L1-L1", "two different"),
        ("a c13 L4", 7, "L4", "no speed"),
        ("a iec60309-32-3pne-400 400V out L1", 33, "L1", "single-phase"),
        ("a dc 12V out L1", 14, "L1", "single-phase"),
        ("a c13 breakerZ16", 7, "breakerZ16", "no speed"),
        ("a c13 rcd99999", 7, "rcd99999", "at most"),
        ("a cee7-3 plug", 10, "plug", "only a socket"),
        ("a xlr-3 12V", 9, "12V", "feeds nothing"),
        ("a xlr-3 class4 in", 9, "class4", "Ethernet"),
        ("a xlr-3 in", 9, "in", "belong to a class"),
        ("a 8p8c out", 8, "out", "belong to a class"),
        ("a 8p8c class4 out 48V", 19, "48V", "not both"),
        ("a 8p8c inside outside", 15, "outside", "already said the face"),
        ("a xlr-3 dmx audio", 13, "audio", "already said the signal"),
        ("a 8p8c through", 8, "through", "joined to"),
        ("a 8p8c through 8p8c 1G", 21, "1G", "its side and its face"),
        ("a 8p8c through 8p8d", 16, "8p8d", "code of a connector"),
        ("a 8p8c through b 8p8d", 18, "8p8d", "nearest is “8p8c”"),
        ("1-2 8p8c through b 8p8c", 18, "b", "in front: 2"),
        ("a 8p8c class4 out through 8p8c", 8, "class4", "nothing of its own"),
        ("a c13 230V out through c14", 7, "230V", "nothing of its own"),
        ("a 8p8c through cee7-3 plug", 23, "plug", "only a socket"),
        ("a 8p8c through 8p8c; a rear 8p8c", 22, "a rear", "already"),
        ("x" * (LONGEST_NAME - 4) + " 8p8c through 8p8c", 1, "x" * (LONGEST_NAME - 4), "at most 60"),
        ("ok 8p8c\n; a\0b 8p8c", 12, "U+0000", "not a letter"),
        ("a\u00a08p8c", 2, "U+00A0", "not a letter"),
        ("a \ud800 8p8c", 3, "U+D800", "not a letter"),
        ("a \u202e8p8c", 3, "U+202E", "not a letter"),
        ("a ８p8c", 3, "８p8c", "nearest is “8p8c”"),
        ("a spea\u212aer-4", 3, "spea\u212aer-4", "nearest is “speaker-4”"),
    ],
)
def test_a_piece_that_means_nothing_is_named_with_its_column(text, column, piece, words):
    with pytest.raises(UnreadText) as refused:
        parse(text)
    assert (refused.value.column, refused.value.text) == (column, piece)
    assert words in refused.value.accepted
    assert refused.value.argument == "text"
    assert str(refused.value) == f"Column {column}: “{piece}” cannot be read: {refused.value.accepted}."


def test_a_line_that_is_too_long_is_refused_where_it_becomes_so():
    assert parse(" " * LONGEST_TEXT) == ()
    with pytest.raises(UnreadText) as refused:
        parse(" " * LONGEST_TEXT + "x")
    assert (refused.value.column, refused.value.text) == (LONGEST_TEXT + 1, "x")


@pytest.mark.parametrize("text", [None, 4, b"1 8p8c", ["1 8p8c"]])
def test_what_is_no_text_is_refused(text):
    with pytest.raises(BadInput) as refused:
        parse(text)
    assert refused.value.argument == "text"


numbers = st.sampled_from(
    ["0", "1", "4", "48", "57", "100", "240", "9999", "10000", "999999999", "2.5", "1.", ".5", "-1", "٣"]
)
words = st.one_of(
    st.sampled_from(
        [
            *CODES,
            *CARRIES,
            *SIDES,
            "dc",
            "in",
            "out",
            "inside",
            "outside",
            "through",
            "LAN",
            ",",
            ";",
            "-",
            "–",
            "V",
            "",
        ]
    ),
    st.builds("{}-{}{}".format, numbers, numbers, st.sampled_from(["", "V", "W", "G", ","])),
    st.builds("{}{}".format, numbers, st.sampled_from(["V", "W", "G", "M", "A", "v", "k"])),
    st.builds("{}{}".format, st.sampled_from(["class", "breaker", "breakerC", "rcd", "CLASS"]), numbers),
    st.text(max_size=6),
)
lines = st.lists(words, max_size=14).map(" ".join) | st.lists(words, max_size=14).map("".join) | st.text()


@settings(max_examples=1500, deadline=None)
@given(lines)
@example("\0")
@example("1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc 48-57V 78W")
@example("a" * LONGEST_TEXT)
@example("9" * 5000 + "-" + "9" * 4000 + " 8p8c")
@example("a 8p8c " + "9" * 5000 + "V")
@example("x " * 5000)
@example(";" * LONGEST_TEXT)
@example("," * 9000 + " 8p8c")
def test_any_text_makes_sound_ports_or_is_refused_at_a_place_in_it(text):
    read = ports_or_refusal(text)
    if isinstance(read, UnreadText):
        assert 1 <= read.column <= len(text)
        assert read.text.startswith("U+") or text[read.column - 1 :].startswith(read.text)
        assert read.text
        assert read.accepted
    else:
        assert len(read) <= MOST_PORTS
        assert len({port.name for port in read}) == len(read)
        by_name = {port.name: port for port in read}
        for port in read:
            assert_sound(port)
            assert port.through is None or by_name[port.through].through == port.name


def ports_or_refusal(text):
    try:
        return parse(text)
    except UnreadText as refused:
        return refused


def assert_sound(port):
    assert port.name == " ".join(port.name.split())
    assert 0 < len(port.name) <= LONGEST_NAME
    assert port.name.isprintable()
    assert port.side in connector(port.connector).sides
    assert port.carries in CARRIES
    if port.poe is not None:
        assert port.carries == "ethernet"
        assert 0 <= port.poe.poe_class <= 8
        assert port.power is None
    if port.power is not None and port.power.volts_min is not None:
        assert 0 < port.power.volts_min <= port.power.volts_max <= 1000
