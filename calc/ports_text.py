"""Ports written as one line: ``1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc 48-57V 78W``.

Entries stand between semicolons. An entry is names, a connector code, then items in any order, with blanks between.
Codes and words may be written in capitals; units keep theirs. Whatever is not read is refused, with its column.

Names
    ``1``, ``dc``, ``LAN 1 rear``: everything before the connector code. ``1-4`` and ``LAN 1-4 rear`` are a range of
    whole numbers, lowest first (``01-12`` keeps its noughts). Commas part names that share the rest of the entry, and
    each stands by itself: ``1-4, 7`` and ``LAN 1-4, LAN 7``.
Connector
    A code of the register. ``dc`` where no code stands is the usual barrel, ``dc-5.5x2.1``, and names the port too if
    nothing else does. Barrels of another size must be written out. The everyday words of ``calc.connector_words`` are
    read as the code that they mean: ``RJ45``, ``LC``, ``schuko``, ``BNC``, ``jack``, ``SFP+``.
Items
    ============================  =====================================================================================
    ``100M`` ``1G`` ``2.5G``      speed
    ``class4 in``                 Power over Ethernet: the port asks for a class (``in``) or grants it (``out``)
    ``PoE in`` ``PoE+ out``       the same by the word: ``PoE`` is class 3, ``PoE+`` class 4
    ``48-57V`` ``12V`` ``78W``    mains or direct current; on an Ethernet connector, fixed volts that nobody negotiates
    ``2A`` ``500VA``              instead of watts, with volts: amperes are drawn at the lowest of them. Either is taken
                                  as the most watts that there can be, at a power factor of 1
    ``in`` ``out``                a port with volts or watts takes power, unless it says ``out`` or is made as an outlet
    ``breaker16`` ``breakerC16``  what protects a port that gives power, with its curve
    ``rcd30``                     the residual current of its protection, in mA; ``rcd0``: it has none
    ``plug`` ``socket``           side; left out, it is ``socket``, but ``plug`` where power enters by a connector whose
                                  plug has the pins (the inlets of IEC 60309, NEMA, XLR-4)
    ``outside`` ``inside``        face; left out, it is ``inside``
    ``dmx`` ``serial`` ...        what it carries; left out, it is what the connector usually carries
    ============================  =====================================================================================

Sockets of Ethernet or fibre that have a speed are switched together (group ``fabric``) if the text has more than one of
them and ``kind`` is not one of ``NOT_SWITCHING``: a speed says that something handles frames there, and what handles
frames at several sockets is nearly always a switch or a bridge. Panels and cords are written without speeds.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from operator import itemgetter
from typing import Any

from calc.connector_words import ALIASES, BY_DIRECTION, POE_WORDS
from calc.connectors import Connector, all_connectors
from calc.connectors import connector as connector_of
from calc.errors import BadInput, require_one_of
from calc.rig.kit import Port, PortPoe, PortPower
from calc.vocabulary import BREAKER_CURVES, CARRIES, FACES, SIDES, SPEC_KINDS

MOST_PORTS = 200
LONGEST_NAME = 60
LONGEST_TEXT = 10_000
USUAL_BARREL = "dc-5.5x2.1"
NOT_SWITCHING = (
    "case", "injector", "splitter", "supply", "distro", "computer", "adapter", "cable", "drum", "fan", "battery",
    "vehicle", "tool",
)  # fmt: skip
FABRIC = "fabric"

_BLANKS = " \t\r\n"
_HIGHEST_CLASS = 8  # IEEE 802.3 clauses 33 and 145
_MOST_VOLTS = 1000.0  # the upper end of low voltage, IEC 60364-1
_MOST_WATTS = 1_000_000.0
_MOST_BREAKER_A = 6300.0  # the largest rated current in common use, IEC 60947-2, from memory
_MOST_RCD_MA = 30_000.0  # IEC 60947-2 annex B, from memory
_FRAME_CARRIERS = ("ethernet", "fibre")
_SPEEDS_MBPS: Mapping[str, tuple[float, ...]] = {
    "ethernet": (10, 100, 1000, 2500, 5000, 10_000, 25_000, 40_000),  # IEEE 802.3
    "fibre": (100, 1000, 10_000, 25_000, 40_000, 50_000, 100_000, 200_000, 400_000),  # IEEE 802.3
    "usb": (12, 480, 5000, 10_000, 20_000, 40_000),  # IEC 62680, from memory
}
_POWER_CARRIERS = ("mains", "dc", "usb", "ethernet")


class UnreadText(BadInput):
    """A piece of a line of ports that means nothing.

    Carries the piece as ``text``, where it begins as ``column`` (the first is 1), and what is wrong as ``accepted``. A
    character that cannot be shown is given by its number, as ``U+0000``.
    """

    def __init__(self, column: int, text: str, why: str) -> None:
        super().__init__("text", text, why)
        self.args = (f"Column {column}: “{text}” cannot be read: {why}.",)
        self.column = column
        self.text = text


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    column: int

    @property
    def plain(self) -> str:
        """The word as codes and keywords are compared; a letter of another script never becomes one of ours."""
        return self.text.lower() if self.text.isascii() else self.text

    def unread(self, why: str) -> UnreadText:
        return UnreadText(self.column, self.text, why)


@dataclass(frozen=True, slots=True)
class _Entry:
    names: _Word
    """All that stands before the connector."""
    connector: Connector
    said: dict[str, Any]
    """Item → its value, for the items that are there."""
    words: dict[str, _Word]
    """Item → the word that said it."""


def parse(text: str, kind: str | None = None) -> tuple[Port, ...]:
    """Return the ports that a line describes, in its order; none for an empty line.

    Args:
        text: One line in the words above. [-]
        kind: Kind of the spec, if it is known: one of ``NOT_SWITCHING`` never switches its ports together. [-]

    Raises:
        UnreadText: a piece means nothing, contradicts another one, makes a name twice, or makes more than 200 ports.
        BadInput: the text is no text, or there is no such kind.

    Source: the grammar is this house's own; classes and speeds are those of IEEE 802.3.
    """
    if kind is not None:
        require_one_of("kind", kind, SPEC_KINDS)
    ports: dict[str, Port] = {}
    for words in _entries(_checked(text)):
        entry = _read_entry(text, words)
        port = _port(entry)
        for name, word in _names(entry.names):
            if name in ports:
                raise word.unread(f"there is a port {name} already")
            if len(ports) == MOST_PORTS:
                raise word.unread(f"a spec has at most {MOST_PORTS} ports")
            ports[name] = replace(port, name=name)
    return _switched_together(tuple(ports.values()), kind)


def _checked(text: str) -> str:
    if not isinstance(text, str):
        raise BadInput("text", text, "a line of text")
    for column, character in enumerate(text[: LONGEST_TEXT + 1], start=1):
        if not character.isprintable() and character not in _BLANKS:
            raise UnreadText(column, f"U+{ord(character):04X}", "it is not a letter, a digit or a sign")
    if len(text) > LONGEST_TEXT:
        raise UnreadText(LONGEST_TEXT + 1, text[LONGEST_TEXT], f"a line has at most {LONGEST_TEXT} characters")
    return text


def _entries(text: str) -> Iterator[list[_Word]]:
    """Yield the words of each entry that has any."""
    for entry in re.finditer(r"[^;]+", text):
        found = re.finditer(f"[^{_BLANKS}]+", entry[0])
        words = [_Word(word[0], entry.start() + word.start() + 1) for word in found]
        if words:
            yield words


def _read_entry(text: str, words: list[_Word]) -> _Entry:
    place, connector = _connector(words)
    # The shorthand is a name as well as a connector where nothing stands before it.
    start, end = words[0].column - 1, words[place].column - 1
    names = _Word(text[start:end], words[0].column) if place else words[0]
    entry = _Entry(names, connector, {}, {})
    for word in words[place + 1 :]:
        item, value = _item(word)
        if item in entry.said:
            raise word.unread(f"“{entry.words[item].text}” has already said the {item}")
        entry.said[item] = value
        entry.words[item] = word
    other = BY_DIRECTION.get((words[place].plain, entry.said.get("direction", "")))
    if other is not None:
        entry = replace(entry, connector=connector_of(other))
    _refuse_what_does_not_belong(entry)
    return entry


def _connector(words: list[_Word]) -> tuple[int, Connector]:
    """Return which word is the connector, and what it means."""
    codes = {connector.code: connector for connector in all_connectors()}
    codes |= {word: codes[code] for word, code in ALIASES.items() if word not in codes}
    for place, word in enumerate(words[1:], start=1):
        if word.plain in codes:
            return place, codes[word.plain]
    for place, word in enumerate(words):
        if word.plain == "dc":
            return place, codes[USUAL_BARREL]
    if words[0].plain in codes:
        raise words[0].unread("a connector needs a name before it, as in “1-4 8p8c”")
    raise _no_connector(words, codes)


def _no_connector(words: list[_Word], codes: Iterable[str]) -> UnreadText:
    """Blame the word that looks most like a code, or else the one that should have been a code."""
    tries = [word for word in words[1:6] if len(word.text) < LONGEST_NAME]
    alike = [(SequenceMatcher(a=code, b=word.plain).ratio(), word, code) for word in tries for code in codes]
    likeness, word, code = max(alike, key=itemgetter(0), default=(0.0, words[0], ""))
    if likeness >= 0.75:
        return word.unread(f"no connector has this code; the nearest is “{code}”")
    return words[min(1, len(words) - 1)].unread(
        "after its names an entry needs the code of a connector, as in “1-4 8p8c”"
    )


def _names(names: _Word) -> Iterator[tuple[str, _Word]]:
    """Yield each name with the piece of the text that it comes from."""
    column = names.column
    for piece in names.text.split(","):
        text = piece.strip(_BLANKS)
        if not text:
            raise UnreadText(max(column - 1, names.column), ",", "a name is missing beside the comma")
        word = _Word(text, column + piece.index(text))
        for name in _range(word):
            yield name, word
        column += len(piece) + 1


def _range(word: _Word) -> Iterator[str]:
    """Yield the names of a range, or the name itself."""
    text = " ".join(word.text.split())
    found = re.fullmatch(r"(|.*[^0-9.–-])([0-9]{1,4})[–-]([0-9]{1,4})(| .*)", text)
    before, first, last, after = found.groups() if found else (text, "", "", "")
    if any(re.search(r"[0-9][–-][0-9]", rest) for rest in (before, after)):
        raise word.unread("a range is two whole numbers of up to four digits, as in “1-4” or “LAN 1-4 rear”")
    if len(text) > LONGEST_NAME:
        raise word.unread(f"a name has at most {LONGEST_NAME} characters")
    if found is None:
        yield text
        return
    if int(first) > int(last):
        raise word.unread("a range begins with its lower number")
    for number in range(int(first), int(last) + 1):
        yield f"{before}{number:0{len(first)}}{after}"


def _item(word: _Word) -> tuple[str, Any]:
    """Return what the word is about, and its value."""
    for kind, pattern, read in _ITEMS:
        if found := re.fullmatch(pattern, word.plain if kind in _IN_CAPITALS_TOO else word.text):
            return kind, read(word, found)
    for kind, accepted in _KEYWORDS.items():
        if word.plain in accepted:
            return kind, word.plain
    raise word.unread(
        "it is no speed (1G), class (class4 in), volts (48-57V), watts (78W), amperes (2A), side, face or signal"
    )


def _speed(word: _Word, found: re.Match[str]) -> float:
    return float(found[1]) * (1000 if found[2] == "G" else 1)


def _poe_word(word: _Word, found: re.Match[str]) -> int:
    return POE_WORDS[word.plain]


def _poe_class(word: _Word, found: re.Match[str]) -> int:
    if int(found[1]) > _HIGHEST_CLASS:
        raise word.unread(f"classes run from 0 to {_HIGHEST_CLASS}")
    return int(found[1])


def _volts(word: _Word, found: re.Match[str]) -> tuple[float, float]:
    low, high = float(found[1]), float(found[2] or found[1])
    if not 0 < low <= high <= _MOST_VOLTS:
        raise word.unread(f"volts are above 0, at most {_MOST_VOLTS:g}, and the lower number comes first")
    return low, high


def _watts(word: _Word, found: re.Match[str]) -> float:
    return _within(word, float(found[1]), _MOST_WATTS, "W")


def _amperes(word: _Word, found: re.Match[str]) -> float:
    return _within(word, float(found[1]), _MOST_BREAKER_A, "A")


def _breaker(word: _Word, found: re.Match[str]) -> tuple[float, str | None]:
    return _within(word, float(found[2]), _MOST_BREAKER_A, "A"), found[1].upper() or None


def _rcd(word: _Word, found: re.Match[str]) -> float:
    return 0.0 if float(found[1]) == 0 else _within(word, float(found[1]), _MOST_RCD_MA, "mA")


def _within(word: _Word, value: float, most: float, unit: str) -> float:
    if not 0 < value <= most:
        raise word.unread(f"it must be above 0 and at most {most:g} {unit}")
    return value


_NUMBER = r"([0-9]{1,6}(?:\.[0-9]{1,3})?)"
_ITEMS: tuple[tuple[str, str, Callable[[_Word, re.Match[str]], Any]], ...] = (
    ("speed", _NUMBER + "([MG])", _speed),
    ("class", "class([0-9]{1,4})", _poe_class),
    ("class", r"poe\+?", _poe_word),
    ("amperes", _NUMBER + "A", _amperes),
    ("volt-amperes", _NUMBER + "VA", _watts),
    ("volts", f"{_NUMBER}(?:[–-]{_NUMBER})?V", _volts),
    ("watts", _NUMBER + "W", _watts),
    ("breaker", f"breaker([{''.join(BREAKER_CURVES).lower()}]?){_NUMBER}", _breaker),
    ("rcd", "rcd" + _NUMBER, _rcd),
)
_POWER_ITEMS = ("volts", "watts", "amperes", "volt-amperes", "breaker", "rcd")
_WATTS_OTHERWISE = ("amperes", "volt-amperes")
_IN_CAPITALS_TOO = ("class", "breaker", "rcd")
_KEYWORDS: Mapping[str, tuple[str, ...]] = {"direction": ("in", "out"), "side": SIDES, "face": FACES, "signal": CARRIES}


def _refuse_what_does_not_belong(entry: _Entry) -> None:
    said, words, carries = entry.said, entry.words, entry.said.get("signal", entry.connector.carries)
    if "side" in said and said["side"] not in entry.connector.sides:
        raise words["side"].unread(f"{entry.connector.code} is only a {entry.connector.sides[0]}")
    if "speed" in said and said["speed"] not in _SPEEDS_MBPS.get(carries, ()):
        raise words["speed"].unread(f"{carries} has no such speed")
    if "class" in said and carries != "ethernet":
        raise words["class"].unread(f"a class belongs to Ethernet, and this port carries {carries}")
    if "class" in said and "direction" not in said:
        raise words["class"].unread("say whether the class goes in or out, as in “class4 out”")
    for item in _POWER_ITEMS:
        if item in said and "class" in said:
            raise words[item].unread("a port has a class or volts and watts of its own, not both")
        if item in said and carries not in _POWER_CARRIERS:
            raise words[item].unread(f"this port carries {carries}, which feeds nothing")
    if "direction" in said and "class" not in said and not _has_power(entry):
        raise words["direction"].unread("in and out belong to a class, volts or watts")
    ways = [item for item in ("watts", *_WATTS_OTHERWISE) if item in said]
    if len(ways) > 1:
        raise words[ways[1]].unread(f"“{words[ways[0]].text}” has already said the power")
    if "amperes" in said and "volts" not in said:
        raise words["amperes"].unread("amperes need volts beside them, as in “100-240V 2A”")
    for item in ("breaker", "rcd"):
        if item in said and _role(entry) != "source":
            raise words[item].unread("it protects what a port feeds: say “out”")


def _has_power(entry: _Entry) -> bool:
    said = entry.said
    if "class" in said:
        return False
    if not said.keys().isdisjoint(_POWER_ITEMS):
        return True
    return "direction" in said and said.get("signal", entry.connector.carries) in ("mains", "dc", "usb")


def _role(entry: _Entry) -> str:
    usual = "out" if entry.connector.role == "source" else "in"
    return "source" if entry.said.get("direction", usual) == "out" else "load"


def _port(entry: _Entry) -> Port:
    """Return the port that the entry describes, without a name."""
    said, connector = entry.said, entry.connector
    role = _role(entry)
    return Port(
        name="",
        connector=connector.code,
        side=said.get("side") or _usual_side(connector, role if _has_power(entry) else None),
        carries=said.get("signal", connector.carries),
        face=said.get("face", "inside"),
        speed_mbps=said.get("speed"),
        poe=PortPoe(role=role, poe_class=said["class"]) if "class" in said else None,
        power=_power(said, role) if _has_power(entry) else None,
    )


def _usual_side(connector: Connector, power_role: str | None) -> str:
    if len(connector.sides) == 1:
        return connector.sides[0]
    return "plug" if power_role == "load" and connector.pins == {"plug"} else "socket"


def _power(said: Mapping[str, Any], role: str) -> PortPower:
    low, high = said.get("volts", (None, None))
    breaker_a, curve = said.get("breaker", (None, None))
    return PortPower(
        role=role,
        volts_min=low,
        volts_max=high,
        watts=_most_watts(said),
        breaker_a=breaker_a,
        curve=curve,
        rcd_ma=said.get("rcd"),
    )


def _most_watts(said: Mapping[str, Any]) -> float | None:
    """Return the most watts that an entry says: as such, as volt-amperes, or as amperes at the lowest volts. [W]"""
    if "amperes" in said:
        return round(float(said["amperes"] * said["volts"][0]), 3)
    watts: float | None = said.get("watts", said.get("volt-amperes"))
    return watts


def _switched_together(ports: tuple[Port, ...], kind: str | None) -> tuple[Port, ...]:
    if kind in NOT_SWITCHING or sum(map(_handles_frames, ports)) < 2:
        return ports
    return tuple(replace(port, group=FABRIC) if _handles_frames(port) else port for port in ports)


def _handles_frames(port: Port) -> bool:
    return port.speed_mbps is not None and port.carries in _FRAME_CARRIERS and port.side == "socket"
